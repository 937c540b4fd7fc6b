"""What the steps have in common: what is still wanted, in one line with a link, and the mark of a step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.page.fields import FieldView, is_missing, other_faults
from hoopwright.page.model import Bench, Mark
from hoopwright.page.paths import value_at
from hoopwright.page.steps.more import more_of


@dataclass(frozen=True)
class Wanted:
    """What a step lacks. text: one line; link: to the field or step, with its words."""

    text: str
    href: str
    link: str


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


def wanted_temperatures(bench: Bench, step: str = "") -> Iterator[Wanted]:
    """The range in use, where it is not given. step: that asks for it, "" for the one in hand."""
    if not (is_given(bench, "temperatures.use_least") and is_given(bench, "temperatures.use_most")):
        text = "No range of temperature in use is given, so heat and cold are not judged."
        yield Wanted(text, f"{step}#f-temperatures-use-least", "Give the coldest and the hottest")


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
    """What every template of these steps takes. fields: those that the step shows by itself."""
    more = more_of(bench, step, {f.path for f in fields})
    fields = (*fields, *(f for one in more for f in one.group.fields))
    return {
        "file": bench.file,
        "digest": bench.seen,
        "step_id": step,
        "wanted": wanted_of(fields),
        "more": more,
        "other_faults": (*_not_taken(bench, fields), *other_faults(bench, tables, fields)),
    }
