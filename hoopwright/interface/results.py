"""Results as a program holds them: frozen, light, and the same after pickle."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from hoopwright import status

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from hoopwright.came_out.answer import CameOut
    from hoopwright.case.model import Case
    from hoopwright.checks.margin import Margin
    from hoopwright.display import Units
    from hoopwright.pipeline import Results
    from hoopwright.pressing.force_travel import ForceTravel
    from hoopwright.pressing.plan import PressPlan
    from hoopwright.pressing.posterior import Readings
    from hoopwright.shop_sheet.plan import SheetPlan
    from hoopwright.sizing.cell_curves import CellCurves
    from hoopwright.sizing.plan import SizePlan
    from hoopwright.sizing.routes import RouteResult


@dataclass(frozen=True)
class Answer:
    """What all results have in common.

    case: as it was given. status: the exit status of the command of the same name.
    """

    case: Case = field(compare=False)
    status: int
    _json: str = field(repr=False)

    def document(self) -> dict[str, Any]:
        """The document that the command prints with --json: a new one at every call, yours to change."""
        found: dict[str, Any] = json.loads(self._json)
        return found

    @property
    def verdict(self) -> str:
        """The conclusion, in a few sentences."""
        return str(self.document()["verdict"])

    def _repr_html_(self) -> str:
        """For notebooks: the verdict, the rows, and the figure of what governs."""
        from hoopwright.interface.notebook import html

        return html(self.document(), self.units, self._figure)

    @property
    def units(self) -> Units:
        """The units of the case."""
        from hoopwright.display import Units

        return Units(self.case.units)

    def _figure(self) -> Figure | None:
        raise NotImplementedError


@dataclass(frozen=True)
class AnswerByRows(Answer):
    """What says of every way to fail whether it does. rows: one of each."""

    rows: tuple[Margin, ...] = field(repr=False, compare=False)

    def _figure(self) -> Figure:
        from hoopwright.record.figures.margins import figure_of_rows

        return figure_of_rows(self.rows)


@dataclass(frozen=True)
class Checked(AnswerByRows):
    """Result of `check`. rows: one a way to fail, the least margin first."""

    @property
    def state(self) -> str:
        """The verdict in a word: holds, holds as far as judged, undecided, fails, contradicted."""
        return str(self.document()["state"])


@dataclass(frozen=True)
class Sized(AnswerByRows):
    """Result of `size`. rows: one a way to fail, as the case has the sleeve now."""

    @property
    def state(self) -> str:
        """Whether there is a size to cut to: holds, holds as far as judged, undecided, fails."""
        return str(self.document()["state"])


@dataclass(frozen=True)
class Compared(Answer):
    """Result of `compare`. routes: best first. sleeves: the materials compared, where those were."""

    routes: tuple[RouteResult, ...] = field(repr=False, compare=False)
    sleeves: tuple[str, ...] = ()

    @property
    def state(self) -> str:
        """Whether the best of them holds: holds, holds as far as judged, undecided, fails."""
        return str(self.document()["state"])

    def _figure(self) -> Figure:
        from hoopwright.record.figures.compare import figure

        return figure(self.routes, self.units)


@dataclass(frozen=True)
class Pressed(Answer):
    """Result of `press`. force_travel: force against travel, None where the sleeve slips in. readings: what
    was read at the press, None where nothing was."""

    force_travel: ForceTravel | None = field(repr=False, compare=False)
    readings: tuple[str, Readings] | None = field(repr=False, compare=False)

    @property
    def verdict(self) -> str:
        """What fails as it is pressed in, in a sentence."""
        if self.status == status.ALL_HOLD:
            return "Nothing that was judged fails as it is pressed in."
        shown = self.document()
        names = ", ".join(cell["title"] for cell in shown["failing"])
        if names:
            return f"Fails: {names}."
        if shown["undecided"]:
            return f"Undecided: {'; '.join(shown['undecided'])}."
        return "What was read at the press contradicts the case."

    def _figure(self) -> Figure | None:
        from hoopwright.record.figures.press import figure

        return None if self.force_travel is None else figure(self.force_travel, self.readings, self.units)


@dataclass(frozen=True)
class Sheet(Answer):
    """Result of `sheet`: the shop sheet of a case, and how to take its sleeve out again."""

    @property
    def state(self) -> str:
        """Whether the piece may be made: holds, holds as far as judged, undecided, fails, contradicted."""
        return str(self.document()["state"])

    def write(self, out: str | Path = ".", *, paper: Literal["A4", "letter"] | None = None) -> Path:
        """Write the sheet, a PDF of one page, as a new file in a folder; the path of that file.

        paper: by default as the case says, or as its units have it. Raises OutputError, which leaves
        nothing behind.
        """
        from hoopwright.record.sheet.write import write_sheet

        return write_sheet(self.document(), self.case, Path(out), paper)

    def _figure(self) -> None:
        return None


@dataclass(frozen=True)
class Curves(Answer):
    """Result of `curves`. No command has its name, and its status is that of something done."""

    @property
    def verdict(self) -> str:
        """What it may be used for."""
        return "Margins read from curves. Only a check says whether the joint holds."

    def _figure(self) -> None:
        return None


def checked(results: Results) -> Checked:
    """The result of a solved check."""
    from hoopwright.document.check import document
    from hoopwright.document.heading import as_json

    shown = document(results)
    return Checked(results.case, status.BY_STATE[shown["state"]], as_json(shown), results.margins)


def mapped(results: Results) -> dict[str, Any]:
    """The document of the maps of a solved check, for the page; no command prints it."""
    from hoopwright.document.maps import document, withheld
    from hoopwright.maps import maps_of

    return document(results, None if withheld(results) else maps_of(results))


def sized(plan: SizePlan, found: CameOut | None) -> Sized:
    """The result of a solved plan. found: the answer on finished parts, None where they are not both
    finished."""
    from hoopwright.display import Units
    from hoopwright.document.heading import as_json
    from hoopwright.document.size import document

    shown = document(plan, Units(plan.case.units), found)
    return Sized(plan.case, status.BY_STATE[shown["state"]], as_json(shown), plan.margins)


def compared(case: Case, routes: Sequence[RouteResult], sleeves: Sequence[str]) -> Compared:
    """The result of alternatives that were solved."""
    from hoopwright.document.compare import document
    from hoopwright.document.heading import as_json

    shown = document(case, routes)
    return Compared(case, status.BY_STATE[shown["state"]], as_json(shown), tuple(routes), tuple(sleeves))


def pressed(plan: PressPlan) -> Pressed:
    """The result of a solved plan."""
    from hoopwright.display import Units
    from hoopwright.document.heading import as_json
    from hoopwright.document.press import document

    shown = document(plan, Units(plan.case.units))
    in_doubt = plan.contradicted or bool(plan.failing or plan.doubts)
    code = status.SOME_FAIL if in_doubt else status.ALL_HOLD
    return Pressed(plan.case, code, as_json(shown), plan.force_travel, plan.readings)


def sheet_of(plan: SheetPlan) -> Sheet:
    """The result of a solved plan."""
    from hoopwright.document.heading import as_json
    from hoopwright.document.sheet import document

    shown = document(plan)
    return Sheet(plan.results.case, status.BY_STATE[shown["state"]], as_json(shown))


def with_curves(found: CellCurves) -> Curves:
    """The result of cells that were solved along the interference."""
    from hoopwright.document.curves import document
    from hoopwright.document.heading import as_json

    return Curves(found.case, status.ALL_HOLD, as_json(document(found), on_one_line=True))
