"""Working of the rows of yield: the stress at the place that governs, part by part, and von Mises."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.stage_stress import stress_reader, worst_at_rest, worst_loaded, worst_out_of_round
from hoopwright.fit import FitSolution
from hoopwright.service.study import ServiceSolution, Spot, fit_surfaces
from hoopwright.state import State, as_pressed
from hoopwright.way_in import Passing
from hoopwright.working.closing import closed, given_property
from hoopwright.working.lame import add_lame
from hoopwright.working.sheet import ByHand, Sheet, Working

COMPONENTS = ("σ_r", "σ_θ", "σ_z", "τ_rz", "τ_rθ", "τ_θz")
MEANINGS = ("radial", "hoop", "axial", "shear rz", "shear rθ", "shear θz")
MISES = "sqrt(0.5 * ((σ_r - σ_θ)**2 + (σ_θ - σ_z)**2 + (σ_z - σ_r)**2) + 3 * (τ_rz**2 + τ_rθ**2 + τ_θz**2))"
OF_THE_FIT = ("pressing", "temperature")
"""Causes of stress that Lamé's formula knows."""
JEFFERY = "Jeffery 1921, as given in Timoshenko & Goodier (from memory, not seen)"


@dataclass(frozen=True)
class Place:
    """The stress at the place that governs, (6,), MPa, by what causes it, on the finest mesh; fit: its
    solution; surface: "bore" or "outside"; words: the place in words; travels: on the way in."""

    parts: dict[str, np.ndarray]
    fit: FitSolution
    surface: str
    words: str
    travels: bool = False


def shell_yields(evidence: Evidence, row: Margin) -> Working:
    return _yields(evidence, row, "shell")


def sleeve_yields(evidence: Evidence, row: Margin) -> Working:
    return _yields(evidence, row, "sleeve")


def _yields(evidence: Evidence, row: Margin, body: str) -> Working:
    sheet, place = Sheet(), governing_place(evidence, row, body)
    add_components(sheet, place)
    sheet.step("σ_m", MISES, "MPa", "equivalent stress", "von Mises")
    assert row.demand is not None
    thin = _add_thin_side(sheet, evidence, bent=bool(row.when.load_case)) if body == "shell" else ""
    rest = row.demand.value / (sheet.value("σ_m") * (sheet.value("k_w") if thin else 1.0))
    peak = ""
    if abs(rest - 1.0) > 1e-9:
        meaning = "peak between the angles and lines of the grid, and form of the bore on the way in"
        sheet.solved("k_p", rest, "", meaning, place.words)
        peak = " * k_p"
    material = evidence.case.shell_material if body == "shell" else evidence.case.sleeve_material
    given_property(sheet, "σ_y", material, "yield_strength")
    closed(sheet, row, f"σ_m{thin}{peak}", "σ_y")
    return Working(tuple(sheet.lines), _by_hand(evidence, body, place))


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
        return _of_fit(evidence, solution, body)
    fit, service = found.finest
    spot = stress_reader(body, loaded=loaded)(fit, service)
    return place_of(evidence, fit, service, spot, body)


def _entering(evidence: Evidence, body: str) -> Place:
    way_in = evidence.study.way_in
    found = way_in.greatest_stress(body, evidence.greatest)
    assert found is not None
    assert found.state.path is not None
    solution = way_in.solution(evidence.greatest, Passing(found.travel, found.state.path.friction), 0)
    peak = solution.equivalent_peak(body)
    wall = solution.walls[body]
    k = int(np.argmin(np.abs(wall.z - peak.z)))
    stress = wall.inner[k] if peak.surface == "bore" else wall.outer[k]
    words = f"{peak.surface}, z = {peak.z:.1f} mm, {found.travel:.1f} mm in"
    return Place({"pressing": stress}, solution, peak.surface, words, travels=True)


def _of_fit(evidence: Evidence, solution: FitSolution, body: str) -> Place:
    peak = solution.equivalent_peak(body)
    k = int(np.argmin(np.abs(solution.walls[body].z - peak.z)))
    words = f"{peak.surface}, z = {peak.z:.1f} mm"
    parts = _fit_parts(evidence, solution, body, peak.surface, k)
    return Place(parts, solution, peak.surface, words)


def place_of(
    evidence: Evidence, fit: FitSolution, service: ServiceSolution, spot: Spot, body: str
) -> Place:
    """The stress at a spot under loads, at the nearest angle of the grid."""
    wall, surface = service.walls[body], ("bore", "outside").index(spot.surface)
    line = int(np.argmin(np.abs(wall.z - spot.z)))
    angle = nearest_angle(wall.theta, spot.theta)
    parts = _fit_parts(evidence, fit, body, spot.surface, line)
    if np.any(wall.static):
        parts["form of the bore"] = wall.static[surface, line, angle]
    if spot.instant.case is not None:
        parts[f"loads: {spot.instant.name}"] = wall.stress[spot.case, surface, line, angle]
    theta = float(np.degrees(wall.theta[angle]))
    return Place(parts, fit, spot.surface, f"{spot.surface}, z = {spot.z:.1f} mm, {theta:.0f}°")


def nearest_angle(theta: np.ndarray, degrees: float) -> int:
    """Index of the angle of a grid, rad, next to an angle in degrees."""
    return int(np.argmax(np.cos(theta - np.radians(degrees))))


def _fit_parts(
    evidence: Evidence, solution: FitSolution, body: str, surface: str, line: int
) -> dict[str, np.ndarray]:
    """What pressing, the cups and the temperature since leave at a place, each added to those before."""
    k = ("bore", "outside").index(surface)

    def at(state: State) -> np.ndarray:
        solved = FitSolution(solution.mesh, state, solution.mesh.press(state))
        return np.asarray(fit_surfaces(solved, body)[k, line])

    state = solution.state
    pressed = at(as_pressed(evidence.case, state))
    parts, sum_so_far = {"pressing": pressed}, pressed
    if state.tension:
        cupped = at(_as_tightened(evidence, state))
        parts["cups"], sum_so_far = cupped - sum_so_far, cupped
    rest = np.asarray(fit_surfaces(solution, body)[k, line]) - sum_so_far
    if state.temperature_rise != evidence.bench or np.any(np.abs(rest) > 0.0):
        parts["temperature"] = rest
    return parts


def _as_tightened(evidence: Evidence, state: State) -> State:
    """The state when its cups had just been tightened on the bench."""
    if state.path is None:
        return replace(state, temperature_rise=evidence.bench)
    first = state.path.clamped[0]
    path = replace(state.path, clamped=(first,))
    return State(state.shift, first.temperature_rise, first.tension, path)


def add_components(sheet: Sheet, place: Place) -> None:
    """Lines for the six components of stress, as sums of their parts."""
    causes = list(place.parts)
    for k, (symbol, meaning) in enumerate(zip(COMPONENTS, MEANINGS, strict=True)):
        terms = []
        for number, cause in enumerate(causes, start=1):
            value = float(place.parts[cause][k])
            if value == 0.0:
                continue
            term = f"{symbol}_{number}"
            sheet.solved(term, value, "MPa", f"{meaning}, {cause}", place.words)
            terms.append(term)
        sheet.step(symbol, " + ".join(terms) or "0", "MPa", f"{meaning} stress, membrane + bending")
    alone = [f"σ_θ_{number}" for number, cause in enumerate(causes, start=1) if cause in OF_THE_FIT]
    there = [term for term in alone if term in sheet]
    sheet.step("σ_θf", " + ".join(there) or "0", "MPa", "hoop stress of pressing and temperature alone")


def _add_thin_side(sheet: Sheet, evidence: Evidence, *, bent: bool) -> str:
    """Lines for the rise on the thin side of a bore off centre; a factor to write, "" for none."""
    case = evidence.case
    if not case.runout_mm:
        return ""
    thinnest = min(evidence.study.joint.shell, key=lambda s: s.wall)
    bore = thinnest.inner_start
    sheet.case("t_i", case.runout_mm, "mm", "runout of bore to outside, full reading", "[shell] runout")
    sheet.case(
        "r_1",
        bore,
        "mm",
        "bore radius where the wall is least",
        "[shell] bore_diameter or readings",
    )
    sheet.case("r_2", bore + thinnest.wall, "mm", "outside radius there", "[shell] outside_diameter")
    sheet.step("t_l", "r_2 - r_1 - 0.5 * t_i", "mm", "wall left on the thin side")
    if sheet.value("t_l") <= 0.0:
        meaning = "rise on the thin side, where no wall is left"
        sheet.agreed("k_w", math.inf, "", meaning, "nothing is there to carry the stress")
        return " * k_w"
    sheet.step("e", "min(0.5 * t_i, 0.5 * r_1)", "mm", "bore off centre")
    sheet.step("l", "2 * r_1 * e + e**2", "mm^2", "short for what follows")
    moved = "2 * r_2**2 * (r_2**2 + r_1**2 - l) / ((r_1**2 + r_2**2) * (r_2**2 - r_1**2 - l)) - 1"
    sheet.step("h_e", moved, "", "hoop stress over pressure on the thin side", JEFFERY)
    sheet.step("h_0", "(r_2**2 + r_1**2) / (r_2**2 - r_1**2)", "", "the same with the bore centred", "Lamé")
    if bent:
        sheet.step(
            "k_b", "((r_2 - r_1) / (r_2 - r_1 - e))**2", "", "rise of bending of a ring", "ring bending"
        )
        sheet.step("k_w", "max(h_e / h_0, k_b)", "", "rise on the thin side")
    else:
        sheet.step("k_w", "h_e / h_0", "", "rise on the thin side")
    return " * k_w"


def _by_hand(evidence: Evidence, body: str, place: Place) -> ByHand:
    """Lamé's hoop stress at the surface that governs, beside that of the finite elements."""
    sheet, state = Sheet(), place.fit.state
    add_lame(sheet, evidence, state.shift, state.temperature_rise)
    formulae = {
        ("shell", "bore"): "p * (c**2 + b**2) / (c**2 - b**2)",
        ("shell", "outside"): "2 * p * b**2 / (c**2 - b**2)",
        ("sleeve", "bore"): "-2 * p * b**2 / (b**2 - a**2)",
        ("sleeve", "outside"): "-p * (b**2 + a**2) / (b**2 - a**2)",
    }
    sheet.step("hand", formulae[body, place.surface], "MPa", "hoop stress of the mean sizes", "Lamé")
    entering = "; on the way in the sleeve's end is pressed by more than the mean" if place.travels else ""
    reason = (
        "Lamé takes rings of the mean sizes; lands, ends and friction make stress of their own" + entering
    )
    return ByHand(tuple(sheet.lines), "σ_θf", reason)
