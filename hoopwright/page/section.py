"""The half section that is drawn: of the case, or of as much of it as the tables give."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from hoopwright.case import quantity
from hoopwright.case.model import Case
from hoopwright.case.table import MAX_ROWS
from hoopwright.display import Units
from hoopwright.geometry import Thread
from hoopwright.geometry.land import End
from hoopwright.geometry.thread import thread_by_designation
from hoopwright.page.model import Bench
from hoopwright.page.paths import path_to, value_at
from hoopwright.page.quick import bore_limit, quick

ASSUMED_WIDTH, ASSUMED_OUTSIDE = 60.0, 50.0
WALL, SLEEVE_WALL = 0.85, 0.87
"""Where nothing is known, dashed: mm, and bore over outside."""

Origin = Literal["typed", "readings", "assumed"]


@dataclass(frozen=True)
class Stretch:
    """A land or a zone. diameter, diameter_end: at its ends, mm; minor: of a thread, mm, else None.

    path: of its size; index: in its list, None where it is the whole surface. origin: of the diameter.
    name: what it is, "" for a land or a zone.
    """

    start: float
    end: float
    diameter: float
    diameter_end: float
    path: str
    origin: Origin = "typed"
    index: int | None = None
    thread: Thread | None = None
    readings: int = 0
    name: str = ""

    @property
    def length(self) -> float:
        return self.end - self.start


@dataclass(frozen=True)
class Section:
    """Shell and sleeve as drawn, mm. width_origin, length_origin: of the two lengths along the axis.

    bore_limit: greatest bore that the user's least wall allows, None without a limit. wall: left on the
    thin side, least_wall: the limit; None where the case cannot be read. leading: the end that goes in
    first. materials: of shell and sleeve, "" where not given. chamfer_depths: radial, left and right, None
    where not stated.
    """

    width: float
    outside: tuple[Stretch, ...]
    bore: tuple[Stretch, ...]
    sleeve_start: float
    sleeve_end: float
    sleeve_outside: tuple[Stretch, ...]
    sleeve_bore: tuple[Stretch, ...]
    chamfer_left: float = 0.0
    chamfer_right: float = 0.0
    chamfer_depths: tuple[float | None, float | None] = (None, None)
    width_origin: Origin = "typed"
    length_origin: Origin = "typed"
    bore_limit: float | None = None
    wall: float | None = None
    least_wall: float | None = None
    leading: End | None = None
    materials: tuple[str, str] = ("", "")

    @property
    def greatest_diameter(self) -> float:
        surfaces = (self.outside, self.bore, self.sleeve_outside, self.sleeve_bore)
        return max(max(s.diameter, s.diameter_end) for surface in surfaces for s in surface)

    @property
    def ends(self) -> tuple[float, float]:
        return min(0.0, self.sleeve_start), max(self.width, self.sleeve_end)


def section_of(bench: Bench) -> Section:
    """The half section of the case where it can be read, else of what its tables give."""
    names = _text(bench.tables, "shell.material"), _text(bench.tables, "sleeve.material")
    if bench.case is not None:
        return replace(_of_case(bench.case, bench.tables), materials=names)
    return replace(_of_tables(bench.tables), materials=names)


def _of_case(case: Case, tables: Mapping[str, Any]) -> Section:
    shell, sleeve, found = case.shell, case.sleeve.unfaced, quick(case)  # as the tables give it
    read = {
        (m.part, m.surface, m.index): m.readings.count
        for m in (*case.shell_measured, *case.sleeve_measured)
    }

    def lands(part: str, surface: str) -> tuple[Stretch, ...]:
        listed = isinstance(value_at(tables, f"{part}.{surface}"), list)
        return tuple(
            Stretch(
                land.z_start,
                land.z_end,
                land.diameter_start,
                land.diameter_end,
                _size_path(tables, part, surface, index if listed else None),
                "readings" if (part, surface, index) in read else "typed",
                index if listed else None,
                readings=read.get((part, surface, index), 0),
            )
            for index, land in enumerate(getattr(shell if part == "shell" else sleeve, surface))
        )

    zones = isinstance(value_at(tables, "sleeve.bore"), list)
    return Section(
        shell.width,
        lands("shell", "outside"),
        lands("shell", "bore"),
        sleeve.z_start,
        sleeve.z_end,
        _with_rim(case, lands("sleeve", "outside")),
        tuple(
            Stretch(
                zone.z_start,
                zone.z_end,
                zone.diameter,
                zone.diameter,
                _size_path(tables, "sleeve", "bore", index if zones else None),
                index=index if zones else None,
                thread=zone.thread,
            )
            for index, zone in enumerate(sleeve.bore)
        ),
        sleeve.chamfer_left,
        sleeve.chamfer_right,
        (sleeve.chamfer_depth("left"), sleeve.chamfer_depth("right")),
        bore_limit=bore_limit(case),
        wall=found.wall,
        least_wall=case.min_wall_mm,
        leading=found.leading,
    )


def _with_rim(case: Case, lands: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    """The outside of the sleeve with that of its flange, where it has one."""
    rim = case.sleeve.rim
    if rim is None:
        return lands
    path = "sleeve.flange_diameter"
    flange = Stretch(rim.z_start, rim.z_end, rim.diameter_start, rim.diameter_end, path, name="flange")
    return (flange, *lands) if case.sleeve.flange_end == "left" else (*lands, flange)


def _size_path(tables: Mapping[str, Any], part: str, surface: str, index: int | None) -> str:
    """The path of the size of a land, as the file gives it."""
    if index is None:
        cut_after = path_to(part, "bored_after")
        later = surface == "bore" and value_at(tables, cut_after) is not None
        return cut_after if later else path_to(part, f"{surface}_diameter")
    land = path_to(part, surface, index)
    given = value_at(tables, land)
    sizes = ("bored_after", "thread", "diameter_from", "diameter")
    keys = [key for key in sizes if isinstance(given, Mapping) and key in given]
    return f"{land}.{keys[0] if keys else 'diameter'}"


def _of_tables(tables: Mapping[str, Any]) -> Section:
    """What the tables give; where they do not, or not yet in a way that can be read, a guess that is drawn
    dashed."""
    width, length = _mm(tables, "shell.width"), _mm(tables, "sleeve.length")
    start = _mm(tables, "sleeve.start", signed=True) or 0.0
    along = width or (start + length if length else 0.0) or ASSUMED_WIDTH
    end = start + length if length else along
    bore_guess = next((s.diameter for s in _surface(tables, "shell", "bore", (0.0, along), 0.0)), 0.0)
    outside = _surface(tables, "shell", "outside", (0.0, along), bore_guess / WALL or ASSUMED_OUTSIDE)
    bore = _surface(tables, "shell", "bore", (0.0, along), WALL * min(s.diameter for s in outside))
    turned = _surface(tables, "sleeve", "outside", (start, end), min(s.diameter for s in bore))
    inside = _surface(tables, "sleeve", "bore", (start, end), SLEEVE_WALL * min(s.diameter for s in turned))
    return Section(
        along,
        outside,
        bore,
        start,
        end,
        turned,
        inside,
        _mm(tables, "sleeve.chamfer_left") or 0.0,
        _mm(tables, "sleeve.chamfer_right") or 0.0,
        width_origin="typed" if width else "assumed",
        length_origin="typed" if length else "assumed",
        least_wall=_mm(tables, "shell.least_wall"),
    )


def _surface(
    tables: Mapping[str, Any], part: str, surface: str, ends: tuple[float, float], guess: float
) -> tuple[Stretch, ...]:
    """Lands of a surface within the ends of its part; a diameter that is not known is the guess."""
    rows = value_at(tables, f"{part}.{surface}")
    if not isinstance(rows, list) or not rows:
        size = _mm(tables, f"{part}.{surface}_diameter")
        path = _size_path(tables, part, surface, None)
        return (Stretch(*ends, size or guess, size or guess, path, "typed" if size else "assumed"),)
    low, high = ends
    step = (high - low) / len(rows)
    found: list[Stretch] = []
    for index in range(min(len(rows), MAX_ROWS)):
        row = path_to(part, surface, index)
        start, end = (_mm(tables, f"{row}.{key}", signed=True) for key in ("from", "to"))
        start = low + index * step if start is None else min(max(start, low), high)
        end = low + (index + 1) * step if end is None else min(max(end, low), high)
        if end > start:
            found.append(_stretch(tables, row, (start, end), guess, part, surface, index))
    return tuple(found) or (Stretch(low, high, guess, guess, f"{part}.{surface}", "assumed"),)


def _stretch(
    tables: Mapping[str, Any],
    row: str,
    ends: tuple[float, float],
    guess: float,
    part: str,
    surface: str,
    index: int,
) -> Stretch:
    thread = _thread(value_at(tables, f"{row}.thread"))
    size = thread.major if thread else _mm(tables, f"{row}.diameter")
    first, last = (size or _mm(tables, f"{row}.diameter_{end}") for end in ("from", "to"))
    return Stretch(
        *ends,
        first or last or guess,
        last or first or guess,
        _size_path(tables, part, surface, index),
        "typed" if first or last else "assumed",
        index,
        thread,
    )


def _thread(given: Any) -> Thread | None:
    try:
        return thread_by_designation(given) if isinstance(given, str) else None
    except ValueError:
        return None


def _mm(tables: Mapping[str, Any], path: str, *, signed: bool = False) -> float | None:
    """A length of the tables, or None where it is not given, cannot be read or cannot be drawn."""
    try:
        size = quantity.parse(value_at(tables, path), "length")
    except quantity.QuantityError:
        return None
    return size if signed or size > 0.0 else None


def _text(tables: Mapping[str, Any], path: str) -> str:
    given = value_at(tables, path)
    return given if isinstance(given, str) else ""


def size_text(size: float, units: Units) -> str:
    """A size without its unit and without zeros at its end, to a µm or a tenth of a thou."""
    plain = units.number(size, "mm")
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def fine_text(size: float, units: Units) -> str:
    """A size that is fitted to another, with zeros at its end; a digit more only where it was given so."""
    usual = 3 if units.system == "metric" else 4
    shown = float(units.number(size, "mm", decimals=9))
    finer = abs(shown * 10 ** (usual + 1) - round(shown * 10 ** (usual + 1))) < 1e-4
    plain = abs(shown * 10**usual - round(shown * 10**usual)) < 1e-4
    return units.number(size, "mm", decimals=usual + 1 if finer and not plain else usual)


def wall_text(wall: float, units: Units) -> str:
    """A wall without its unit, rounded down to a µm or a tenth of a thou."""
    step = 1e-3 if units.system == "metric" else 25.4e-4
    return units.number(math.floor(wall / step + 1e-6) * step, "mm")


def diameter_text(stretch: Stretch, units: Units, *, fitted: bool) -> str:
    """The diameter of a land with its sign; "Ø ?" where it is not known."""
    if stretch.origin == "assumed":
        return "Ø ?"
    if stretch.thread is not None:
        return thread_text(stretch.thread)
    if stretch.origin == "readings":
        sizes: Sequence[str] = [units.number(0.5 * (stretch.diameter + stretch.diameter_end), "mm")]
    else:
        write = fine_text if fitted else size_text
        sizes = [write(d, units) for d in (stretch.diameter, stretch.diameter_end)]
    return "Ø " + " to ".join(dict.fromkeys(sizes))


def thread_text(thread: Thread) -> str:
    """A designation with a real times sign and without its hand, e.g. "1.370 in × 24 tpi"."""
    return thread.designation.removesuffix(hand_of(thread)).strip().replace(" x ", " × ")


def hand_of(thread: Thread) -> str:
    return "left" if thread.left_hand else "right"
