"""Judge every row, those of other distributions so that none of them can be lost.

What such a row gives is held against what it declares, and its verdict is taken from its cells again. Where
it raises, or gives what is no row, the command ends with a fault: no result is left that could hold.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from hoopwright.checks import (
    CHECKS,
    STAGES,
    STAGES_OF,
    Evidence,
    Location,
    Margin,
    Progress,
    Stage,
    doubted,
    no_progress,
)
from hoopwright.checks import judged as judged_by
from hoopwright.checks.closure_read import closure_doubt
from hoopwright.checks.margin import When, row_of
from hoopwright.errors import HoopwrightError
from hoopwright.estimate import Estimate
from hoopwright.fem.errors import MeshError, SolveError
from hoopwright.rows.installed import installed_row, installed_rows, raised, row_fault
from hoopwright.rows.model import InstalledRow
from hoopwright.suspected import doubt_of

Check = Callable[[Evidence], Margin]
OURS = (HoopwrightError, MeshError, SolveError, MemoryError)
"""What the solution behind a row may raise, whoever asks for it."""


def checks() -> tuple[Check, ...]:
    """The checks of the tool, then those of other distributions."""
    return (*CHECKS, *map(_guarded, installed_rows()))


def judged(evidence: Evidence, progress: Progress = no_progress) -> tuple[Margin, ...]:
    """Every row that applies to the case, in doubt where a reading stands out too far, or the bore closed
    by another amount than the sizes give."""
    rows = judged_by(evidence, checks(), progress)
    doubt = doubt_of(evidence.case) or closure_doubt(evidence)
    return tuple(doubted(row, doubt) for row in rows) if doubt else rows


def stages_of(id_: str) -> tuple[Stage, ...]:
    """The stages in which a joint can fail in the way of a row."""
    one = installed_row(id_)
    if one is None:
        return STAGES_OF[id_]
    return tuple(stage for stage in STAGES if stage in one.row.explanation.stages)


def _guarded(one: InstalledRow) -> Check:
    def check(evidence: Evidence) -> Margin:
        try:
            found = one.row.check(evidence)
        except OURS:
            raise
        except (Exception, SystemExit) as error:
            raise row_fault(
                one.distribution, one.entry_point, f"its check {raised(error)}", _advice(one)
            ) from error
        for problem in _wrong_in(one, found):
            raise row_fault(one.distribution, one.entry_point, f"its check {problem}", _advice(one))
        return _from_cells(found) if found.applies else found

    check.__name__ = one.id  # by which progress names it
    return check


def _advice(one: InstalledRow) -> str:
    return f"nothing is judged without it: mend it or uninstall {one.distribution}"


def _from_cells(found: Margin) -> Margin:
    """The row with all its cells, and a doubt about it in every one of them: the window of interference
    looks at nothing else."""
    row = row_of(found.cells or (found,))
    return doubted(row, found.doubt) if found.doubt else row


def _wrong_in(one: InstalledRow, found: object) -> Iterator[str]:
    """What is wrong with a row that a check gave."""
    if type(found) is not Margin:
        yield f"gave {type(found).__name__}, no Margin"
        return
    for cell in (found, *found.cells):
        if type(cell) is not Margin:
            yield f"gave a cell that is {type(cell).__name__}, no Margin"
            return
        yield from _wrong_with_cell(one, cell)
    stages = [cell.stage for cell in found.cells]
    if len(set(stages)) != len(stages):
        yield "gave two cells of one stage"
    worst = row_of(found.cells or (found,))
    if (worst.demand, worst.capacity, worst.factor) != (found.demand, found.capacity, found.factor):
        yield "gave a row that is not the worst of its cells; make it by row_of"
    if not found.applies and found.margin is not None:
        yield "gave a margin of a row that does not apply"


def _wrong_with_cell(one: InstalledRow, cell: Margin) -> Iterator[str]:
    said = one.row.explanation
    for word, given, declared in (
        ("id", cell.id, said.id),
        ("title", cell.title, said.title),
        ("unit", cell.unit, said.unit),
    ):
        if given != declared:
            yield f"gave the {word} {given!r}, declared is {declared!r}"
    if cell.stage not in said.stages:
        yield f"gave the stage {cell.stage!r}, declared are {', '.join(said.stages)}"
    if not (_is_number(cell.factor) and 0.0 < cell.factor < math.inf):
        yield f"gave the factor {cell.factor!r}, which must be above 0"
    if cell.factor != 1.0 and not said.factor:
        yield "gave a factor, and its explanation names no key of [factors]"
    for side in (cell.demand, cell.capacity):
        if side is not None and not (
            type(side) is Estimate
            and _is_number(side.value)
            and _is_number(side.error)
            and 0.0 <= side.error < math.inf
        ):
            yield f"gave {side!r}, no value with its error in {said.unit}"
    yield from _wrong_words(cell)


def _wrong_words(cell: Margin) -> Iterator[str]:
    """What a reader could not be shown of where, when and why a cell governs."""
    where, when = cell.where, cell.when
    if type(where) is not Location or type(when) is not When:
        yield "gave no Location, or no When"
        return
    texts = (where.body, when.friction, when.load_case, when.joint, cell.basis, cell.note, cell.doubt)
    if not all(isinstance(text, str) for text in texts):
        yield "gave a body, a basis, a note or another word that is no text"
    numbers = (where.r, where.z, where.theta, when.temperature_rise, when.preload, when.travel)
    if not all(one is None or (_is_number(one) and abs(one) < math.inf) for one in numbers):
        yield "gave a place or a state that is no number"
    if when.joint not in ("", "stuck", "sliding"):
        yield f"gave a joint {when.joint!r}, which is stuck, sliding or nothing"


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and not math.isnan(value)
