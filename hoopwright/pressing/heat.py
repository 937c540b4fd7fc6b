"""Assembly by heat and cold: temperatures, whether the metals withstand them, and handling time.

The gap is the least one over the forms of both parts, on the whole way in (hoopwright/slipping_in.py).

ΔT_shell = [(δ + gap)/d + α_sleeve ΔT_sleeve]/α_shell        lumped cooling: T − T_room ~ e^(−t/τ)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from hoopwright.case.heat_capacity import metal_kind, specific_heat, volume_and_lengthwise_area
from hoopwright.case.model import Case
from hoopwright.case.press_model import FREEZER_K
from hoopwright.closed_form.thermal import handling_time, time_constant
from hoopwright.display import Units
from hoopwright.materials import Material
from hoopwright.slipping_in import Passage, SlippingIn, handling_gap, slipping_in
from hoopwright.strength import COMMON_HEAT_K, NO_QUESTION_K


@dataclass(frozen=True)
class ThermalAssembly:
    """One combination of temperatures for slipping the sleeve in.

    shell_rise_K, sleeve_rise_K: above 20 °C. gap_mm: the least on the way in, diametral, at the start.
    allowed: whether the shell may be that hot. time_s: estimated time until the gap has closed; None where
    not allowed, where it stays open, or where a density is not given.
    """

    name: str
    shell_rise_K: float  # noqa: N815 - fields end in their unit
    sleeve_rise_K: float  # noqa: N815
    gap_mm: float
    allowed: bool
    time_s: float | None


@dataclass(frozen=True)
class HeatPlan:
    """Temperatures for assembly by heat and cold.

    interference_mm: the greatest diametral interference on the way in, upper end of its 95 % interval and
    form of both parts counted, nothing smoothed; tightest: where. clearance_mm: diametral. limit_K: highest
    temperature of the shell, K above 20 °C; limit_from: what sets it.
    """

    tightest: Passage
    interference_mm: float
    clearance_mm: float
    limit_K: float  # noqa: N815
    limit_from: str
    ways: tuple[ThermalAssembly, ...]


def heat_plan(case: Case) -> HeatPlan:
    """Plan for a hot shell, sleeve cold or not, within the 95 % interval of the sizes. Raises CaseError
    where the way in is blocked."""
    ways, wanted = slipping_in(case), handling_gap(case)
    least, tightest = ways.tightest(0.0, 0.0, ways.half_width)
    limit, why = heat_limit(case)
    bench, freezer = case.press.temperature_rise_K, case.press.heat.sleeve_cold_K
    cold = FREEZER_K if freezer is None else freezer
    found = [
        _at(case, ways, name, max(bench, ways.shell_rise_for(wanted, rise, ways.half_width)), rise, limit)
        for name, rise in (("hot shell alone", bench), ("hot shell, cold sleeve", min(cold, bench)))
    ]
    if case.press.slips_in:
        own = case.press.shell_hot_K, case.press.sleeve_cold_K
        found.insert(0, _at(case, ways, "as the case has it", *own, limit))
    return HeatPlan(tightest, -least, wanted, limit, why, tuple(found))


def heat_limit(case: Case) -> tuple[float, str]:
    """Highest temperature of the shell, K above 20 °C, and what sets it."""
    material, own = case.shell_material, case.press.heat.shell_max_K
    limit, why = material.heat_limit, f"what the temper of {material.name} stands"
    if limit is None:
        limit, why = NO_QUESTION_K, f"no limit is known of the heat that {material.name} stands"
    if limit > COMMON_HEAT_K:
        limit, why = COMMON_HEAT_K, f"common practice: paint and grease; {material.name} stands more"
    if own is not None and own < limit:
        return own, "[press.heat] shell_most"
    return limit, why


def _at(case: Case, ways: SlippingIn, name: str, hot: float, cold: float, limit: float) -> ThermalAssembly:
    """A shell and a sleeve at their temperatures, K above 20 °C."""
    bench = case.press.temperature_rise_K
    gap, _ = ways.tightest(hot, cold, ways.half_width)
    at_bench, tightest = ways.tightest(bench, bench, ways.half_width)
    allowed = hot <= limit
    constants = _time_constant(case, "sleeve"), _time_constant(case, "shell")
    time = (
        handling_time(
            interference=-at_bench,
            diameter=tightest.bore,
            sleeve_alpha=ways.sleeve.mean_expansion(cold, bench),
            shell_alpha=ways.shell.mean_expansion(hot, bench),
            sleeve_temperature_change=cold - bench,
            shell_temperature_change=hot - bench,
            sleeve_time_constant=constants[0],
            shell_time_constant=constants[1],
        )
        if allowed and at_bench < 0.0 and constants[0] is not None and constants[1] is not None
        else None
    )
    return ThermalAssembly(name, hot, cold, gap, allowed, time)


def _time_constant(case: Case, part: str) -> float | None:
    """Time constant of a part cooling in still air, s; heat leaves through bore, outside and ends. None
    where its density is not given."""
    length, material = (
        (case.shell.width, case.shell_material)
        if part == "shell"
        else (case.sleeve.blank.length, case.sleeve_material)
    )
    if material.density is None:
        return None
    volume, area = volume_and_lengthwise_area(case, part)
    area += 2.0 * volume / length
    heat, _ = specific_heat(material.density)
    return float(
        time_constant(
            density=material.density,
            specific_heat=heat,
            volume=volume,
            area=area,
            heat_transfer=case.press.heat.heat_transfer_W_m2K,
        )
    )


def notes(case: Case, plan: HeatPlan, units: Units) -> list[str]:
    """What limits the heat, how long the gap lasts, and what the heat does to the metals, in sentences."""

    def at(rise: float) -> str:
        return units.temperature(20.0 + rise)

    material = case.shell_material
    lines = [
        _tightest(case, plan.tightest, units),
        f"Limit: {plan.limit_from}.",
        "In hand: until the gap is gone, both parts cooling in still air as lumps; an estimate. Once they "
        "touch, it grips within seconds: one smooth movement, a stop to run up against.",
    ]
    if not any(way.allowed and way.gap_mm > 0.999 * plan.clearance_mm for way in plan.ways):
        lines.append(
            f"No way within {at(plan.limit_K)} gives this gap: take less clearance, a colder "
            f"sleeve (dry ice gives about {at(-90.0)}), or press it."
        )
    lines.append(_temper(material, at))
    if material.heat_affected_of is not None:
        lines.append(
            "The welded zone is soft already; heating does not restore it and a torch widens it. "
            "Use an oven, and measure the temperature on the metal."
        )
    cold = min(way.sleeve_rise_K for way in plan.ways)
    if cold < -80.0 and metal_kind(case.sleeve_material) in ("steel", ""):
        lines.append("Plain steel is brittle at this temperature: do not hammer the sleeve.")
    lines.append("Paint, grease, rubber and retaining compound nearby are damaged before the metal is.")
    return lines


def _tightest(case: Case, place: Passage, units: Units) -> str:
    """Where the gap is least, and what it is made of."""
    lands = len(case.sleeve.outside) > 1 or len(case.shell.bore) > 1
    which = (
        f", where land {place.sleeve_land + 1} of the sleeve passes land {place.bore_land + 1} of the bore"
        if lands
        else ""
    )
    parts = [f"{units.text(1e3 * (place.turned - place.bore), 'um')} by the sizes there"]
    if place.form:
        parts.append(f"{units.text(1e3 * place.form, 'um')} by the form of both, the sleeve at any angle")
    if place.plus_minus:
        parts.append(f"{units.text(1e3 * place.plus_minus, 'um')} by what these are uncertain by (95 %)")
    return (
        f"Tightest at z {units.along(place.z)}{which}: {', '.join(parts)}. The clearance is the least "
        "there is on the way; slipping in smooths nothing."
    )


def _temper(material: Material, at: Callable[[float], str]) -> str:
    if material.heat_limit is None:
        return (
            f"{material.name}: no temper limit is known here. A normalised or annealed metal withstands "
            "this; a hardened, cold-drawn or brazed one may not. Find out its condition."
        )
    text = (
        f"{material.name}: withstands {at(material.heat_limit)} for minutes, not longer; above it the "
        "temper is lost for good and the yield strength used here no longer applies."
    )
    if metal_kind(material) in ("aluminium", ""):
        text += " It is also weaker while hot: put no load on it."
    return text
