"""A change of a case from the page: made and written, or left with the reason beside each value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from hoopwright.case.quantity import KINDS, QuantityError, parse
from hoopwright.case.reader_units import System
from hoopwright.errors import CaseError, Fault
from hoopwright.page.as_typed import parts_of, shown
from hoopwright.page.bench import Benches, ReadText
from hoopwright.page.case_files import CaseText
from hoopwright.page.edit import EditError, edited
from hoopwright.page.model import Edit
from hoopwright.page.paths import PathError, declared_at, path_of, place_of, value_at
from hoopwright.page.planned_size import PATH as INTERFERENCE
from hoopwright.page.planned_size import diameters_for
from hoopwright.page.values import bare_unit, is_number

MAX_EDITS = 100
"""Values that one form may set."""


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
        before = benches.read(found.file, found.text)
        for one in edits:
            _refuse_unclear_unit(before, one, system)
        edits = _spelled_out(before, edits)
        text = edited(found.text, [(one.path, one.typed) for one in edits], system, file=found.file)
    except EditError as error:
        words = _words(error.faults[0])
        return Change(rejected={one.path: (one.typed, words) for one in edits if one.path == error.path})
    except CaseError as error:
        return _all_rejected(edits, "\n".join(map(_words, error.faults)))
    after = benches.read(found.file, text)
    rejected = _rejected(edits, before, after)
    return Change(rejected=rejected) if rejected else Change(text)


def _refuse_unclear_unit(before: ReadText, one: Edit, system: System) -> None:
    """Raises EditError for a number without a unit in place of a size in another unit than such a number
    has: 2.2 over "2 thou" is hardly 2.2 in, and not surely 2.2 thou."""
    try:
        key, own = declared_at(one.path), value_at(before.tables, one.path)
    except PathError:
        return  # told when it is made
    number, (_, unit) = one.typed.strip(), parts_of(shown(own))
    plain = bare_unit(key, system)
    if key.kind not in KINDS or not unit or unit == plain or not is_number(number):
        return
    try:
        if parse(f"{number} {unit}", key.kind) == parse(f"{number} {plain}", key.kind):
            return
    except QuantityError:
        return
    advice = f"write {number} {unit} or {number} {plain}"
    raise EditError(
        one.path, Fault("", "", "", f"{number} of which unit? The case has {shown(own)}", advice)
    )


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
