"""In a real browser: every step at three widths, light and dark: a quiet log, nothing too wide or small."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_pictures import SCHEMES, TOO_SMALL, WIDTHS

from hoopwright.page.parts import Parts
from hoopwright.starters import starter_text

FILE = "plain.toml"


@pytest.mark.slow
def test_every_step_is_quiet_fits_its_width_and_can_be_tapped(bench_page):
    page = bench_page.page
    (bench_page.folder / FILE).write_text(starter_text("plain"), "utf-8")
    steps = [step.id for step in Parts().steps]
    assert steps == ["piece", "sizes", "damage", "use", "routes", "fit", "record"]
    for step in ("routes", "fit"):
        bench_page.open(FILE, step)
        assert bench_page.judged()[0] == "Sample values: holds as far as judged"
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            for step in ("", *steps):
                page.goto(f"{bench_page.home}case/{FILE}/{step}" if step else bench_page.home)
                at = (step or "cases", width, scheme)
                assert page.evaluate("document.documentElement.scrollWidth") <= width, at
                assert page.evaluate(TOO_SMALL) == [], at
                bench_page.assert_quiet()
    (font,) = {one for one in bench_page.asked if "B612-Regular" in one}
    assert font.startswith(bench_page.home)
