"""What the steps have in common: what is still wanted, in one line with a link, and the mark of a step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from hoopwright.page.fields import FieldView, is_missing, other_faults
from hoopwright.page.model import Bench, Mark
from hoopwright.page.paths import value_at


@dataclass(frozen=True)
class Wanted:
    """What a step lacks. text: one line; link: to the field or step, with its words."""

    text: str
    href: str
    link: str


@dataclass(frozen=True)
class Group:
    """Fields under one heading. note: what is to be said of all of them.

    together: they are one form, since a case is sound only with all of them. fault: what is wrong with all
    of them alike.
    """

    title: str
    fields: tuple[FieldView, ...]
    note: str = ""
    together: bool = False
    fault: str = ""

    @property
    def wants_a_look(self) -> bool:
        """Whether something in it is wrong or missing, so that it is not folded away."""
        lacks = any(f.fault or (f.required and f.state == "nothing") for f in self.fields)
        return bool(self.fault) or lacks


def together(title: str, fields: tuple[FieldView, ...], note: str = "") -> Group:
    """Fields that are taken at once. What is wrong with several alike is said once."""
    words = [f.fault for f in fields if f.fault]
    if len(words) < 2 or len(set(words)) > 1:
        return Group(title, fields, note, together=True)
    return Group(title, tuple(replace(f, fault="") for f in fields), note, together=True, fault=words[0])


def is_given(bench: Bench, path: str) -> bool:
    value = value_at(bench.tables, path)
    return value is not None and value != ""


def wanted_of(fields: Iterable[FieldView]) -> tuple[Wanted, ...]:
    """The required sizes that nothing gives."""
    lacking = [f for f in fields if f.required and f.state == "nothing"]
    if not lacking:
        return ()
    names = ", ".join(f.label for f in lacking[:3]) + (" and more" if len(lacking) > 3 else "")
    return (Wanted(f"Still wanted: {names}.", f"#{lacking[0].id}", f"Give {lacking[0].label}"),)


def mark_of(bench: Bench, tables: tuple[str, ...], given: int, of: int) -> Mark:
    """Fault before all, then how much is given; what is only missing is no fault."""
    wrong = (fault for fault in bench.faults if not is_missing(fault))
    if any(_speaks_of(fault.table, tables) for fault in wrong) or _is_refused(bench, tables):
        return "fault"
    if given == 0:
        return "nothing"
    return "given" if given >= of else "partly"


def _speaks_of(heading: str, tables: tuple[str, ...]) -> bool:
    top = heading.lstrip("[").partition("]")[0].partition(".")[0]
    return top in tables if heading.startswith("[") else "" in tables


def _is_refused(bench: Bench, tables: tuple[str, ...]) -> bool:
    refused = getattr(bench, "rejected", {})
    return any(path.partition(".")[0].partition("[")[0] in tables for path in refused)


def _not_taken(bench: Bench, fields: tuple[FieldView, ...]) -> tuple[str, ...]:
    """Why something was not taken that no field shows, as a table that a button takes away."""
    shown = {f.path for f in fields}
    refused = getattr(bench, "rejected", {})
    return tuple(f"{path}: {words}" for path, (_, words) in refused.items() if path not in shown)


def shared(
    bench: Bench, step: str, tables: tuple[str, ...], fields: tuple[FieldView, ...]
) -> Mapping[str, Any]:
    """What every template of these steps takes."""
    return {
        "file": bench.file,
        "digest": bench.digest,
        "step_id": step,
        "wanted": wanted_of(fields),
        "other_faults": (*_not_taken(bench, fields), *other_faults(bench, tables, fields)),
    }
