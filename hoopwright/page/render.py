"""Pages from their templates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from time import time
from typing import Any
from urllib.parse import quote, urlencode

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse

from hoopwright.page.case_files import CaseFiles
from hoopwright.page.figures.pieces import piece_figure
from hoopwright.page.fragments import fragments
from hoopwright.page.guard import Door
from hoopwright.page.model import Bench, Edit, Step
from hoopwright.page.parts import Around, Parts, StaticFiles
from hoopwright.page.paths import PathError, place_of
from hoopwright.starters import PIECES
from hoopwright.version import VERSION

FIRST_STEP = "piece"


@dataclass(frozen=True)
class Unwritten:
    """A value that was typed on a page of an older text: what the file has now, and what was typed."""

    path: str
    in_file: str
    typed: str


class Pages:
    """Every page of the server. Whatever a template is given is escaped."""

    def __init__(self, files: CaseFiles, parts: Parts, door: Door) -> None:
        self.files, self.parts = files, parts
        self.static = StaticFiles(parts.static)
        self._fields = (("token", door.form_token),)
        self._templates = Environment(
            loader=FileSystemLoader(parts.templates), autoescape=True, undefined=StrictUndefined
        )
        self._templates.globals |= {"address": self.static.address, "fields": self._fields}

    def index(
        self, *, problem: str = "", typed: Mapping[str, str] | None = None, status: int = 200
    ) -> HTMLResponse:
        """The cases of the folder, and a new one."""
        cases = [(name, case_address(name)) for name in self.files.names()]
        shown = {
            "cases": cases,
            "folder": str(self.files.folder),
            "pieces": [(id_, said, piece_figure(id_, "new")) for id_, said in PIECES.items()],
            "problem": problem,
            "typed": {"file": "", "piece": "", "units": "metric", **(typed or {})},
            "version": VERSION,
        }
        return self._answer("index.html", shown, status)

    def problem(self, words: str, status: int) -> HTMLResponse:
        return self._answer("problem.html", {"words": words}, status)

    def whole(
        self, bench: Bench, step: Step, *, changed: Sequence[Edit] = (), status: int = 200
    ) -> HTMLResponse:
        return HTMLResponse(self._case(bench, step, changed), status)

    def parts_of(
        self,
        bench: Bench,
        step: Step,
        main: str,
        beside: Iterable[str],
        *,
        changed: Sequence[Edit] = (),
        status: int = 200,
    ) -> HTMLResponse:
        """Parts of the page of a step, by their ids."""
        return HTMLResponse(fragments(self._case(bench, step, changed), main=main, beside=beside), status)

    def row(self, bench: Bench, row: str, stage: str) -> HTMLResponse | None:
        opened = self.parts.opened(bench, row, stage)
        shown = {"opened": opened, "bench": bench}
        return None if opened is None else self._answer("components/opened_row.html", shown, 200)

    def _case(self, bench: Bench, step: Step, changed: Sequence[Edit]) -> str:
        around = Around(self.static.address, self._fields, time_said(self.files.saved(bench.file), time()))
        shown = {
            **self.parts.views(bench, self.parts.steps, step.id, around),
            **step.view(bench),
            "bench": bench,
            "step": step,
            "poll": poll_address(bench, step) if bench.at_work is not None else "",
            "look": poll_address(bench, step),
            "changed": [Unwritten(e.path, _in_file(bench, e.path), e.typed) for e in changed],
        }
        return self._templates.get_template("case.html").render(shown)

    def _answer(self, template: str, shown: Mapping[str, Any], status: int) -> HTMLResponse:
        return HTMLResponse(self._templates.get_template(template).render(shown), status)


def case_address(file: str, step: str = FIRST_STEP, asked: Mapping[str, str] | None = None) -> str:
    """The address of a step of a case. asked: as of a Bench."""
    rest = f"?{urlencode(asked)}" if asked else ""
    return f"/case/{quote(file, safe='')}/{step}{rest}"


def poll_address(bench: Bench, step: Step) -> str:
    """The address of what the worker's news change, relative to the pages of the case."""
    return f"state?{urlencode({**bench.asked, 'step': step.id, 'seen': news_of(bench)})}"


def news_of(bench: Bench) -> str:
    """A name of what a page shows that changes without its reader: the text of the file, readings of the
    press beside it, what is at work, which answers there are, and what became of orders."""
    answers = sorted((command, answer.version, answer.about) for command, answer in bench.answers.items())
    orders = [(o.command, o.about, o.version, o.waits, o.failed, o.current) for o in bench.orders]
    beside = "" if bench.own_log is None else bench.own_log.digest
    known = (bench.version, beside, bench.at_work, answers, bench.failed, orders)
    return sha256(repr(known).encode()).hexdigest()[:16]


def time_said(seconds: float, now: float) -> str:
    """When something was, by the clock of this machine: the time of a day that is today, else its date."""
    if not seconds:
        return ""
    at, today = datetime.fromtimestamp(seconds), datetime.fromtimestamp(now)
    return f"{at:%H:%M}" if at.date() == today.date() else f"{at:%Y-%m-%d}"


def _in_file(bench: Bench, path: str) -> str:
    """What the file has at a path, as typed; "" for nothing."""
    at: Any = bench.tables
    try:
        for step in place_of(path).steps:
            at = at[step]
    except (PathError, LookupError, TypeError):
        return ""
    return at if isinstance(at, str) else str(at).lower() if isinstance(at, bool) else str(at)
