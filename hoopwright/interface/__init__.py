"""What Python programs call, and the commands too. Nothing large is imported before something is solved."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from hoopwright.interface.results import (
    Answer,
    Checked,
    Compared,
    Curves,
    Pressed,
    Sheet,
    Sized,
    checked,
    compared,
    mapped,
    pressed,
    sheet_of,
    sized,
    with_curves,
)
from hoopwright.interface.solving import solving

if TYPE_CHECKING:
    from hoopwright.case.model import Case
    from hoopwright.pipeline import Results


def read_case(path: str | Path) -> Case:
    """The case in a TOML file; "-" is standard input. Raises CaseError with every fault of the file."""
    from hoopwright.case import read

    return read.read_case(path)


def parse_case(text: str, *, file: str = "case") -> Case:
    """The case in a TOML text. Raises CaseError with every fault of the text.

    file: what faults and documents call it; what the case names, a press log or a file of materials,
    lies beside it.
    """
    from hoopwright.case import read

    return read.parse_case(text, file=file)


def check(case: Case, *, progress: Callable[[str, int, int], None] | None = None) -> Checked:
    """Press the sleeve in, compare with Lamé, and judge every way to fail.

    progress: called before each row is judged with its id, how many are done and of how many; it begins
    again where the mesh is refined, and what it raises ends the check. Raises CaseError where the sizes
    cannot be meshed, NotSolvedError where the model cannot be solved.
    """
    with solving(case.file):
        return checked(solve(case, progress=progress))


def solve(case: Case, *, progress: Callable[[str, int, int], None] | None = None) -> Results:
    """What `check` solves, with all its models: for what is made of it beside the result. Raises as
    `check` does."""
    from hoopwright.checks import no_progress
    from hoopwright.pipeline import check_case

    with solving(case.file):
        return check_case(case, progress or no_progress)


def size(case: Case, *, cut: Literal["sleeve", "bore"] | None = None) -> Sized:
    """The window of interference in which every check holds, and the size to cut to; of two finished parts
    whether to press them, and the ways out if not.

    cut: the part that is cut last, to fit the other; by default the one that is not finished, the sleeve
    where neither is. Raises as `check` does.
    """
    from hoopwright.came_out.answer import came_out
    from hoopwright.display import Units
    from hoopwright.sizing.plan import size_case

    with solving(case.file):
        plan = size_case(case, cut="shell" if cut == "bore" else cut)
        return sized(plan, came_out(plan, Units(case.units)))


def compare(case: Case, sleeves: Sequence[str] = ()) -> Compared:
    """Every route of the case under the same loads, best first.

    sleeves: names of materials; where given, the case's own sleeve in each of them instead. Raises
    CaseError for an unknown material and where there is nothing to compare, else as `check` does.
    """
    from hoopwright.sizing.alternatives import compare_alternatives

    with solving(case.file):
        return compared(case, compare_alternatives(case, sleeves), sleeves)


def press(case: Case, *, past_yield: bool = False) -> Pressed:
    """What the press should read on the way in, and what its readings say about the fit.

    past_yield: press past yield although nothing yields. Raises as `check` does, and CaseError for a
    faulty press log.
    """
    from hoopwright.pressing.plan import press_plan

    with solving(case.file):
        return pressed(press_plan(case, past_yield=past_yield))


def sheet(case: Case) -> Sheet:
    """The shop sheet of a case: order of work, sizes to cut to, where to stop at the press, proof, and how
    to take the sleeve out again. Raises as `press` does.
    """
    from hoopwright.display import Units
    from hoopwright.pipeline import check_case
    from hoopwright.record.gather import gather
    from hoopwright.record.progress import silent

    with solving(case.file):
        return sheet_of(gather(check_case(case), Units(case.units), silent).sheet)


def curves(case: Case) -> Curves:
    """Every judged cell as a function of the planned interference, and the window it may lie in: what lets
    margins follow a change of the interference at once, without another check.

    Between the interferences that were solved, margins are interpolated; nothing is said to hold by that.
    Raises as `check` does.
    """
    from hoopwright.sizing.cell_curves import cell_curves

    with solving(case.file):
        return with_curves(cell_curves(case))


def write_record(
    case: Case,
    out: str | Path = ".",
    *,
    units: Literal["metric", "inch"] | None = None,
    revolved: bool = False,
) -> Path:
    """Check the case and write its record, a new folder in `out`; the path of that folder.

    The record holds the case file, which is read again from where the case came from. units: of the pages,
    by default as the case says. revolved: also every load case on the mesh revolved about the axis. Raises
    as `check` does, and OutputError, which leaves nothing behind in `out`.
    """
    from hoopwright.display import Units
    from hoopwright.pipeline import check_case
    from hoopwright.record.files import write_repair_record

    with solving(case.file):
        results = check_case(case)
        shown_in = Units(units or results.case.units)
        return write_repair_record(results, shown_in, str(out), case.file, revolved=revolved)


def document_schema() -> dict[str, Any]:
    """The JSON Schema of every document that a command or a result gives, one definition per command."""
    text = resources.files("hoopwright.document").joinpath("schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


__all__ = [
    "Answer",
    "Checked",
    "Compared",
    "Curves",
    "Pressed",
    "Sheet",
    "Sized",
    "check",
    "checked",
    "compare",
    "curves",
    "document_schema",
    "mapped",
    "parse_case",
    "press",
    "read_case",
    "sheet",
    "size",
    "sized",
    "solve",
    "solving",
    "write_record",
]
