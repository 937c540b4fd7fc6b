"""Step 2, Sizes: the half section to scale, its dimensions as fields, and what follows at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from hoopwright.display import Units
from hoopwright.geometry.sleeve import FLANGE
from hoopwright.page.dimensions import Dimensions, dimensions_of
from hoopwright.page.fields import FieldView, field
from hoopwright.page.figures.half_section import half_section
from hoopwright.page.model import Bench, Mark, Step
from hoopwright.page.paths import path_to, value_at
from hoopwright.page.quick import Quick, quick
from hoopwright.page.section import section_of, size_text, wall_text
from hoopwright.page.steps.common import is_given, mark_of, shared
from hoopwright.page.steps.groups import Group, together

TABLES = ("", "shell", "sleeve", "fit", "mesh")
BESIDE_THE_DRAWING = {
    "shell.least_wall": "least wall you would leave",
    "shell.runout": "runout, bore to outside",
    "shell.out_of_round.ovality": "ovality of the bore",
    "sleeve.chamfer_left": "chamfer, left end",
    "sleeve.chamfer_right": "chamfer, right end",
    "sleeve.stop": "pushed home against",
    "sleeve.proud": "an end beyond the shell",
    "sleeve.most_bore_closure": "most the bore may close",
    "fit.friction_low": "friction, low",
    "fit.friction_high": "friction, high",
}
SURFACES = (("shell", "outside"), ("shell", "bore"), ("sleeve", "outside"), ("sleeve", "bore"))


@dataclass(frozen=True)
class Figure:
    """A number that follows from the sizes. value, other: in the units shown and the other ones."""

    name: str
    value: str
    other: str
    notes: tuple[str, ...]
    bad: bool = False


def view(bench: Bench) -> Mapping[str, Any]:
    section = section_of(bench)
    found = dimensions_of(section, bench.units)
    sized = _sized(bench, found)
    used = {f.path for f in sized}
    beside = tuple(
        field(bench, path, label, step="sizes")
        for path, label in BESIDE_THE_DRAWING.items()
        if path not in used
    )
    groups = tuple(_groups(bench))
    fields = (*sized, *beside, *(f for group in groups for f in group.fields))
    return {
        **shared(bench, "sizes", TABLES, fields),
        "drawing": half_section(section, bench.units),
        "sized": sized,
        "beside": beside,
        "groups": groups,
        "figures": figures_of(bench),
        "unit": "mm" if bench.units.system == "metric" else "inches",
        "temperature": bench.units.temperature(20.0),
    }


def mark(bench: Bench) -> Mark:
    needed = [is_given(bench, "shell.width"), is_given(bench, "sleeve.length")]
    for part, surface in SURFACES:
        size = path_to(part, f"{surface}_diameter")
        needed.append(is_given(bench, size) or is_given(bench, path_to(part, surface)))
    needed += [_has_fit(bench, key) for key in ("friction_low", "friction_high")]
    return mark_of(bench, TABLES[1:], sum(needed), len(needed))


def _has_fit(bench: Bench, key: str) -> bool:
    return field(bench, path_to("fit", key), key).state != "nothing"


def _sized(bench: Bench, found: Dimensions) -> tuple[FieldView, ...]:
    """The field of every dimension, in the order of the drawing; a diameter of which a file gives none may
    be given for the whole surface."""
    return tuple(
        replace(field(bench, d.path, d.name, step="sizes", glyph=d.glyph), required=True) for d in found.all
    )


def _groups(bench: Bench) -> Iterator[Group]:
    """Lengths and places along the axis, which only go together, and how sure the sizes are."""
    paths = {
        "shell.width": "shell width",
        "sleeve.start": "sleeve begins at",
        "sleeve.length": "sleeve length",
    }
    if value_at(bench.tables, "sleeve.stop") in FLANGE:
        paths["sleeve.flange_thickness"] = "flange thickness"
    sure: dict[str, str] = {}
    for part, surface in SURFACES:
        rows = value_at(bench.tables, path_to(part, surface))
        what = "part" if (part, surface) == ("sleeve", "bore") else "land"
        if not isinstance(rows, list):
            sure |= {} if what == "part" else {path_to(part, f"{surface}_plus_minus"): f"{part} {surface}"}
            continue
        for index, row in enumerate(rows):
            at, name = path_to(part, surface, index), f"{part} {surface}, {what} {index + 1}"
            paths |= {f"{at}.from": f"{name}, begins at", f"{at}.to": f"{name}, ends at"}
            if isinstance(row, Mapping) and "diameter_from" in row:
                sure[f"{at}.diameter_to"] = f"{name}, diameter at its right end"
            if what == "land":
                sure[f"{at}.plus_minus"] = name
    along = (field(bench, path, label, step="sizes") for path, label in paths.items())
    note = "change several, then take them at once"
    yield together("Along the axis", tuple(replace(f, id=f"{f.id}-along") for f in along), note)
    fields = tuple(field(bench, path, label, step="sizes") for path, label in sure.items())
    yield Group("How sure the sizes are", fields, "uncertainty of the diameter")


def figures_of(bench: Bench) -> tuple[Figure, ...]:
    """Interference, pressure and wall, by closed forms; none while the sizes cannot be read."""
    if bench.case is None:
        return ()
    found = quick(bench.case)
    return _interference(bench, found), _pressure(bench, found), wall_figure(bench, found)


def _other(units: Units) -> Units:
    return Units("inch" if units.system == "metric" else "metric")


def _both(bench: Bench, value: float, unit: str) -> tuple[str, str]:
    first, _, second = bench.units.both(value, unit).partition(" (")
    return first, second.removesuffix(")")


def _interference(bench: Bench, found: Quick) -> Figure:
    value, other = _both(bench, 1e3 * found.interference, "um")
    spread = bench.units.text(1e3 * found.plus_minus, "um")
    notes = [f"± {spread}, 95 % of the sizes"]
    if found.smoothing:
        notes.append(f"after {bench.units.text(1e3 * found.smoothing, 'um')} that pressing smooths away")
    name = f"Interference, on diameter at {bench.units.temperature(20.0)}"
    return Figure(name, value, other, tuple(notes), found.interference <= 0.0)


def _pressure(bench: Bench, found: Quick) -> Figure:
    value, other = _both(bench, found.pressure, "MPa")
    hoops = (bench.units.text(s, "MPa").replace("-", "−") for s in (found.shell_hoop, found.sleeve_hoop))
    notes = ("by Lamé, plain cylinders: not yet the verdict", "hoop, shell {}, sleeve {}".format(*hoops))
    return Figure("Mean pressure", value, other, notes)


def wall_figure(bench: Bench, found: Quick) -> Figure:
    """The wall left, with runout and errors counted, against the user's own limit."""
    value, other = (
        f"{wall_text(found.wall, u)} {u.label('mm')}" for u in (bench.units, _other(bench.units))
    )
    counted = "" if bench.case is None else bench.units.text(bench.case.runout_mm, "mm")
    notes = [f"runout {counted} counted"]
    if found.least_wall is None:
        notes.append("you give no limit of your own")
        return Figure("Wall left, thin side", value, other, tuple(notes))
    assert found.wall_in_hand is not None
    share = round(100.0 * found.wall_in_hand)
    limit = f"your limit {size_text(found.least_wall, bench.units)}"
    thin = found.wall < found.least_wall
    notes.append(f"{limit}: less than that" if thin else f"{limit}: {share} % in hand")
    return Figure("Wall left, thin side", value, other, tuple(notes), bad=thin)


STEP = Step("sizes", 2, "Sizes", "Plan", ("check",), view, mark)
