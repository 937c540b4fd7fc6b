"""Lamé's compound cylinder by hand, beside what the finite elements found: plane stress, the whole length
in contact, no friction."""

from __future__ import annotations

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.comparison import radii_along_seats
from hoopwright.working.closing import given_expansion, given_property
from hoopwright.working.sheet import Sheet


def add_interference(sheet: Sheet, evidence: Evidence, shift: float) -> None:
    """Lines for the mean interference on diameter at one end of the sizes, δ. shift: from likely, mm."""
    case, fits = evidence.case, [one.seat for one in evidence.study.interference.fits]
    weights = [seat.length for seat in fits]
    middles = [0.5 * (seat.z_start + seat.z_end) for seat in fits]
    bore = np.average(
        [case.shell.bore[s.bore_land].diameter_at(z) for s, z in zip(fits, middles, strict=True)],
        weights=weights,
    )
    mean = np.average([0.5 * (s.interference_start + s.interference_end) for s in fits], weights=weights)
    sheet.case(
        "d_s",
        bore + mean,
        "mm",
        "outside of the sleeve, mean over the seats",
        "[sleeve] outside_diameter or readings",
    )
    sheet.case(
        "d_b",
        bore,
        "mm",
        "bore of the shell, mean over the seats",
        "[shell] bore_diameter or readings",
    )
    spread = case.smoothing_spread_mm
    greatest = shift >= spread
    end, kept = ("greatest", spread) if greatest else ("least", 0.0)
    sheet.case(
        "s",
        case.smoothing_loss_mm - kept,
        "mm",
        "what pressing flattens of both surfaces",
        f"[fit] roughness and {'least_smoothing' if greatest else 'smoothing'}",
    )
    sheet.case(
        "U",
        shift - kept,
        "mm",
        f"uncertainty of both sizes (95 %), {end}",
        "± or readings and gauges of both",
    )
    sheet.step("δ", "d_s - d_b - s + U", "mm", f"{end} interference on diameter, mean over the seats")


def add_lame(
    sheet: Sheet, evidence: Evidence, shift: float, temperature_rise: float, *, blank: bool = False
) -> None:
    """Lines for the contact pressure p of the mean sizes. shift: of the interference from likely, mm;
    temperature_rise: K above 20 °C; blank: of the sleeve before it is finished. Radii stand as a bore of
    the sleeve, b interface, c outside."""
    case, study = evidence.case, evidence.study
    interface, outside, bore = radii_along_seats(study.blank_joint if blank else study.joint)
    sheet.case("a", bore, "mm", "bore radius of the sleeve, mean over the seats", "[sleeve] bore_diameter")
    sheet.case("b", interface, "mm", "radius of the seat, mean", "[shell] bore_diameter or readings")
    sheet.case("c", outside, "mm", "outside radius of the shell, mean", "[shell] outside_diameter")
    add_interference(sheet, evidence, shift)
    for body, material in (("h", case.shell_material), ("s", case.sleeve_material)):
        given_property(sheet, f"E_{body}", material, "young_modulus")
        given_property(sheet, f"ν_{body}", material, "poisson_ratio")
        given_expansion(sheet, f"α_{body}", material, temperature_rise)
    sheet.case("ΔT", temperature_rise, "K", "temperature above 20 °C", "[press] or [temperatures]")
    sheet.step("δ_T", "2 * b * (α_s - α_h) * ΔT", "mm", "what the temperature adds to the interference")
    sheet.step(
        "C_s", "b / E_s * ((b**2 + a**2) / (b**2 - a**2) - ν_s)", "mm/MPa", "give of the sleeve", "Lamé"
    )
    sheet.step(
        "C_h", "b / E_h * ((c**2 + b**2) / (c**2 - b**2) + ν_h)", "mm/MPa", "give of the shell", "Lamé"
    )
    sheet.step("p", "max(0, (δ + δ_T) / 2 / (C_s + C_h))", "MPa", "contact pressure", "Lamé")
