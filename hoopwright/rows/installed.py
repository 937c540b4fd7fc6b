"""Find the further rows that are installed, and refuse those that are no rows.

Nothing is imported before it is asked for, and nothing large where no such distribution is installed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from importlib.metadata import EntryPoint, entry_points
from typing import Any

from hoopwright.errors import Fault, RowError, one_line
from hoopwright.explanations import LABELS, Explanation, explanations
from hoopwright.rows.model import FurtherRow, InstalledRow

GROUP = "hoopwright.rows"
"""Group of entry points, each of which stands for a FurtherRow."""
UNITS = ("mm", "um", "MPa", "N", "N*m")
"""Units that a row may be judged in; a reader sees them in those of the case."""
MAX_TITLE = 26
"""Characters that the table of a terminal has for a title."""
MAX_REASON = 200
_ID = re.compile("[a-z][a-z_]*")


@cache
def installed_rows() -> tuple[InstalledRow, ...]:
    """The further rows by distribution and entry point, in the same order at every run.

    Raises RowError for one that cannot be loaded, is no row, or has the name of another.
    """
    found: list[InstalledRow] = []
    for point in sorted(entry_points(group=GROUP), key=lambda p: (_distribution(p)[0], p.name)):
        one = _loaded(point)
        _refuse_unsound(one, found)
        found.append(one)
    return tuple(found)


def every_explanation() -> tuple[Explanation, ...]:
    """The explanations of the tool's own rows, then of the further ones."""
    return (*explanations(), *(one.row.explanation for one in installed_rows()))


def installed_row(id_: str) -> InstalledRow | None:
    """The further row of an id; None where it is one of the tool's own."""
    return next((one for one in installed_rows() if one.id == id_), None)


def origin_part(id_: str) -> dict[str, str]:
    """The key of a document that names the distribution of a further row; none for the tool's own."""
    one = installed_row(id_)
    return {} if one is None else {"distribution": one.origin}


def row_fault(distribution: str, entry_point: str, problem: str, advice: str) -> RowError:
    """The fault of an entry point; it names where to look."""
    where = f"entry point {entry_point} of {GROUP}"
    return RowError((Fault(distribution, where, "", problem, advice),))


def raised(error: BaseException) -> str:
    """What was raised, in one line."""
    text = one_line(f"{type(error).__name__}: {error}")
    return f"raised {text[:MAX_REASON]}"


def _distribution(point: EntryPoint) -> tuple[str, str]:
    """Name and version of the distribution that an entry point belongs to."""
    if point.dist is None:
        return "unknown distribution", ""
    return str(point.dist.metadata["Name"] or "unknown distribution"), str(point.dist.version or "")


def _loaded(point: EntryPoint) -> InstalledRow:
    name, version = _distribution(point)
    try:
        row: Any = point.load()
    except (Exception, SystemExit) as error:
        problem = f"cannot be loaded from {point.value}: {raised(error)}"
        raise row_fault(name, point.name, problem, f"mend it or uninstall {name}") from error
    if not isinstance(row, FurtherRow):
        raise row_fault(name, point.name, f"{point.value} is no FurtherRow", "name one there")
    return InstalledRow(row, name, version, point.name)


def _refuse_unsound(one: InstalledRow, before: list[InstalledRow]) -> None:
    """Raise RowError for what a row declares wrongly."""
    faults = [*_wrong_in(one.row)] or [*_taken(one, before)]
    if faults:
        problem, advice = faults[0]
        raise row_fault(one.distribution, one.entry_point, problem, advice)


def _wrong_in(row: FurtherRow) -> Iterator[tuple[str, str]]:
    from hoopwright.checks.margin import STAGES

    said = row.explanation
    for name in ("check", "working"):
        if not callable(getattr(row, name)):
            yield f"its {name} is no function", f"give one as {name}="
    if not isinstance(said, Explanation):
        yield "its explanation is none", "make it by explanation_of()"
        return
    texts = (said.id, said.title, said.fails, said.looks, said.unit, said.factor, *said.stages)
    if not all(isinstance(text, str) for text in texts):
        yield "its explanation has a part that is no text", "write texts in quotes"
        return
    if any(source.label not in LABELS for source in said.sources):
        yield "its explanation has a source without a label", f"write one of {'; '.join(LABELS)}"
    if not _ID.fullmatch(said.id):
        yield f"its id {said.id!r} is no name", "write small letters and underscores"
    if not 0 < len(said.title.strip()) <= MAX_TITLE or not said.title.isprintable() or "," in said.title:
        yield f"its title {said.title!r} does not fit", f"write up to {MAX_TITLE} characters, no comma"
    if not said.stages or tuple(stage for stage in STAGES if stage in said.stages) != said.stages:
        yield f"its stages {said.stages} are not known", f"write some of {', '.join(STAGES)}, in order"
    if said.unit not in UNITS:
        yield f"its unit {said.unit!r} is not known", f"write one of {', '.join(UNITS)}"


def _taken(one: InstalledRow, before: list[InstalledRow]) -> Iterator[tuple[str, str]]:
    from hoopwright.checks import STAGES_OF

    owners = {id_: "hoopwright" for id_ in STAGES_OF}
    owners |= {said.title.lower(): "hoopwright" for said in explanations()}
    owners |= {name.lower(): other.distribution for other in before for name in (other.id, other.title)}
    for word, name in (("id", one.id), ("title", one.title)):
        if name.lower() in owners:
            yield (
                f"its {word} {name!r} is that of a row of {owners[name.lower()]}",
                f"give it another {word}",
            )
