"""Pictures of the page at three widths, light and dark: python -m tests.page_pictures OUT [NAME...].

Every page is written as a file with its style sheets beside it, opened in Chromium and photographed whole.
What runs past the width of the screen and what is too small to tap is printed.
"""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from page_cases import DOCTORED, bench_of, demo_text, environment, page, sample, small, solved, steps

from hoopwright.errors import Fault
from hoopwright.page import assets
from hoopwright.page.model import AtWork, Bench
from hoopwright.page.views.frame import frame_view
from hoopwright.page.views.verdict import verdict_view

WIDTHS = (390, 768, 1280)
SCHEMES = ("light", "dark")
FLAGS = ["--headless=new", "--no-sandbox", "--disable-dev-shm-usage"]
STATIC = Path(assets.__file__).parent / "static"
BANNERS = """{% extends "base.html" %}{% from "components/verdict.html" import verdict as banner %}
{% block step %}{% for v in verdicts %}<div class="sheet">{{ banner(v) }}</div>{% endfor %}{% endblock %}"""
TOO_SMALL = """() => Array.from(document.querySelectorAll('a, button, summary, input:not([type=hidden])'))
  .filter(e => !e.classList.contains('skip') && e.getClientRects().length)
  .filter(e => !(e.matches('p a, small a, li a') && getComputedStyle(e).display === 'inline'))  // in running text
  .map(e => e.matches('[type=radio]') ? e.closest('label') : e)
  .map(e => [e.textContent.trim().slice(0, 40), Math.round(e.getBoundingClientRect().width),
             Math.round(e.getBoundingClientRect().height)])
  .filter(([, w, h]) => h < 44 || w < 44)"""


FRAME: dict[str, Any] = {"saved": "14:02", "address": lambda name: name}
"""The style sheets lie beside the page."""


def demo(name: str, **given) -> Bench:
    text = demo_text(name)
    return bench_of(solved(text, f"{name}.toml"), text, file=f"{name}.toml", **given)


def verdicts() -> list[Bench]:
    """A bench in every state of the verdict."""
    found = [bench_of(doctored(small())) for doctored in (*DOCTORED.values(), sample)]
    lacks = (
        Fault("small.toml", "[shell]", "width", "is missing", 'write width = "83 mm"'),
        Fault("small.toml", "[sleeve]", "length", "is missing", 'write length = "83 mm"'),
    )
    at_work = AtWork("check", "slips in", 9, 22)
    return [*found, bench_of(small(), old=True, at_work=at_work), bench_of(None, faults=lacks)]


def pages() -> Iterator[tuple[str, str]]:
    """Every page by its name."""
    trike, housing = "cargo_trike_crank_shell", "worn_bearing_housing"
    yield "holds", page(demo(trike), "shell_yields", **FRAME)
    yield "holds-inch", page(demo(trike, system="inch"), "pushed_out", **FRAME)
    yield "fails", page(demo(housing), "shell_yields", **FRAME)
    at_work = AtWork("check", "sleeve is pushed out", 9, 22)
    yield "old", page(demo(trike, old=True, at_work=at_work), **FRAME)
    shown = verdicts()
    yield (
        "verdicts",
        environment()
        .from_string(BANNERS)
        .render(
            frame=frame_view(shown[0], steps(), "fit", **FRAME),
            verdict=verdict_view(shown[0]),
            bench=shown[0],
            verdicts=[verdict_view(one) for one in shown[1:]],
        ),
    )


def main(out: Path, wanted: list[str]) -> None:
    from playwright.sync_api import sync_playwright

    out.mkdir(parents=True, exist_ok=True)
    for path in STATIC.iterdir():
        shutil.copy(path, out)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        for name, text in pages():
            if wanted and name not in wanted:
                continue
            path = out / f"{name}.html"
            path.write_text(text, encoding="utf-8")
            for width in WIDTHS:
                for scheme in SCHEMES:
                    photograph(browser, path, width, scheme)
        browser.close()


def photograph(browser, path: Path, width: int, scheme: str) -> None:
    tab = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    tab.goto(path.absolute().as_uri())
    tab.evaluate("document.fonts.ready")
    wide = tab.evaluate("document.documentElement.scrollWidth")
    small_ones = tab.evaluate(TOO_SMALL)
    if wide > width or small_ones:
        print(f"{path.stem} {width} {scheme}: {wide} px wide, small: {json.dumps(small_ones)}")
    tab.screenshot(path=str(path.with_name(f"{path.stem}-{width}-{scheme}.png")), full_page=True)
    tab.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
