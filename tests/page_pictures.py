"""Pictures of the page that is served: python -m tests.page_pictures OUT [CASE].

Every step of a case at three widths, light and dark, once everything is computed, and the states of
page_states.py; without CASE the trike demo. What runs past the width of the screen and what is too small to
tap is printed. The picture of the README is made by python -m tests.page_pictures --readme.
"""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from browser import FLAGS
from page_states import (
    CASE,
    CUT_OFF,
    ROOT,
    SCHEMES,
    TOO_SMALL,
    WIDTHS,
    State,
    at_size,
    every_state,
    serving,
    solve,
)

README = ROOT / ".readme" / "page.png"
README_SIZE = {"width": 1280, "height": 1221}


@contextmanager
def pages(case: Path) -> Iterator[tuple[Any, str]]:
    """A page of the browser, and the address of the steps of the case with everything computed."""
    from playwright.sync_api import sync_playwright

    with (
        TemporaryDirectory() as folder,
        serving(case, Path(folder)) as steps,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        page = browser.new_page()
        solve(page, steps)
        yield page, steps
        browser.close()


def photograph(page: Any, steps: str, state: State, width: int, scheme: str, out: Path) -> None:
    at_size(page, width, scheme)
    state.open(page, steps)
    wide, small = page.evaluate("document.documentElement.scrollWidth"), page.evaluate(TOO_SMALL)
    off = page.evaluate(CUT_OFF)
    if wide > width or small or off:
        print(f"{state.name} {width} {scheme}: {wide} px wide, small: {json.dumps(small)}, cut off: {off}")
    page.screenshot(path=str(out / f"{state.name}-{width}-{scheme}.png"), full_page=True)


def main(out: Path, case: Path) -> None:
    out.mkdir(parents=True, exist_ok=True)
    with pages(case) as (page, steps):
        for state in every_state():
            for width in WIDTHS:
                for scheme in SCHEMES:
                    photograph(page, steps, state, width, scheme, out)


def for_the_readme() -> None:
    with pages(CASE) as (page, steps):
        page.set_viewport_size(README_SIZE)
        State("fit", "fit").open(page, steps)
        page.screenshot(path=str(README))


if __name__ == "__main__":
    if sys.argv[1] == "--readme":
        for_the_readme()
    else:
        main(Path(sys.argv[1]), Path(sys.argv[2]) if len(sys.argv) > 2 else CASE)
