"""Working of the row of a flange or a shoulder under what pushes the sleeve onto it."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.stop_yields import (
    ENDS,
    Part,
    StopFace,
    StopLoad,
    metal_of,
    parts_of,
    stop_faces,
    worst_push,
)
from hoopwright.working.closing import closed
from hoopwright.working.section import STATICS
from hoopwright.working.sheet import Sheet, Working
from hoopwright.working.strength import add_strength

KEYS = {
    "flange": ("[sleeve] flange_diameter, [shell] diameters", "[sleeve] flange_thickness"),
    "shoulder": ("[shell.bore] lands, [sleeve] diameters", "[shell.bore] from and to"),
}


def stop_yields(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    governing = _governing(evidence, row)
    if governing is None:
        return Working(())
    face, load, part, body = governing
    _add_force(sheet, load)
    ring, depth = KEYS[face.kind]
    sheet.case("d_i", face.inner, "mm", "inner diameter of the ring that bears", ring)
    sheet.case("d_o", face.outer, "mm", "its outer diameter", ring)
    if part == "face":
        sheet.step("A", "π / 4 * (d_o**2 - d_i**2)", "mm^2", "ring that bears, evenly")
        demand = "F / A"
    else:
        sheet.case("d", face.root, "mm", f"diameter of the root of the {face.kind}", ring)
        sheet.case("t", face.depth, "mm", "its depth along the axis", depth)
        sheet.step("e", "abs((d_i + d_o) / 4 - d / 2)", "mm", "lever of the force about the root")
        sheet.step("τ", "F / (π * d * t)", "MPa", "shear of the root")
        sheet.step("σ_b", "6 * F * e / (π * d * t**2)", "MPa", "bending of the root")
        demand = "sqrt(σ_b**2 + 3 * τ**2)"
    add_strength(sheet, metal_of(evidence.case, row.stage, face, part, body, _rise(row)))
    closed(sheet, row, demand, "σ_y")
    return Working(tuple(sheet.lines))


def _rise(row: Margin) -> float:
    return row.when.temperature_rise or 0.0


def _governing(evidence: Evidence, row: Margin) -> tuple[StopFace, StopLoad, Part, str] | None:
    """The stop, the load and the part that a row is about; None where nothing pushes."""
    if row.demand is None:
        return None
    found = [
        (face, load, part, body)
        for end in ENDS
        for face in stop_faces(evidence, end)
        if (load := worst_push(evidence, row.stage, end)) is not None
        for part, body in parts_of(face)
        if body == row.where.body and face.z == row.where.z
    ]
    demand = row.demand.value
    return min(found, key=lambda one: abs(one[0].stress(one[2], one[1].force) - demand))


def _add_force(sheet: Sheet, load: StopLoad) -> None:
    """Lines for the force onto the stop, F."""
    parts = (
        ("F_d", load.stated, "axial force it must hold", "[demand] axial_force"),
        ("F_l", load.load, f"axial force on the sleeve, {load.load_case}", STATICS),
        ("F_c", load.pull, "pull of a cup", "[cups] torques and friction"),
    )
    given = [part for part in parts if part[1]]
    for symbol, value, meaning, key in given:
        sheet.case(symbol, value, "N", meaning, key)
    sheet.step("F", " + ".join(symbol for symbol, *_ in given), "N", "force onto the stop")
