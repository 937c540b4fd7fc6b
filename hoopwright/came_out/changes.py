"""Sizes proposed for lands, as a case in memory and as lines of its file; both hold the same digits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from math import ceil

from hoopwright.case.model import Case
from hoopwright.case.quantity import parse
from hoopwright.geometry.land import Land
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.sizing.rounding import INCH
from hoopwright.sizing.turn_to import SURFACE

READ_OF_A_LAND = ("readings", "gauge", "part_temperature", "temperature_plus_minus")
"""Keys that a land has only for its readings."""
TAPER = ("diameter_from", "diameter_to")
FINISHED = {"sleeve": "turned", "shell": "bored"}
"""The key that says that a part is finished."""


@dataclass(frozen=True)
class LandSize:
    """A size proposed for one land. part: "sleeve" or "shell". diameter, plus_minus: as in a case file."""

    part: str
    index: int
    diameter: str
    plus_minus: str

    @property
    def diameter_mm(self) -> float:
        return parse(self.diameter, "length")


@dataclass(frozen=True)
class Change:
    """A change of one table of a case file.

    table: its name, "sleeve" or "sleeve.outside". land: which of several, from 1; None where there is only
    one. values: text by key. dropped: keys to be taken away.
    """

    table: str
    land: int | None
    values: Mapping[str, str] = field(default_factory=dict)
    dropped: tuple[str, ...] = ()


def land_size(part: str, index: int, diameter: float, plus_minus: float, units: str) -> LandSize:
    """A size as a case file has it. diameter: in mm or, for "inch" units, in inches; plus_minus: mm."""
    if units == "inch":
        return LandSize(part, index, f"{diameter:.4f} in", f"{_up(1e3 * plus_minus / INCH, 100):g} thou")
    return LandSize(part, index, f"{diameter:.3f} mm", f"{_up(1e3 * plus_minus, 10):g} um")


def with_sizes(case: Case, sizes: Iterable[LandSize]) -> Case:
    """The case with these sizes: the lands are true, and no longer as read."""
    for size in sizes:
        part, surface = getattr(case, size.part), SURFACE[size.part]
        lands: list[Land] = list(getattr(part, surface))
        lands[size.index] = replace(
            lands[size.index],
            diameter_start=size.diameter_mm,
            diameter_end=size.diameter_mm,
            plus_minus=parse(size.plus_minus, "length"),
        )
        read: tuple[MeasuredLand, ...] = getattr(case, f"{size.part}_measured")
        others = tuple(m for m in read if (m.surface, m.index) != (surface, size.index))
        resized = replace(part, **{surface: tuple(lands)})
        case = replace(case, **{size.part: resized, f"{size.part}_measured": others})
    return case


def changes_of(case: Case, sizes: Iterable[LandSize]) -> tuple[Change, ...]:
    """What of the file of a case must be written otherwise to give it these sizes."""
    sizes = tuple(sizes)
    found = [_change(case, size) for size in sizes]
    for part in dict.fromkeys(size.part for size in sizes):
        given = case.sleeve_turned if part == "sleeve" else case.shell_bored
        if given is not None:
            own = next((c for c in found if c.table == part), Change(part, None))
            found = [c for c in found if c is not own]
            found.append(replace(own, dropped=(*own.dropped, FINISHED[part])))
    return tuple(found)


def _change(case: Case, size: LandSize) -> Change:
    surface = SURFACE[size.part]
    listed = case.sleeve_lands_listed if size.part == "sleeve" else case.shell_lands_listed
    if not listed:
        values = {f"{surface}_diameter": size.diameter, f"{surface}_plus_minus": size.plus_minus}
        return Change(size.part, None, values)
    land: Land = getattr(getattr(case, size.part), surface)[size.index]
    read: tuple[MeasuredLand, ...] = getattr(case, f"{size.part}_measured")
    is_read = any((m.surface, m.index) == (surface, size.index) for m in read)
    tapered = land.diameter_start != land.diameter_end
    dropped: tuple[str, ...] = READ_OF_A_LAND if is_read else TAPER if tapered else ()
    values = {"diameter": size.diameter, "plus_minus": size.plus_minus}
    return Change(f"{size.part}.{surface}", size.index + 1, values, dropped)


def _up(value: float, parts: int) -> float:
    """The value rounded up to a whole number of parts of one."""
    return ceil(value * parts - 1e-6) / parts
