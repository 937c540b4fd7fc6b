"""Working of the rows of the way in and of what the fit does to the sleeve: press force, end faces, closure
of the bore, buckling."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.checks.buckling import SOURCE as GLOCK
from hoopwright.checks.buckling import seated_stretches
from hoopwright.checks.ends_crush import end_metal, pushed_face
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.closed_form.buckling import MAX_THICKNESS_RATIO
from hoopwright.working.closing import closed, given_property
from hoopwright.working.lame import add_lame
from hoopwright.working.sheet import ByHand, Sheet, Working
from hoopwright.working.strength import add_strength

WHOLE_WAY = (
    "finite elements follow the sleeve over the whole way in, with the ends of the contact, where the "
    "pressure is above the mean, and friction along the axis, which changes it"
)


def press_force(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    _add_push(evidence, sheet)
    if evidence.case.press.capacity is not None:
        sheet.case(
            "F_p",
            evidence.case.press.capacity,
            "N",
            "greatest force of the press",
            "[press] capacity",
        )
    closed(sheet, row, "F", "F_p")
    return Working(tuple(sheet.lines), _push_by_hand(evidence))


def ends_crush(evidence: Evidence, row: Margin) -> Working:
    body, sheet = row.where.body, Sheet()
    inner, outer = pushed_face(evidence, body)
    _add_push(evidence, sheet)
    sheet.case("d_i", inner, "mm", f"inner diameter of the {body}'s end face", f"[{body}] diameters")
    sheet.case("d_o", outer, "mm", "its outer diameter, chamfer off", f"[{body}] diameters and chamfers")
    sheet.step("A", "π / 4 * (d_o**2 - d_i**2)", "mm^2", "face that carries the push, evenly")
    add_strength(sheet, end_metal(evidence, body))
    closed(sheet, row, "F / A", "σ_y")
    return Working(tuple(sheet.lines), _push_by_hand(evidence))


def _add_push(evidence: Evidence, sheet: Sheet) -> None:
    """Lines for the greatest force to push the sleeve, F."""
    case = evidence.case
    sheet.case("μ_h", case.pressing_friction[1], "", "high friction", _where_high(case))
    sheet.case("k_r", case.press.restart_ratio, "", "restart over sliding", "[press] restart_ratio")
    sheet.step("μ", "max(k_r, 1) * μ_h", "", "friction to restart after a rest")
    force, travel = evidence.study.way_in.greatest_force(evidence.greatest, sheet.value("μ"))
    sheet.solved(
        "N",
        force.value / sheet.value("μ"),
        "N",
        "sum of the contact pressure over the seat, ∫ p dA",
        f"greatest interference, {travel:.1f} mm in",
    )
    sheet.step("F", "μ * N", "N", "greatest force of the way in", "Coulomb friction")


def _where_high(case: Case) -> str:
    return "[fit] friction_high" if case.press.friction_high is None else "[press] friction_high"


def _push_by_hand(evidence: Evidence) -> ByHand:
    case, sheet = evidence.case, Sheet()
    sheet.case("μ_h", case.pressing_friction[1], "", "high friction", _where_high(case))
    sheet.case("k_r", case.press.restart_ratio, "", "restart over sliding", "[press] restart_ratio")
    length = sum(s.length for s in evidence.study.joint.seats)
    sheet.case("L", length, "mm", "length of the seats", "[sleeve] and [shell] lands")
    add_lame(sheet, evidence, evidence.greatest, evidence.bench, blank=case.sleeve.finished_later)
    sheet.step("hand", "max(k_r, 1) * μ_h * p * 2 * π * b * L", "N", "force to restart it when home")
    return ByHand(tuple(sheet.lines), "F", WHOLE_WAY)


def bore_closure(evidence: Evidence, row: Margin) -> Working:
    sheet, limit, pilot = Sheet(), evidence.case.max_bore_closure_mm, evidence.case.press.pilot
    assert row.demand is not None
    sheet.solved(
        "u",
        0.5e-3 * row.demand.value,
        "mm",
        "inward motion of the bore where it is greatest, own expansion taken out",
        f"greatest interference, z = {row.where.z or 0.0:.1f} mm, {row.when.friction}",
    )
    if row.stage == "entering" and pilot is not None and row.capacity is not None:
        bore = pilot.diameter_mm + 1e-3 * row.capacity.value
        source = "[sleeve] bore less [drawing.sleeve] bore_plus_minus"
        sheet.case("D_p", bore, "mm", "least bore round the pilot there, as turned", source)
        sheet.case("d_p", pilot.diameter_mm, "mm", "pilot of the pusher", "[press] pilot_diameter")
        closed(sheet, row, "2000 * u", "1000 * (D_p - d_p)")
    else:
        if limit is not None:
            sheet.case("Δ", limit, "mm", "greatest closure you allow", "[sleeve] most_bore_closure")
        closed(sheet, row, "2000 * u", "1000 * Δ")
    hand = Sheet()
    add_lame(hand, evidence, evidence.greatest, evidence.bench, blank=row.when.blank)
    hand.step("σ_a", "-2 * p * b**2 / (b**2 - a**2)", "MPa", "hoop stress at the bore", "Lamé")
    hand.step("hand", "-2000 * a * σ_a / E_s", "um", "closure of a sleeve of the mean bore")
    reason = "Lamé takes one bore and one wall; by finite elements the bore has steps and its ends are free"
    return Working(tuple(sheet.lines), ByHand(tuple(hand.lines), "demand", reason))


def sleeve_buckles(evidence: Evidence, row: Margin) -> Working:
    case, sheet = evidence.case, Sheet()
    z = row.where.z or 0.0
    stretches = seated_stretches(evidence, blank=row.when.blank)
    stretch = min(stretches, key=lambda s: abs(0.5 * (s.z_start + s.z_end) - z))
    outside = 2.0 * min(stretch.outer_start, stretch.outer_end)
    assert row.demand is not None
    sheet.solved(
        "p_m",
        row.demand.value,
        "MPa",
        f"mean contact pressure from {stretch.z_start:.1f} to {stretch.z_end:.1f} mm",
        f"greatest interference, {row.stage}, {row.when.friction}",
    )
    if row.capacity is not None:
        seated = "seated in [shell] bore_diameter"
        sheet.case("t", stretch.wall, "mm", "wall of the sleeve there", f"[sleeve] bore_diameter, {seated}")
        sheet.case("d", outside, "mm", "its outside", seated)
        given_property(sheet, "E", case.sleeve_material, "young_modulus")
        given_property(sheet, "ν", case.sleeve_material, "poisson_ratio")
        sheet.agreed("x", MAX_THICKNESS_RATIO, "", "thickest wall the formula is for", "range checked")
        sheet.step("ζ", "min(t / (d - t), x)", "", "wall over mean diameter, as counted")
        sheet.step("p_cr", "E / (1 - ν**2) * ζ**2.2", "MPa", "critical pressure", GLOCK)
    closed(sheet, row, "p_m", "p_cr")
    hand = Sheet()
    rise = row.when.temperature_rise or 0.0
    add_lame(hand, evidence, evidence.greatest, rise, blank=row.when.blank)
    hand.step("hand", "p", "MPa", "contact pressure of the mean sizes")
    reason = "Lamé takes one wall for the whole length; this stretch has its own, and cups pull on it"
    return Working(tuple(sheet.lines), ByHand(tuple(hand.lines), "p_m", reason))
