"""The part that is cut last: its lands, what a gauge shows of them now, and what the case says once that is
what they are. Nothing here is solved."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Any, Literal

from hoopwright.came_out.changes import FINISHED
from hoopwright.case.model import Case
from hoopwright.case.quantity import QuantityError, parse
from hoopwright.display import Units
from hoopwright.geometry.joint import joint
from hoopwright.geometry.land import Land
from hoopwright.interference import effective_interference, measured
from hoopwright.measured.gauge_temperature import gauge_rise
from hoopwright.measured.measured_land import diameter_at_20
from hoopwright.page.model import Edit
from hoopwright.page.paths import PathError, place_of, value_at
from hoopwright.page.values import is_number
from hoopwright.sizing.finished import bore_is_cut, sleeve_is_cut
from hoopwright.sizing.turn_to import SURFACE, reading_errors

Part = Literal["sleeve", "shell"]
INCH = 25.4
SLIP = 1.5
"""Ratio of a reading to its size, either way, beyond which it is in another unit or a slip: common
practice, no source."""
MAX_READINGS = 99
_RESTORED = re.compile(
    r"(?:sleeve\.outside|shell\.bore)(?:\[\d+\]\.(?:diameter(?:_from|_to)?|plus_minus)|_diameter|_plus_minus)"
)
"""Paths of the sizes that taking back what was read may set."""


class NotReadError(ValueError):
    """What was typed is no reading; its text says why."""


@dataclass(frozen=True)
class Place:
    """A size that is read: of a land, or of one end of a land that tapers. index: of the land; end: 0 left,
    1 right, None of a cylinder; z of the land, or of that end, mm."""

    part: Part
    index: int
    end: int | None
    z_start: float
    z_end: float

    @property
    def name(self) -> str:
        """Of its field, and of the reading in the address, which is of no other part."""
        bore = "bore-" if self.part == "shell" else ""
        return f"now-{bore}{self.index + 1}" + ("" if self.end is None else ("-left", "-right")[self.end])


@dataclass(frozen=True)
class LastCut:
    """What is finished and what is not. part: the one that is cut to suit the other; None where both are
    finished. places: what is read of it. read: land that has readings in the case."""

    part: Part | None
    places: tuple[Place, ...] = ()
    read: tuple[int, ...] = ()
    sleeve_cut: bool = False

    @property
    def lands(self) -> tuple[int, ...]:
        return tuple(dict.fromkeys(place.index for place in self.places))


@dataclass(frozen=True)
class Reading:
    """What was typed for a place: values as read, mm, and the text that says so with its unit."""

    values: tuple[float, ...]
    text: str

    @property
    def mean(self) -> float:
        return sum(self.values) / len(self.values)

    @property
    def range(self) -> float:
        return max(self.values) - min(self.values)


def last_cut(case: Case) -> LastCut:
    """As `size` decides it, from sizes alone."""
    made = joint(case.shell, case.sleeve)
    fits = effective_interference(case, made).fits
    sleeve_cut = sleeve_is_cut(case, fits)
    if sleeve_cut and bore_is_cut(case, {s.seat.bore_land for s in fits}):
        return LastCut(None, sleeve_cut=True)
    part: Part = "shell" if sleeve_cut else "sleeve"
    indices = sorted({s.sleeve_land if part == "sleeve" else s.bore_land for s in made.seats})
    read = tuple(k for k in indices if measured(case, part, SURFACE[part], k) is not None)
    places = tuple(place for k in indices for place in _places(part, k, land_of(case, part, k)))
    return LastCut(part, places, read, sleeve_cut)


def land_of(case: Case, part: Part, index: int) -> Land:
    """A land as it is cut."""
    own = case.sleeve.unfaced if part == "sleeve" else case.shell
    land: Land = getattr(own, SURFACE[part])[index]
    return land


def _places(part: Part, index: int, land: Land) -> Iterator[Place]:
    if land.diameter_start == land.diameter_end:
        yield Place(part, index, None, land.z_start, land.z_end)
        return
    for end, z in enumerate((land.z_start, land.z_end)):
        yield Place(part, index, end, z, z)


def reading_of(typed: str, size: float, units: Units) -> Reading:
    """What was typed: one diameter, or several with spaces between; bare numbers are of the page's unit.
    size: that it should be near, mm. Raises NotReadError."""
    words = typed.replace(";", " ").split()
    if not words:
        raise NotReadError("nothing was typed; write what the gauge shows")
    numbers = [word for word in words if is_number(word)]
    unit = units.label("mm")
    if numbers and len(numbers) == len(words) - 1 and words[-1] not in numbers:
        unit = words[-1]
    elif len(numbers) < len(words):
        numbers, unit = [" ".join(words)], ""
    if len(numbers) > MAX_READINGS:
        raise NotReadError(f"more than {MAX_READINGS} readings")
    try:
        values = tuple(parse(f"{number} {unit}".strip(), "length") for number in numbers)
    except QuantityError as error:
        raise NotReadError(str(error)) from None
    for number, value in zip(numbers, values, strict=True):
        if not size / SLIP < value < size * SLIP:
            aim = units.both(size, "mm")
            raise NotReadError(
                f"{number} {unit} is far from {aim}: a slip, or another unit".replace("  ", " ")
            )
    return Reading(values, f"{' '.join(numbers)} {unit}".strip())


def at_20(case: Case, part: Part, shown: float) -> float:
    """Diameter at 20 °C, mm, of what the gauge shows of the part at the temperature of the shop."""
    material = case.sleeve_material if part == "sleeve" else case.shell_material
    gauge, shop = case.size.gauge, case.size.shop_rise_K
    rise, expansion = (gauge_rise(gauge, shop), gauge.expansion) if gauge else (0.0, 0.0)
    return float(
        diameter_at_20(shown, shop, material.expansion, gauge_rise=rise, gauge_expansion=expansion)
    )


def as_read(case: Case, readings: Mapping[Place, Reading]) -> tuple[Edit, ...]:
    """The changes that make the sizes of the case what was read of them, at 20 °C, each known as well as so
    many readings know it and never better than they agree, and say that the part is finished."""
    edits: list[Edit] = []
    part = next(iter(readings)).part
    for place, reading in readings.items():
        half = max(_half_width(case, place, len(reading.values)), 0.5 * reading.range)
        size, sure = _paths(case, place)
        edits.append(Edit(size, _size_text(case, at_20(case, part, reading.mean))))
        edits = [one for one in edits if one.path != sure]
        edits.append(Edit(sure, _error_text(case, half)))
    return (*edits, Edit(f"{part}.{FINISHED[part]}", "true"))


def may_differ(case: Case, place: Place) -> float:
    """By how much two readings of one size may differ, mm: each lies within the 95 % of one reading. What
    differs by more is not of one size, or not read right."""
    return 2.0 * _half_width(case, place, 1)


def _half_width(case: Case, place: Place, count: int) -> float:
    """Of the mean of so many readings, 95 %, mm."""
    counted = replace(case, size=replace(case.size, readings=count))
    return float(reading_errors(counted, place.part, place.index).half_width())


def _paths(case: Case, place: Place) -> tuple[str, str]:
    """Of a size and of its ±."""
    surface = f"{place.part}.{SURFACE[place.part]}"
    listed = case.sleeve_lands_listed if place.part == "sleeve" else case.shell_lands_listed
    if not listed:
        return f"{surface}_diameter", f"{surface}_plus_minus"
    land = f"{surface}[{place.index}]"
    key = "diameter" if place.end is None else ("diameter_from", "diameter_to")[place.end]
    return f"{land}.{key}", f"{land}.plus_minus"


def _size_text(case: Case, diameter: float) -> str:
    """To a tenth of a micrometre, or a millionth of an inch."""
    return f"{diameter / INCH:.6f} in" if case.units == "inch" else f"{diameter:.4f} mm"


def _error_text(case: Case, half: float) -> str:
    """Rounded up."""
    if case.units == "inch":
        return f"{ceil(1e5 * half / INCH - 1e-6) / 100:g} thou"
    return f"{ceil(1e4 * half - 1e-6) / 10:g} um"


def stored_text(tables: Mapping[str, Any], edits: Sequence[Edit]) -> str:
    """What the case has where edits are to be made, for `restored`."""
    paths = [one.path for one in edits if _RESTORED.fullmatch(one.path)]
    return json.dumps({path: value for path in paths if isinstance(value := value_at(tables, path), str)})


def restored(stored: str) -> tuple[Edit, ...]:
    """The sizes of before, as `stored_text` has them; none where that is something else."""
    try:
        found = json.loads(stored)
        pairs = found.items() if isinstance(found, dict) else ()
        edits = tuple(Edit(path, value) for path, value in pairs if _may_be_restored(path, value))
    except (ValueError, RecursionError):
        return ()
    return edits


def _may_be_restored(path: str, value: Any) -> bool:
    try:
        return bool(_RESTORED.fullmatch(path)) and isinstance(value, str) and place_of(path).key is not None
    except PathError:
        return False


def not_finished(case: Case, part: Part, stored: str = "") -> tuple[Edit, ...]:
    """The changes that say that a part is not finished. stored: sizes to be put back."""
    surface = SURFACE[part]
    is_read = any(one.surface == surface for one in getattr(case, f"{part}_measured"))
    return (*restored(stored), Edit(f"{part}.{FINISHED[part]}", "false" if is_read else ""))
