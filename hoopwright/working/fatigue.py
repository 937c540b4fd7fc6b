"""Working of the rows of fatigue: amplitude and mean at the point that governs, and the criterion."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.case.service_model import Endurance
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.fatigue import Repeated, governing_fatigue
from hoopwright.checks.margin import Margin
from hoopwright.closed_form.fatigue import hydrostatic
from hoopwright.loads.cases import Cycle
from hoopwright.materials import SNCurve
from hoopwright.service.cyclic import PLANES, on_planes, walker_on_planes
from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.study import ServiceSolution, Spot, Superposed, fit_surfaces
from hoopwright.working.closing import closed
from hoopwright.working.fatigue_strength import add_strength
from hoopwright.working.loads_by_hand import amplitude_by_hand
from hoopwright.working.miner import add_miner
from hoopwright.working.sheet import Sheet, Working
from hoopwright.working.stress_parts import nearest_angle


@dataclass(frozen=True)
class _Point:
    """A point of the wall: body, and indices of surface, line and angle."""

    body: str
    surface: int
    line: int
    angle: int
    words: str

    @property
    def index(self) -> tuple[int, int, int]:
        return self.surface, self.line, self.angle


def shell_fatigue_sines(evidence: Evidence, row: Margin) -> Working:
    return _fatigue(evidence, row, "shell", "Sines")


def shell_fatigue_walker(evidence: Evidence, row: Margin) -> Working:
    return _fatigue(evidence, row, "shell", "Walker")


def sleeve_fatigue_sines(evidence: Evidence, row: Margin) -> Working:
    return _fatigue(evidence, row, "sleeve", "Sines")


def sleeve_fatigue_walker(evidence: Evidence, row: Margin) -> Working:
    return _fatigue(evidence, row, "sleeve", "Walker")


def _fatigue(evidence: Evidence, row: Margin, body: str, criterion: str) -> Working:
    found = governing_fatigue(evidence, body, criterion)
    if found is None or row.demand is None:
        return Working(())
    repeated, superposed, leading = found.repeated, found.superposed, found.leading
    sheet, point = Sheet(), _point(superposed, found.spot, body)
    service = superposed.finest[1]
    add_strength(sheet, evidence, repeated.strength, body, leading, found.spot)
    _add_criterion(sheet, repeated.strength)

    def add_amplitude(cycles: tuple[Cycle, ...], number: str) -> str:
        return _add_amplitude(sheet, superposed, repeated, cycles, point, number)

    several = len(repeated.cycles) > 1
    if several:
        names = [add_amplitude((cycle,), str(k)) for k, cycle in enumerate(repeated.cycles, start=1)]
    else:
        names = [add_amplitude(repeated.cycles, "")]
    equivalent = add_miner(sheet, repeated, names, leading, add_amplitude) if several else names[0]
    if abs(row.demand.value / sheet.value(equivalent) - 1.0) > 1e-9:
        rest = row.demand.value / sheet.value(equivalent)
        sheet.solved("k_p", rest, "", "peak between the angles of the grid", point.words)
        equivalent = f"{equivalent} * k_p"
    closed(sheet, row, equivalent, "S_N")
    number = str(repeated.cycles.index(leading) + 1) if several else ""
    if criterion != "Sines":  # the same formula stands beside the amplitude by Sines
        return Working(tuple(sheet.lines))
    by_hand = amplitude_by_hand(evidence, service, leading, found.spot, f"a{number}")
    return Working(tuple(sheet.lines), loads_by_hand=by_hand)


def _point(superposed: Superposed, spot: Spot, body: str) -> _Point:
    wall = superposed.finest[1].walls[body]
    angle = nearest_angle(wall.theta, spot.theta)
    line = int(np.argmin(np.abs(wall.z - spot.z)))
    words = f"{spot.surface}, z = {spot.z:.1f} mm, {np.degrees(wall.theta[angle]):.0f}°"
    return _Point(body, ("bore", "outside").index(spot.surface), line, angle, words)


def _add_criterion(sheet: Sheet, strength: FatigueStrength) -> None:
    data = strength.data
    own = isinstance(data, Endurance)
    source = "Smith, Watson and Topper: 1/2 where no other is known" if own else strength.source
    sheet.table("γ", strength.gamma, "", "Walker's exponent of the mean stress", source)
    ratio = strength.min_stress_ratio
    sheet.table("R_0", ratio, "", "least stress ratio of the data, none below it credited", source)
    if isinstance(data, SNCurve):
        most = "greatest stress ratio used of the data"
        sheet.table("R_1", data.max_stress_ratio, "", most, f"{strength.source}; {data.range_basis}")


def _add_amplitude(
    sheet: Sheet,
    superposed: Superposed,
    repeated: Repeated,
    cycles: tuple[Cycle, ...],
    point: _Point,
    number: str,
) -> str:
    """Lines for the equivalent amplitude of one load, or of several in turn; its symbol."""
    fit, service = superposed.finest
    a, m, m_0, equivalent = (f"{symbol}{number}" for symbol in ("a", "m", "m_0", "S"))
    pressed = fit_surfaces(fit, point.body)[point.surface, point.line]
    name = " and ".join(cycle.name for cycle in cycles)
    share = sheet.value("k_r") if "k_r" in sheet else 1.0
    if repeated.criterion == "Sines":
        amplitude, mean = _sines_terms(service, point, cycles, pressed)
        sheet.solved(a, amplitude, "MPa", f"√3 √J2 amplitude, {name}", point.words)
        sheet.solved(m, mean, "MPa", "3 σ_H mean, fit included", point.words)
        by_mean, source = f"{a} + (2**(1 - γ) - 1) * {{}}", "Sines 1959 (from memory, not seen)"
    else:
        amplitude, mean, plane = _walker_terms(service, point, cycles, pressed, repeated.strength, share)
        on = f"on the plane {plane:.0f}° from hoop to axis, {name}"
        sheet.solved(a, amplitude, "MPa", f"amplitude of normal stress {on}", point.words)
        sheet.solved(m, mean, "MPa", "mean of it, fit included", point.words)
        by_mean, source = f"({a} + {{}})**(1 - γ) * {a}**γ", "Walker 1970 (from memory, not seen)"
    sheet.step(m_0, f"{a} * (1 + R_0) / (1 - R_0)", "MPa", "least mean stress credited")
    here = f"max({m}, {m_0})"
    meaning = "equivalent amplitude, fully reversed"
    if "R_1" not in sheet:
        sheet.step(equivalent, by_mean.format(here), "MPa", meaning, source)
        return equivalent
    w, m_1 = f"W{number}", f"m_1{number}"
    sheet.step(m_1, f"{a} * (1 + R_1) / (1 - R_1)", "MPa", "greatest mean stress that the data cover")
    edge = by_mean.format(f"max(min({m}, {m_1}), {m_0})")
    line = f"max(F_u - {m_1}, F_u / 1000) / max(F_u - max({m}, {m_1}), F_u / 1000)"
    both = f"max({by_mean.format(here)}, ({edge}) * {line})"
    sheet.step(w, both, "MPa", "equivalent amplitude by the curve", f"{source}; Goodman's line beyond R_1")
    _add_fully_reversed(sheet, equivalent, number)
    return equivalent


def _add_fully_reversed(sheet: Sheet, equivalent: str, number: str) -> None:
    """The line of the fully reversed amplitude from the one by the curve."""
    a, m, m_0, w, x, t = (f"{symbol}{number}" for symbol in ("a", "m", "m_0", "W", "x", "t"))
    meaning = "equivalent amplitude, fully reversed"
    if "B_1" not in sheet:
        sheet.step(equivalent, w, "MPa", meaning)
        return
    local = "k_f * k_r" if "k_r" in sheet else "k_f"
    sheet.step(x, f"{w} * 2**A_3 / (K * {local})", "ksi", "S_eq of the curve, all factors taken out")
    sheet.step(t, f"min(max({m} / {m_0}, 0), 1)", "", "share of the way from R = -1 to R_0")
    above = f"10**((B_1 - A_1) / B_2) * max({x} - A_4, 0)**(A_2 / B_2)"
    same_life = f"K * {local} * (B_4 * min({x} / A_4, 1) + {above})"
    of_it = "that of the same life at R = -1, if it is more"
    sheet.step(equivalent, f"{a} + {t} * max({same_life} - {a}, 0)", "MPa", meaning, of_it)


def _sines_terms(
    service: ServiceSolution, point: _Point, cycles: tuple[Cycle, ...], pressed: np.ndarray
) -> tuple[float, float]:
    amplitude, mean = service.cyclic(point.body, cycles).invariants
    return float(amplitude[point.index]), float(mean[point.index] + 3.0 * hydrostatic(pressed))


def _walker_terms(
    service: ServiceSolution,
    point: _Point,
    cycles: tuple[Cycle, ...],
    pressed: np.ndarray,
    strength: FatigueStrength,
    share: float,
) -> tuple[float, float, float]:
    """Amplitude and mean on the plane that governs, MPa, and its angle, degrees."""
    amplitude, mean = (field[:, *point.index] for field in service.cyclic(point.body, cycles).planes)
    mean = mean + on_planes(pressed)
    k = int(np.argmax(walker_on_planes(amplitude, mean, strength, share)))
    return float(amplitude[k]), float(mean[k]), float(np.degrees(PLANES[k]))
