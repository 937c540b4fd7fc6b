"""The fit in heat and cold: what it still holds, what it yields at, and whether a paint oven opens it."""

from __future__ import annotations

from hoopwright.case.holding_model import Temperatures
from hoopwright.checks.acts import acts
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import Grip, grip
from hoopwright.checks.margin import Margin, Where
from hoopwright.closed_form.thermal import lost_interference
from hoopwright.display import Units
from hoopwright.estimate import WHOLE, Estimate, from_meshes
from hoopwright.fit import FitState
from hoopwright.materials import Material

GIVE = "give [temperatures] use_least and use_most to have this judged"
NO_DEMAND = "give [demand] or [cups] to have this judged"


def loosens(evidence: Evidence) -> Margin:
    """What the seat holds at the temperature of use that loosens it most, against what it must hold."""
    case, seen = evidence.case, evidence.case.temperatures
    found = acts(case)
    held: list[tuple[float, Grip]] = [] if seen is None else [
        (rise, grip(evidence, evidence.study.at(evidence.least, rise)))
        for rise in (seen.use_least, seen.use_most)]
    worst = min(held, key=lambda pair: pair[1].force.value, default=None)
    wanted = max((a.resultant(worst[1].radius) for a in found), default=0.0) if worst else 0.0
    rise = worst[0] if worst else 0.0
    return Margin(
        id="loosens",
        title="grip in heat and cold",
        demand=Estimate(wanted) if wanted else None,
        capacity=worst[1].force if worst else None,
        unit="N",
        factor=case.factors.holding,
        where=Where("interface"),
        basis=_held_basis(evidence, rise, worst[1]) if worst else "grip over the range of use",
        note=GIVE if worst is None else worst[1].note if wanted else NO_DEMAND,
        doubt=worst[1].doubt if worst else "",
    )


def yields_warm(evidence: Evidence) -> Margin:
    """Stress of the pressed pair at the temperature that tightens it most, body with the least margin."""
    case, seen = evidence.case, evidence.case.temperatures
    lines = [] if seen is None else [
        _yield_line(evidence, seen, rise, body, material)
        for rise in _all(seen)
        for body, material in (("shell", case.shell_material), ("sleeve", case.sleeve_material))]
    if lines:
        return min(lines, key=lambda m: m.margin if m.margin is not None else 0.0)
    return Margin("yields_warm", "yields in heat or cold", None, None, "MPa", case.factors.yielding,
                  Where("interface"), "von Mises over the temperatures given", note=GIVE)


def oven_opens(evidence: Evidence) -> Margin:
    """Interference a paint oven takes, against the least there is. It comes back on cooling."""
    seen = evidence.case.temperatures
    oven = None if seen is None else seen.oven
    least = evidence.study.nominal_interference + evidence.least
    lost = Estimate(0.0) if oven is None else lost_by_fe(evidence, oven)
    return Margin(
        id="oven_opens",
        title="opens in the oven",
        demand=None if oven is None else lost * 1e3,
        capacity=Estimate(1e3 * least),
        unit="um",
        factor=1.0,
        where=Where("interface"),
        basis=_oven_basis(evidence, oven or 0.0, seen),
        note="" if oven is None or lost.value <= least else _oven_note(evidence, oven, lost.value, least),
        applies=oven is not None,
    )


def lost_by_fe(evidence: Evidence, temperature_rise: float) -> Estimate:
    """Mean diametral interference that warmth takes from the frictionless fit, mm, by finite elements.

    Contact force grows in proportion to interference while the whole seat touches, so the loss is
    the drop of force over its slope, both read where the seat is sure to touch all along.
    """
    study = evidence.study
    far = 2.0 * abs(_lost_closed(evidence, temperature_rise)) + study.spread + study.nominal_interference
    base = study.case.fit.temperature_rise_K
    tight, tighter, warm = (study.at(shift, rise).free for shift, rise in (
        (far, base), (2.0 * far, base), (far, temperature_rise)))

    def loss(mesh: int) -> float:
        slope = (tighter[mesh].normal_force - tight[mesh].normal_force) / far
        return (tight[mesh].normal_force - warm[mesh].normal_force) / slope

    return from_meshes(*map(loss, range(len(warm))), kind=WHOLE)


def _lost_closed(evidence: Evidence, temperature_rise: float) -> float:
    """The same by d (α_shell - α_sleeve) ΔT, mm."""
    case, seats = evidence.case, evidence.study.joint.seats
    length = sum(s.length for s in seats)
    diameter = sum(float(case.shell.bore[s.bore_land].diameter_at(0.5 * (s.z_start + s.z_end))) * s.length
                   for s in seats) / length
    return float(lost_interference(
        diameter=diameter, sleeve_alpha=case.sleeve_material.expansion,
        shell_alpha=case.shell_material.expansion,
        temperature_change=temperature_rise - case.fit.temperature_rise_K))


def _all(seen: Temperatures) -> tuple[float, ...]:
    oven = () if seen.oven is None else (seen.oven,)
    return tuple(dict.fromkeys((seen.use_least, seen.use_most, *oven)))


def _yield_line(
    evidence: Evidence, seen: Temperatures, rise: float, body: str, material: Material
) -> Margin:
    def read(state: FitState) -> float:
        return state.equivalent_peak(body).value

    demand, state = evidence.study.at(evidence.greatest, rise).greatest(read)
    return Margin(
        id="yields_warm",
        title="yields in heat or cold",
        demand=demand,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=evidence.case.factors.yielding,
        where=Where.of(state.equivalent_peak(body)),
        basis=f"von Mises, membrane + bending, greatest interference, at {_degrees(rise)}, the worst of "
              f"the temperatures given, against yield of {material.name} ({material.condition}) at 20 °C",
        doubt=_temper(evidence, max(_all(seen))),
    )


def _temper(evidence: Evidence, hottest: float) -> str:
    """What heat beyond a temper's limit does to the strength this and every other line counts on."""
    case = evidence.case
    softened = [m for m in (case.shell_material, case.sleeve_material)
                if m.heat_limit is not None and hottest > m.heat_limit]
    if not softened:
        return ""
    names = " and ".join(f"{m.name} stands {_degrees(m.heat_limit or 0.0)}" for m in softened)
    return (f"{names}; at {_degrees(hottest)} it loses strength for good, and no line that counts on its "
            "yield holds after that")


def _held_basis(evidence: Evidence, rise: float, held: Grip) -> str:
    lost = 1e3 * _lost_closed(evidence, rise)
    word = "loses" if lost >= 0.0 else "gains"
    return (f"contact by finite elements at {_degrees(rise)}, where the fit {word} {abs(lost):.1f} µm on "
            f"diameter (linear expansion); {held.basis}; against the greatest force along the seat of "
            "[demand] and [cups]")


def _oven_basis(evidence: Evidence, oven: float, seen: Temperatures | None) -> str:
    closed = 1e3 * _lost_closed(evidence, oven)
    minutes = "" if seen is None or seen.oven_time is None else f" for {seen.oven_time / 60.0:g} min"
    return (f"mean loss on diameter at {_degrees(oven)}{minutes} by finite elements, frictionless; linear "
            f"expansion gives {closed:.1f} µm; against the least mean interference; the fit returns on "
            "cooling as far as both parts stay elastic and keep their temper")


def _oven_note(evidence: Evidence, oven: float, lost: float, least: float) -> str:
    base = evidence.case.fit.temperature_rise_K
    opens = base + (oven - base) * max(least, 0.0) / lost
    return (f"loose above about {_degrees(opens)} and free to shift until it cools: bake before pressing, "
            "or keep the sleeve from moving, and check its place afterwards")


def _degrees(rise: float) -> str:
    return Units().both(20.0 + rise, "degC")
