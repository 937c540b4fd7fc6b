"""Working of the rows of fatigue: amplitude and mean at the point that governs, the criterion, and the
strength."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case
from hoopwright.case.service_model import Endurance, FatigueInput
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.fatigue import Repeated, governing_fatigue
from hoopwright.checks.margin import Margin
from hoopwright.closed_form.fatigue import hydrostatic
from hoopwright.closed_form.fatigue_life import MPA_PER_KSI
from hoopwright.loads.cases import Cycle
from hoopwright.service.cyclic import PLANES, on_planes
from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.study import ServiceSolution, Spot, Superposed, fit_surfaces
from hoopwright.working.closing import closed
from hoopwright.working.loads_by_hand import amplitude_by_hand
from hoopwright.working.miner import add_miner
from hoopwright.working.sheet import Origin, Sheet, Working
from hoopwright.working.stress_parts import nearest_angle

MIL = "form of MIL-HDBK-5J, from memory"


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
    _add_criterion(sheet, repeated.strength)

    def add_amplitude(cycles: tuple[Cycle, ...], number: str) -> str:
        return _add_amplitude(sheet, superposed, repeated, cycles, point, number)

    several = len(repeated.cycles) > 1
    if several:
        names = [add_amplitude((cycle,), str(k)) for k, cycle in enumerate(repeated.cycles, start=1)]
    else:
        names = [add_amplitude(repeated.cycles, "")]
    _add_strength(sheet, evidence.case, repeated.strength, body, leading)
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
    own = isinstance(strength.data, Endurance)
    source = "Smith, Watson and Topper: 1/2 where no other is known" if own else strength.source
    sheet.table("γ", strength.gamma, "", "Walker's exponent of the mean stress", source)
    ratio = strength.min_stress_ratio
    sheet.table("R_0", ratio, "", "least stress ratio of the data, none below it credited", source)


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
    if repeated.criterion == "Sines":
        amplitude, mean = _sines_terms(service, point, cycles, pressed)
        sheet.solved(a, amplitude, "MPa", f"√3 √J2 amplitude, {name}", point.words)
        sheet.solved(m, mean, "MPa", "3 σ_H mean, fit included", point.words)
        expression = f"{a} + (2**(1 - γ) - 1) * max({m}, {m_0})"
        source = "Sines 1959 (from memory, not seen)"
    else:
        amplitude, mean, plane = _walker_terms(service, point, cycles, pressed, repeated.strength)
        on = f"on the plane {plane:.0f}° from hoop to axis, {name}"
        sheet.solved(a, amplitude, "MPa", f"amplitude of normal stress {on}", point.words)
        sheet.solved(m, mean, "MPa", "mean of it, fit included", point.words)
        expression = f"({a} + max({m}, {m_0}))**(1 - γ) * {a}**γ"
        source = "Walker 1970 (from memory, not seen)"
    sheet.step(m_0, f"{a} * (1 + R_0) / (1 - R_0)", "MPa", "least mean stress credited")
    sheet.step(equivalent, expression, "MPa", "equivalent amplitude, fully reversed", source)
    return equivalent


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
) -> tuple[float, float, float]:
    """Amplitude and mean on the plane that governs, MPa, and its angle, degrees."""
    amplitude, mean = (field[point.index] for field in service.cyclic(point.body, cycles).planes)
    mean = mean + on_planes(pressed)
    credited = np.maximum(mean, strength.lowest_credited_mean(amplitude))
    k = int(np.argmax((amplitude + credited) ** (1.0 - strength.gamma) * amplitude**strength.gamma))
    return float(amplitude[k]), float(mean[k]), float(np.degrees(PLANES[k]))


def _add_strength(sheet: Sheet, case: Case, strength: FatigueStrength, body: str, leading: Cycle) -> None:
    """Lines for the amplitude endured for the cycles of the leading load, S_N."""
    key = "[[service.bearing]] or [service] cycles"
    sheet.case("N", float(leading.count or 0.0), "", f"cycles of {leading.name}", key)
    factors = []
    for k, (name, value) in enumerate(strength.factors.items(), start=1):
        origin, source = _of_factor(case, name)
        sheet.given(f"k_{k}", value, "", f"factor on strength: {name}", origin, source)
        factors.append(f"k_{k}")
    sheet.step("k_f", " * ".join(factors) or "1", "", "factors on strength together")
    data = strength.data
    if isinstance(data, Endurance):
        of = f"[fatigue.{body}]: {data.source}"
        sheet.case("S_1", data.amplitude, "MPa", "amplitude endured", of)
        sheet.case("N_1", data.cycles, "", "cycles it is endured for", of)
        sheet.case("k", data.slope, "", "slope of the S–N line", of)
        sheet.step("S_N", "S_1 * (N_1 / N)**(1 / k) * k_f", "MPa", "amplitude endured, fully reversed")
        return
    for symbol, value in (("A_1", data.a1), ("A_2", data.a2), ("A_3", data.a3), ("A_4", data.a4)):
        sheet.table(
            symbol,
            value,
            "ksi" if symbol == "A_4" else "",
            "constant of the curve",
            strength.source,
        )
    sheet.agreed("K", MPA_PER_KSI, "MPa/ksi", "MPa in one ksi", "definition of the units")
    curve = "(A_4 + 10**((A_1 - log10(N)) / A_2)) / 2**A_3 * K * k_f"
    sheet.step("S_N", curve, "MPa", "amplitude endured, fully reversed", MIL)


def _of_factor(case: Case, name: str) -> tuple[Origin, str]:
    """Where a factor on strength comes from: the case, or the tool's own choice."""
    key = name.replace("-", "_")
    given, own = getattr(case.fatigue, key), getattr(FatigueInput(), key)
    if given is None:
        return "convention", f"ratio of the two tensile strengths, our choice; [fatigue] {key} overrides it"
    return (
        ("case", f"[fatigue] {key}")
        if given != own
        else ("convention", f"our own; [fatigue] {key} overrides it")
    )
