"""Pictures of the page that is served: python -m tests.page_pictures OUT [CASE].

Every step of a case at three widths, light and dark, once everything is computed; without CASE the trike
demo. What runs past the width of the screen and what is too small to tap is printed. The picture of the
README is made by python -m tests.page_pictures --readme.
"""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from browser import FLAGS, IS_JUDGED, PATIENCE

from hoopwright.page.parts import Parts

ROOT = Path(__file__).resolve().parents[1]
CASE = ROOT / "cases" / "cargo_trike_crank_shell.toml"
README = ROOT / ".readme" / "page.png"
README_SIZE = {"width": 1280, "height": 1221}
WIDTHS = (390, 768, 1280)
SCHEMES = ("light", "dark")
TOO_SMALL = """() => Array.from(document.querySelectorAll(
    'a, button, summary, select, input:not([type=hidden])'))
  .filter(e => !e.classList.contains('skip') && e.getClientRects().length)
  .filter(e => !e.matches('p a, small a, li a') || getComputedStyle(e).display !== 'inline')
  .map(e => e.matches('[type=radio]') ? e.closest('label') : e)
  .map(e => [e.textContent.trim().slice(0, 40), Math.round(e.getBoundingClientRect().width),
             Math.round(e.getBoundingClientRect().height)])
  .filter(([, w, h]) => h < 44 || w < 44)"""
"""Words, width and height of what is to be tapped and is too small for it, but links in running text."""


@contextmanager
def served(case: Path) -> Iterator[str]:
    """The address of a page on a folder with the case and what lies beside it."""
    with TemporaryDirectory() as folder:
        for beside in (case, *case.parent.glob("*.csv")):
            shutil.copy(beside, folder)
        words = [sys.executable, "-m", "hoopwright", "page", folder, "--port", "0", "--no-open"]
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as server:
            assert server.stdout is not None
            yield server.stdout.readline().split()[-1]
            server.send_signal(signal.SIGINT)


@contextmanager
def pages(case: Path) -> Iterator[tuple[Any, str]]:
    """A page of the browser, and the address of the steps of the case with everything computed."""
    from playwright.sync_api import sync_playwright

    with served(case) as home, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        page, steps = browser.new_page(), f"{home}case/{case.name}/"
        for step in ("routes", "fit", "in-use"):
            page.goto(steps + step)
            page.wait_for_function(IS_JUDGED, timeout=5 * PATIENCE)
        yield page, steps
        browser.close()


def photograph(page: Any, steps: str, step: str, width: int, scheme: str, out: Path) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(color_scheme=scheme)
    page.goto(steps + step if step else steps.partition("case/")[0])
    page.evaluate("document.fonts.ready")
    if step == "fit":
        page.wait_for_selector("#fit-slider:not([disabled])")
    wide, small = page.evaluate("document.documentElement.scrollWidth"), page.evaluate(TOO_SMALL)
    if wide > width or small:
        print(f"{step} {width} {scheme}: {wide} px wide, small: {json.dumps(small)}")
    page.screenshot(path=str(out / f"{step or 'cases'}-{width}-{scheme}.png"), full_page=True)


def main(out: Path, case: Path) -> None:
    out.mkdir(parents=True, exist_ok=True)
    with pages(case) as (page, steps):
        for step in ("", *(step.id for step in Parts().steps)):
            for width in WIDTHS:
                for scheme in SCHEMES:
                    photograph(page, steps, step, width, scheme, out)


def for_the_readme() -> None:
    with pages(CASE) as (page, steps):
        page.set_viewport_size(README_SIZE)
        page.goto(f"{steps}fit")
        page.wait_for_selector("#fit-slider:not([disabled])")
        page.evaluate("document.fonts.ready")
        page.screenshot(path=str(README))


if __name__ == "__main__":
    if sys.argv[1] == "--readme":
        for_the_readme()
    else:
        main(Path(sys.argv[1]), Path(sys.argv[2]) if len(sys.argv) > 2 else CASE)
