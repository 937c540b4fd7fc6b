"""Both tubes as one beam, by hand: axial stress."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.working.section import STATICS, Acting, Point, add_radii, section_wrench, young_of
from hoopwright.working.sheet import Sheet

TITLE = "both tubes as one beam"
TIMOSHENKO = "Timoshenko, Strength of Materials (from memory, not seen)"
REASON = (
    "a beam keeps its sections round and plane and bends both tubes alike; loads on a short, thin wall "
    "bend it out of round near their bands and the tubes, and a sleeve that slides bends less at a clamp"
)


def add_beam(sheet: Sheet, evidence: Evidence, point: Point) -> None:
    """Lines for the stiffness of the beam: both tubes are taken to have one curvature."""
    add_radii(sheet, evidence, point.z)
    bending = "π / 4 * (E_s * (r_2**4 - r_1**4) + E_h * (r_3**4 - r_2**4))"
    sheet.step("B", bending, "N*mm^2", "bending stiffness of both tubes")
    pulling = "π * (E_s * (r_2**2 - r_1**2) + E_h * (r_3**2 - r_2**2))"
    sheet.step("D", pulling, "N", "stiffness of both tubes along the axis")


def add_beam_stress(sheet: Sheet, point: Point, acting: Acting, symbol: str, number: str) -> bool:
    """Lines for the axial stress at a point under one load; whether there is one."""
    wrench = section_wrench(acting, point.z)
    if wrench is None:
        return False
    for name, value, unit, meaning in (
        ("F_z", wrench.force[2], "N", "force along the axis"),
        ("M_x", wrench.moment[0], "N*mm", "moment about x"),
        ("M_y", wrench.moment[1], "N*mm", "moment about y"),
    ):
        said = f"{meaning} of all that acts on one side of z = {point.z:.1f} mm, {acting.name}"
        sheet.case(f"{name}{number}", float(value), unit, said, STATICS)
    bent = f"(M_x{number} * sin(θ) - M_y{number} * cos(θ)) * r / B"
    expression = f"{young_of(point.body)} * (F_z{number} / D + {bent})"
    sheet.step(symbol, expression, "MPa", f"axial stress of the beam, {acting.name}", TIMOSHENKO)
    return True
