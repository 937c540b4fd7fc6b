"""What of the page is looked at: every step, and states of it that an address alone does not show.

Pictures are made of all of them, they are measured at every width, and axe-core goes over them. Whoever
adds a step adds its states to STATES: what they do changes no case, or only one of their own.
"""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from browser import ANSWER_TO_A_CHANGE, IS_JUDGED, PATIENCE, exchanged

from hoopwright.page.parts import Parts
from hoopwright.starters import starter_text

ROOT = Path(__file__).resolve().parents[1]
CASE = ROOT / "cases" / "cargo_trike_crank_shell.toml"
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

CUT_OFF = """() => Array.from(document.querySelectorAll('svg text'))
  .filter(e => e.getClientRects().length && getComputedStyle(e).visibility === 'visible')
  .filter(e => { const a = e.getBoundingClientRect(), b = e.ownerSVGElement.getBoundingClientRect();
                 return a.left < b.left - 1 || a.right > b.right + 1
                     || a.top < b.top - 1 || a.bottom > b.bottom + 1; })
  .map(e => e.textContent)"""
"""Texts that run past the edge of their drawing: of a number that is cut off another is read."""


@dataclass(frozen=True)
class State:
    """A step in a state. step: "" for the page of all cases. query: after its address, with ? or #.
    prepare: what is done on the page then. status: of the answer. units: of the page. file: another case
    than that which is looked at, one of BESIDE."""

    name: str
    step: str
    query: str = ""
    prepare: Callable[[Any], None] | None = None
    status: int = 200
    units: str = "metric"
    file: str = ""

    def open(self, page: Any, steps: str) -> None:
        """Bring the page there. steps: address of the steps of the case."""
        home = steps.partition("case/")[0]
        steps = f"{home}case/{self.file}/" if self.file else steps
        page.context.add_cookies([{"name": "units", "value": self.units, "url": steps}])
        base = steps + self.step if self.step else home
        answer = page.goto(base + self.query)
        # Where only what stands behind # is another, nothing is asked for.
        assert answer is None or answer.status == self.status, answer.status
        page.wait_for_function(IS_JUDGED, timeout=PATIENCE)
        page.evaluate("document.fonts.ready")
        if self.step == "fit":
            page.wait_for_selector("#fit-slider:not([disabled])")
        if self.prepare is not None:
            self.prepare(page)


def _row_opened(page: Any) -> None:
    page.locator("#row-shell_yields .row-head").click()
    opened = page.locator("#open-shell_yields")
    opened.locator(".open").wait_for()
    for fold in opened.locator("summary").all():
        fold.click()
    page.evaluate("scrollTo(0, 0)")


def _slid_too_loose(page: Any) -> None:
    page.locator("#fit-slider").focus()
    page.keyboard.press("Home")
    for _ in range(8):
        page.keyboard.press("ArrowLeft")


def _typed_wrongly(path: str) -> Callable[[Any], None]:
    """A value that is not taken, so that the case stays as it is."""

    def typed(page: Any) -> None:
        field = page.locator(f".field[data-path='{path}'] input[name=value]").first
        with exchanged(page, ANSWER_TO_A_CHANGE):
            field.fill("12 bananas")
            field.press("Tab")
        page.locator(".field-fault").first.wait_for()
        page.evaluate("scrollTo(0, 0)")

    return typed


def _reading_typed(page: Any) -> None:
    """One that stands out, which is doubted before it is sent."""
    page.locator("#entry .reading").fill("41.013")
    page.locator(".doubt").wait_for()


def _over_the_line(page: Any) -> None:
    page.locator(".press-gauge").fill("90")
    page.locator(".press-field-over").wait_for()


PRESSED = re.sub(r"^sample.*\n", "", starter_text("plain"), flags=re.MULTILINE)
LOG = "travel [mm], gauge [bar]\n5, 3\n10, 6\n"
CONFIRMED = """[[shell.bore]]
from = "0 mm"
to = "50 mm"
gauge = "bore gauge"
readings = [
    { z = "8 mm", angles = "0 45 90 135 deg", values = "42.001 42.000 42.030 42.001 mm", confirmed = true },
    { z = "25 mm", angles = "0 45 90 135 deg", values = "42.000 42.001 42.001 42.000 mm" },
    { z = "42 mm", angles = "0 45 90 135 deg", values = "42.001 42.000 42.001 42.000 mm" },
]
"""
_UNREAD = re.sub(r'^bore_diameter = "42.*\n|^bore_plus_minus.*\n', "", PRESSED, flags=re.MULTILINE)
BESIDE = {
    "confirmed.toml": _UNREAD.replace("\n[boring]", f"\n{CONFIRMED}\n[boring]", 1),
    "pressing.toml": PRESSED,
    "pressing press.csv": LOG,
    "stopped.toml": PRESSED,
    "stopped press.csv": f"{LOG}15, 90\n",
}
"""Other cases that are served beside it: with a reading that was confirmed, and two at the press, on the
way in and above the stop line."""

STATES = (
    State("steps-listed", "fit", "#steps"),
    State("sizes-fault", "sizes", prepare=_typed_wrongly("shell.width")),
    State("fit-row-opened", "fit", prepare=_row_opened),
    State("fit-too-loose", "fit", prepare=_slid_too_loose),
    *(State(f"{step.id}-inch", step.id, units="inch") for step in Parts().steps),
    State(
        "readings-doubt", "readings", "?land=shell.bore%5B0%5D&station=row+1&at=1", prepare=_reading_typed
    ),
    State("readings-confirmed", "readings", "?land=shell.bore%5B0%5D", file="confirmed.toml"),
    State("turn-to-too-large", "turn-to", "?now-1=41.052+mm"),
    State("turn-to-small", "turn-to", "?now-1=41.018+mm"),
    State("press-on-the-way", "press", file="pressing.toml"),
    State("press-typed-above", "press", file="pressing.toml", prepare=_over_the_line),
    State("press-stop", "press", file="stopped.toml"),
    State("in-use-other-moment", "in-use", "?moment=m2"),
    State("no-such-step", "nothing", status=404),
)
"""States that are more than a step at rest."""


def every_state() -> tuple[State, ...]:
    """The page of all cases, every step, and the states above."""
    return (State("cases", ""), *(State(step.id, step.id) for step in Parts().steps), *STATES)


def at_size(page: Any, width: int, scheme: str) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(color_scheme=scheme)


@contextmanager
def serving(case: Path, folder: Path) -> Iterator[str]:
    """The address of the steps of a case that is served from a folder, with what lies beside it."""
    for beside in (case, *case.parent.glob("*.csv")):
        shutil.copy(beside, folder)
    for name, text in BESIDE.items():
        (folder / name).write_text(text, encoding="utf-8")
    words = [sys.executable, "-m", "hoopwright", "page", str(folder), "--port", "0", "--no-open"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            home = server.stdout.readline().split()[-1]
            yield f"{home}case/{case.name}/"
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(60)


def solve(page: Any, steps: str) -> None:
    """Have everything computed that a step shows."""
    for step in Parts().steps:
        page.goto(steps + step.id)
        page.wait_for_function(IS_JUDGED, timeout=5 * PATIENCE)
    for file in BESIDE:
        if file.endswith(".toml"):
            page.goto(f"{steps.partition('case/')[0]}case/{file}/press")
            page.wait_for_function(IS_JUDGED, timeout=5 * PATIENCE)
