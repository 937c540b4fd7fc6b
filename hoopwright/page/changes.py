"""A change of a case from the page: made and written, or left with the reason beside each value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from hoopwright.case.quantity import QuantityError, parse
from hoopwright.case.reader_units import System
from hoopwright.errors import CaseError, Fault
from hoopwright.page.bench import Benches, ReadText
from hoopwright.page.case_files import CaseText
from hoopwright.page.edit import EditError, edited
from hoopwright.page.paths import PathError, path_of, place_of
from hoopwright.page.planned_size import PATH as INTERFERENCE
from hoopwright.page.planned_size import diameters_for

MAX_EDITS = 100
"""Values that one form may set."""


@dataclass(frozen=True)
class Edit:
    """A value as typed; "" takes it away."""

    path: str
    typed: str


@dataclass(frozen=True)
class Change:
    """What becomes of edits: the new text, or the words of the fault of each, by path."""

    text: str = ""
    rejected: Mapping[str, tuple[str, str]] = field(default_factory=dict)


def change(benches: Benches, found: CaseText, edits: Sequence[Edit], system: System) -> Change:
    """Make edits in the text of a file, without writing it.

    They are rejected where the case is faulty afterwards and was sound before; in a case that has faults
    already, where one of them is about a value set.
    """
    try:
        edits = _spelled_out(benches.read(found.file, found.text), edits)
        text = edited(found.text, [(one.path, one.typed) for one in edits], system, file=found.file)
    except EditError as error:
        words = _words(error.faults[0])
        return Change(rejected={one.path: (one.typed, words) for one in edits if one.path == error.path})
    except CaseError as error:
        return _all_rejected(edits, "\n".join(map(_words, error.faults)))
    before, after = benches.read(found.file, found.text), benches.read(found.file, text)
    rejected = _rejected(edits, before, after)
    return Change(rejected=rejected) if rejected else Change(text)


def _spelled_out(before: ReadText, edits: Sequence[Edit]) -> list[Edit]:
    """The edits with the diameters that give an interference in its place. Raises EditError for what is no
    interference, and CaseError where the diameters are what they are."""
    found: list[Edit] = []
    for one in edits:
        if one.path != INTERFERENCE:
            found.append(one)
            continue
        if before.case is None:
            raise EditError(one.path, Fault("", "", "", "the case has a fault; put it right first"))
        try:
            planned = parse(one.typed, "length")
        except QuantityError as error:
            raise EditError(one.path, Fault("", "", "", str(error))) from None
        found += [Edit(*pair) for pair in diameters_for(before.case, 1e3 * planned)]
    return found


def _rejected(edits: Sequence[Edit], before: ReadText, after: ReadText) -> dict[str, tuple[str, str]]:
    own: dict[str, tuple[str, str]] = {}
    for one in edits:
        words = [_words(fault) for fault in after.faults if _is_about(fault, one.path)]
        if words:
            own[one.path] = (one.typed, "\n".join(words))
    if own or not after.faults or before.case is None:
        return own
    return dict(_all_rejected(edits, "\n".join(map(_words, after.faults))).rejected)


def _all_rejected(edits: Sequence[Edit], words: str) -> Change:
    return Change(rejected={one.path: (one.typed, words) for one in edits})


def _is_about(fault: Fault, path: str) -> bool:
    """Whether a fault is about the value at a path, by its key."""
    try:
        return bool(fault.key) and place_of(path_of(fault)).steps == place_of(path).steps
    except PathError:
        return False


def _words(fault: Fault) -> str:
    """The fault in the words of the command line, for beside its field: without its place."""
    return "; ".join(part for part in (fault.problem, fault.advice) if part)
