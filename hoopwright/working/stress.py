"""Working of the rows of yield: the stress at the place that governs, part by part, and von Mises."""

from __future__ import annotations

import math

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.stage_stress import (
    judged_reader,
    weight_of,
    worst_at_rest,
    worst_loaded,
    worst_out_of_round,
)
from hoopwright.checks.thin_side import BORE_OF_SLEEVE, UnevenWall, governing_wall
from hoopwright.strength import allowable
from hoopwright.way_in import Passing
from hoopwright.working.closing import closed
from hoopwright.working.lame import add_lame
from hoopwright.working.loads_by_hand import beside_components
from hoopwright.working.sheet import ByHand, Sheet, Working
from hoopwright.working.strength import add_strength
from hoopwright.working.stress_parts import (
    OF_THE_FIT,
    Place,
    add_components,
    add_share_of,
    at_rest,
    on_the_way_in,
    under_loads,
)

MISES = "sqrt(0.5 * ((σ_r - σ_θ)**2 + (σ_θ - σ_z)**2 + (σ_z - σ_r)**2) + 3 * (τ_rz**2 + τ_rθ**2 + τ_θz**2))"
SIZES = {
    "shell": ("[shell] bore_diameter or readings", "[shell] outside_diameter"),
    "sleeve": ("[sleeve] bore_diameter or bore", "bore of the shell, on which its outside is modelled"),
}
"""Where the diameters of a body come from, of bore and outside."""
JEFFERY = "Jeffery 1921, as given in Timoshenko & Goodier (from memory, not seen)"


def shell_yields(evidence: Evidence, row: Margin) -> Working:
    return _yields(evidence, row, "shell")


def sleeve_yields(evidence: Evidence, row: Margin) -> Working:
    return _yields(evidence, row, "sleeve")


def _yields(evidence: Evidence, row: Margin, body: str) -> Working:
    sheet, place = Sheet(), governing_place(evidence, row, body)
    add_components(sheet, place)
    of_the_fit = "hoop stress of pressing and temperature alone"
    add_share_of(sheet, place, "σ_θf", "σ_θ", [c for c in place.parts if c in OF_THE_FIT], of_the_fit)
    by_hand = beside_components(evidence, row, sheet, place)
    sheet.step("σ_m", MISES, "MPa", "equivalent stress", "von Mises")
    assert row.demand is not None
    thin = _add_thin_side(sheet, evidence, body, bent=bool(row.when.load_case))
    rest = row.demand.value / (sheet.value("σ_m") * (sheet.value("k_w") if thin else 1.0))
    peak = ""
    if abs(rest - 1.0) > 1e-8:
        meaning = "peak between the angles and lines of the grid, and form of the bore on the way in"
        sheet.solved("k_p", rest, "", meaning, place.words)
        peak = " * k_p"
    metal = allowable(
        evidence.case, body, row.stage, z=row.where.z, direction="any", rise=row.when.temperature_rise
    )
    add_strength(sheet, metal)
    closed(sheet, row, f"σ_m{thin}{peak}", "σ_y")
    return Working(tuple(sheet.lines), _by_hand(evidence, place), by_hand)


def governing_place(evidence: Evidence, row: Margin, body: str) -> Place:
    """Where and when a row of yield governs."""
    if row.stage == "entering":
        return _entering(evidence, body)
    if row.when.load_case:
        found, loaded = worst_loaded(evidence, body), True
    elif evidence.has_form:
        found, loaded = worst_out_of_round(evidence, body, row.stage), False
    else:
        solution = worst_at_rest(evidence, body, row.stage).finest
        return at_rest(evidence, solution, body, weight_of(evidence, body, row.stage))
    fit, service = found.finest
    spot = judged_reader(evidence, body, row.stage, loaded=loaded)(fit, service)
    return under_loads(evidence, fit, service, spot, body)


def _entering(evidence: Evidence, body: str) -> Place:
    way_in = evidence.study.way_in
    found = way_in.greatest_stress(body, evidence.greatest)
    assert found is not None
    assert found.state.path is not None
    solution = way_in.solution(evidence.greatest, Passing(found.travel, found.state.path.friction), 0)
    return on_the_way_in(solution, body, found.travel, way_in.weigh(body))


def _add_thin_side(sheet: Sheet, evidence: Evidence, body: str, *, bent: bool) -> str:
    """Lines for the rise on the thin side of an uneven wall; a factor to write, "" for none."""
    found = governing_wall(evidence, body, bent=bent)
    if not found.causes:
        return ""
    bore = found.stretch.inner_start
    sheet.case("t_i", found.runout, "mm", "runout of bore to outside, full reading", found.by)
    of_bore, of_outside = SIZES[body]
    sheet.case("r_1", bore, "mm", "bore radius where the wall is most uneven", of_bore)
    sheet.case("r_2", bore + found.stretch.wall, "mm", "outside radius there", of_outside)
    of_shell = body == "shell"
    inner, outer = _add_radii_of_shell(sheet, found) if of_shell else _add_radii_of_sleeve(sheet, found)
    left = f"{outer} - {inner} - 0.5 * t_i" + " - o / 4" * of_shell
    sheet.step("t_l", left, "mm", "wall left on the thin side")
    if sheet.value("t_l") <= 0.0:
        meaning = "rise on the thin side, where no wall is left"
        sheet.agreed("k_w", math.inf, "", meaning, "nothing is there to carry the stress")
        return " * k_w"
    sheet.step("e", f"min(0.5 * t_i, 0.5 * {inner})", "mm", "bore off centre")
    sheet.step("l", f"2 * {inner} * e + e**2", "mm^2", "short for what follows")
    moved = (
        f"2 * {outer}**2 * ({outer}**2 + {inner}**2 - l) / "
        f"(({inner}**2 + {outer}**2) * ({outer}**2 - {inner}**2 - l)) - 1"
    )
    sheet.step("h_e", moved, "", "hoop stress over pressure on the thin side", JEFFERY)
    centred = "(r_2**2 + r_1**2) / (r_2**2 - r_1**2)"
    sheet.step("h_0", centred, "", "the same with the bore centred, as sized", "Lamé")
    even = "h_e / h_0"
    if of_shell:
        ring = "(t_l + o / 4) / t_l * (1 + 0.75 * o / t_l)"
        sheet.step("k_o", ring, "", "rise by an outside out of round", "membrane and bending of a ring")
        even += " * k_o"
    if bent:
        sheet.step("k_b", "((r_2 - r_1) / t_l)**2", "", "rise of bending of a ring", "ring bending")
    sheet.step("k_w", f"max({even}, k_b)" if bent else even, "", "rise on the thin side")
    return " * k_w"


def _add_radii_of_shell(sheet: Sheet, found: UnevenWall) -> tuple[str, str]:
    """The radii at the end of their ± that leaves less wall; their symbols, of bore and outside."""
    meaning = "ovality read of the outside there, greatest less least diameter"
    sheet.case("o", found.oval, "mm", meaning, "readings of [[shell.outside]]")
    stated = "[shell] outside_plus_minus or readings"
    sheet.case("d_o", found.of_outside, "mm", "± of the outside diameter there", stated)
    sheet.step("r_3", "r_2 - 0.5 * d_o", "mm", "least outside radius there")
    return "r_1", "r_3"


def _add_radii_of_sleeve(sheet: Sheet, found: UnevenWall) -> tuple[str, str]:
    """The same of a sleeve."""
    sheet.case("d_b", found.of_bore, "mm", "± of the bore diameter there", BORE_OF_SLEEVE)
    sheet.step("r_3", "r_1 + 0.5 * d_b", "mm", "greatest bore radius there")
    return "r_3", "r_2"


def _by_hand(evidence: Evidence, place: Place) -> ByHand:
    """Lamé's hoop stress at the surface that governs, beside that of the finite elements."""
    sheet, state = Sheet(), place.fit.state
    add_lame(sheet, evidence, state.shift, state.temperature_rise, blank=state.blank)
    formulae = {
        ("shell", "bore"): "p * (c**2 + b**2) / (c**2 - b**2)",
        ("shell", "outside"): "2 * p * b**2 / (c**2 - b**2)",
        ("sleeve", "bore"): "-2 * p * b**2 / (b**2 - a**2)",
        ("sleeve", "outside"): "-p * (b**2 + a**2) / (b**2 - a**2)",
    }
    sheet.step("hand", formulae[place.body, place.surface], "MPa", "hoop stress of the mean sizes", "Lamé")
    entering = "; on the way in the sleeve's end is pressed by more than the mean" if place.travels else ""
    reason = (
        "Lamé takes rings of the mean sizes; lands, ends and friction make stress of their own" + entering
    )
    return ByHand(tuple(sheet.lines), "σ_θf", reason)
