"""In a real browser: every step and its states at three widths: a quiet log, nothing too wide, nothing too
small to tap, and nothing that jumps as the slider moves."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import BenchPage
from page_states import CUT_OFF, TOO_SMALL, WIDTHS, State, at_size, every_state

STATES = {state.name: state for state in every_state()}
FAULTS_ON_PURPOSE = (
    "the server responded with a status of 422",
    "the server responded with a status of 404",
)
"""What the log of the browser says of an answer that refuses, as some states want it."""
HEIGHTS = "() => Array.from(document.querySelectorAll('tr.row')).map(e => e.getBoundingClientRect().height)"


@pytest.fixture(scope="module")
def looked_at(chromium, solved_steps, tmp_path_factory):
    """A page that only looks at the steps, with its log."""
    context = chromium.new_context()
    home = solved_steps.partition("case/")[0]
    found = BenchPage(context.new_page(), home, tmp_path_factory.mktemp("none"), 0)
    found.listen(found.page)
    yield found
    context.close()


@pytest.mark.slow
@pytest.mark.parametrize("name", STATES)
def test_state_is_quiet_fits_its_width_and_can_be_tapped(looked_at, solved_steps, name):
    page, found = looked_at.page, []
    for width, scheme in zip(WIDTHS, ("light", "dark", "light"), strict=True):
        at_size(page, width, scheme)
        STATES[name].open(page, solved_steps)
        wide, small = page.evaluate("document.documentElement.scrollWidth"), page.evaluate(TOO_SMALL)
        off = page.evaluate(CUT_OFF)
        found += [(width, scheme, wide, small, off)] * bool(wide > width or small or off)
    assert found == []
    looked_at.console[:] = [
        said for said in looked_at.console if not any(one in said for one in FAULTS_ON_PURPOSE)
    ]
    looked_at.assert_quiet()


@pytest.mark.slow
def test_the_type_of_the_page_comes_from_the_page(looked_at, solved_steps):
    STATES["fit"].open(looked_at.page, solved_steps)
    (font,) = {one for one in looked_at.asked if "B612-Regular" in one}
    assert urlsplit(font).netloc == urlsplit(looked_at.home).netloc


@pytest.mark.slow
@pytest.mark.parametrize("width", WIDTHS)
def test_no_row_changes_its_height_as_the_slider_moves(looked_at, solved_steps, width):
    """Cells become undecided and old on the way; numbers, bars and signs move, and nothing else."""
    page = looked_at.page
    at_size(page, width, "light")
    State("fit", "fit").open(page, solved_steps)
    before = page.evaluate(HEIGHTS)
    STATES["fit-too-loose"].open(page, solved_steps)
    assert page.locator(".cell-undecided .sign").count() > 0
    assert page.locator(".word-old").count() > 0
    assert page.evaluate(HEIGHTS) == pytest.approx(before, abs=0.6)
