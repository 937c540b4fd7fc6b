"""axe-core over the page in a real browser: every step and its states, dark on a phone and light at a desk.

It is fetched with npm (MPL-2.0, for tests alone, not shipped): npm install --no-save axe-core, or AXE_CORE
with the path of its axe.min.js. What no tool sees is looked at in the pictures of page_pictures.py.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import missing
from page_states import ROOT, at_size, every_state

RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
RUN = "(tags) => axe.run(document, {runOnly: {type: 'tag', values: tags}, resultTypes: ['violations']})"
STATES = {state.name: state for state in every_state() if state.units == "metric"}
"""In inches nothing differs that it looks at."""


@pytest.fixture(scope="module")
def axe():
    """The source of axe-core."""
    path = Path(os.environ.get("AXE_CORE", ROOT / "node_modules" / "axe-core" / "axe.min.js"))
    if not path.is_file():
        missing("axe-core is not installed (npm install --no-save axe-core)")
    return path.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def page(chromium, solved_steps):  # noqa: ARG001 - solved before it is looked at
    """A page that takes scripts of its reader, which the policy of the bench page forbids."""
    context = chromium.new_context(bypass_csp=True)
    yield context.new_page()
    context.close()


def violations(page, axe):
    """What axe-core finds: rule, elements."""
    page.evaluate(axe)
    found = page.evaluate(RUN, RULES)
    assert len(found["passes"]) > 5, "axe-core has looked at the page"
    return [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found["violations"]]


@pytest.mark.slow
@pytest.mark.parametrize("name", STATES)
def test_axe_finds_nothing(page, axe, solved_steps, name):
    found = {}
    for width, scheme in ((390, "dark"), (1280, "light")):
        at_size(page, width, scheme)
        STATES[name].open(page, solved_steps)
        found[width, scheme] = violations(page, axe)
    assert {where: what for where, what in found.items() if what} == {}


@pytest.mark.slow
def test_axe_finds_what_is_wrong(page, axe, solved_steps):
    """Text too faint in the dark, and a field without a name."""
    at_size(page, 390, "dark")
    STATES["piece"].open(page, solved_steps)
    page.evaluate(
        "document.querySelector('main').insertAdjacentHTML('beforeend',"
        ' \'<p style="color: #555; background: #222">faint</p><input name="nobody">\')'
    )
    assert {rule for rule, _ in violations(page, axe)} >= {"color-contrast", "label"}
