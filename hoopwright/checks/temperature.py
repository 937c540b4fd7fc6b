"""The fit in heat and cold: grip, yield, and loss of interference in a paint oven."""

from __future__ import annotations

from hoopwright.case.holding_model import Temperatures
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import Grip, grip
from hoopwright.checks.margin import Location, Margin
from hoopwright.checks.sleeve_loads import sleeve_loads
from hoopwright.closed_form.thermal import lost_interference
from hoopwright.display import Units
from hoopwright.estimate import INTEGRAL, Estimate, from_meshes
from hoopwright.fit import FitSolution
from hoopwright.materials import Material
from hoopwright.state import frictionless

ASK_FOR_TEMPERATURES = "give [temperatures] use_least and use_most to have this judged"
ASK_FOR_DEMAND = "give [demand] or [cups] to have this judged"


def loosens(evidence: Evidence) -> Margin:
    """Grip at the temperature of use that loosens the fit most, against the load the seat must hold."""
    case, temperatures = evidence.case, evidence.case.temperatures
    loads = sleeve_loads(case)
    grips: list[tuple[float, Grip]] = (
        [] if temperatures is None else [(rise, grip(evidence, rise)) for rise in evidence.range_of_use]
    )
    worst = min(grips, key=lambda pair: pair[1].force.value, default=None)
    demand = max((load.resultant(worst[1].radius) for load in loads), default=0.0) if worst else 0.0
    rise = worst[0] if worst else 0.0
    return Margin(
        id="loosens",
        title="grip in heat and cold",
        demand=Estimate(demand) if demand else None,
        capacity=worst[1].force if worst else None,
        unit="N",
        factor=case.factors.holding,
        where=Location("interface"),
        basis=_held_basis(evidence, rise, worst[1]) if worst else "grip over the range of use",
        note=ASK_FOR_TEMPERATURES if worst is None else worst[1].note if demand else ASK_FOR_DEMAND,
        doubt=worst[1].doubt if worst else "",
    )


def yields_warm(evidence: Evidence) -> Margin:
    """Yield of the pressed pair over all temperatures given: the body and temperature with least margin."""
    case, temperatures = evidence.case, evidence.case.temperatures
    margins = (
        []
        if temperatures is None
        else [
            _yield_line(evidence, temperatures, rise, body, material)
            for rise in _rises_given(temperatures)
            for body, material in (("shell", case.shell_material), ("sleeve", case.sleeve_material))
        ]
    )
    if margins:
        return min(margins, key=lambda m: m.margin if m.margin is not None else 0.0)
    return Margin(
        "yields_warm",
        "yields in heat or cold",
        None,
        None,
        "MPa",
        case.factors.yielding,
        Location("interface"),
        "von Mises over the temperatures given",
        note=ASK_FOR_TEMPERATURES,
    )


def oven_opens(evidence: Evidence) -> Margin:
    """Interference lost in a paint oven against the least interference; it returns on cooling."""
    temperatures = evidence.case.temperatures
    oven = None if temperatures is None else temperatures.oven
    least = evidence.study.nominal_interference + evidence.least
    lost = Estimate(0.0) if oven is None else interference_loss_fe(evidence, oven)
    return Margin(
        id="oven_opens",
        title="opens in the oven",
        demand=None if oven is None else lost * 1e3,
        capacity=Estimate(1e3 * least),
        unit="um",
        factor=1.0,
        where=Location("interface"),
        basis=_oven_basis(evidence, oven or 0.0, temperatures),
        note="" if oven is None or lost.value <= least else _oven_note(evidence, oven, lost.value, least),
        applies=oven is not None,
    )


def interference_loss_fe(evidence: Evidence, temperature_rise: float) -> Estimate:
    """Mean diametral interference lost by heating, frictionless, mm, by finite elements.

    The contact force is linear in the interference while the whole seat touches, so the loss is the drop
    of the force divided by that slope; both are taken at interferences large enough for full contact.
    """
    study = evidence.study
    far = (
        2.0 * abs(_interference_loss_closed_form(evidence, temperature_rise))
        + study.interference_half_width
        + study.nominal_interference
    )
    base = study.case.press.temperature_rise_K
    tight, tighter, warm = (
        study.at(frictionless(shift, rise)).solutions
        for shift, rise in ((far, base), (2.0 * far, base), (far, temperature_rise))
    )

    def loss(mesh: int) -> float:
        slope = (tighter[mesh].normal_force - tight[mesh].normal_force) / far
        return (tight[mesh].normal_force - warm[mesh].normal_force) / slope

    return from_meshes(*map(loss, range(len(warm))), kind=INTEGRAL)


def _interference_loss_closed_form(evidence: Evidence, temperature_rise: float) -> float:
    """Interference lost by heating, by d (α_shell - α_sleeve) ΔT, mm."""
    case, seats = evidence.case, evidence.study.joint.seats
    length = sum(s.length for s in seats)
    diameter = (
        sum(
            float(case.shell.bore[s.bore_land].diameter_at(0.5 * (s.z_start + s.z_end))) * s.length
            for s in seats
        )
        / length
    )
    return float(
        lost_interference(
            diameter=diameter,
            sleeve_alpha=case.sleeve_material.expansion,
            shell_alpha=case.shell_material.expansion,
            temperature_change=temperature_rise - case.press.temperature_rise_K,
        )
    )


def _rises_given(temperatures: Temperatures) -> tuple[float, ...]:
    """All temperatures given, without repeats, K above 20 °C."""
    oven = () if temperatures.oven is None else (temperatures.oven,)
    return tuple(dict.fromkeys((temperatures.use_min, temperatures.use_max, *oven)))


def _yield_line(
    evidence: Evidence, temperatures: Temperatures, rise: float, body: str, material: Material
) -> Margin:
    def read(solution: FitSolution) -> float:
        return solution.equivalent_peak(body).value

    row, fits = f"{body} at {rise:g}", evidence.at(evidence.greatest, rise)
    demand, solution = fits.greatest(row, read)
    return Margin(
        id="yields_warm",
        title="yields in heat or cold",
        demand=demand,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=evidence.case.factors.yielding,
        where=Location.of(solution.equivalent_peak(body)),
        basis=f"von Mises, membrane + bending, greatest interference, at {_degrees(rise)}, the worst of "
        f"the temperatures given, {solution.state.description}; against "
        f"yield of {material.name} ({material.condition}) at 20 °C",
        doubt=_temper_lost(evidence, max(_rises_given(temperatures))),
    )


def _temper_lost(evidence: Evidence, hottest: float) -> str:
    """Doubt where a temperature exceeds the limit of a material's temper; "" where none does."""
    case = evidence.case
    softened = [
        m
        for m in (case.shell_material, case.sleeve_material)
        if m.heat_limit is not None and hottest > m.heat_limit
    ]
    if not softened:
        return ""
    names = " and ".join(f"{m.name} stands {_degrees(m.heat_limit or 0.0)}" for m in softened)
    return (
        f"{names}; at {_degrees(hottest)} it loses strength for good, and no line that counts on its "
        "yield holds after that"
    )


def _held_basis(evidence: Evidence, rise: float, seat_grip: Grip) -> str:
    lost = 1e3 * _interference_loss_closed_form(evidence, rise)
    verb = "loses" if lost >= 0.0 else "gains"
    return (
        f"contact by finite elements at {_degrees(rise)}, where the fit {verb} {abs(lost):.1f} µm on "
        f"diameter (linear expansion); {seat_grip.basis}; against the greatest force along the seat of "
        "[demand] and [cups]"
    )


def _oven_basis(evidence: Evidence, oven: float, temperatures: Temperatures | None) -> str:
    closed = 1e3 * _interference_loss_closed_form(evidence, oven)
    minutes = (
        ""
        if temperatures is None or temperatures.oven_time is None
        else f" for {temperatures.oven_time / 60.0:g} min"
    )
    return (
        f"mean loss on diameter at {_degrees(oven)}{minutes} by finite elements, frictionless; linear "
        f"expansion gives {closed:.1f} µm; against the least mean interference; the fit returns on "
        "cooling as far as both parts stay elastic and keep their temper"
    )


def _oven_note(evidence: Evidence, oven: float, lost: float, least: float) -> str:
    base = evidence.case.press.temperature_rise_K
    opens = base + (oven - base) * max(least, 0.0) / lost
    return (
        f"loose above about {_degrees(opens)} and free to shift until it cools: bake before pressing, "
        "or keep the sleeve from moving, and check its place afterwards"
    )


def _degrees(rise: float) -> str:
    return Units().both(20.0 + rise, "degC")
