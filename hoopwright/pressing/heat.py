"""Assembly by heat and cold: temperatures, whether the metals withstand them, and handling time.

ΔT_shell = [(δ + gap)/d + α_sleeve ΔT_sleeve]/α_shell        lumped cooling: T − T_room ~ e^(−t/τ)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case
from hoopwright.closed_form.thermal import (
    handling_time,
    shell_temperature_for_clearance,
    time_constant,
)
from hoopwright.display import Units
from hoopwright.materials import Material

DEFAULT_CLEARANCE_SHARE = 1e-3
"""Default diametral clearance for slipping in, as a share of the bore. DIN 7190-1 gives this figure (from
memory, not seen)."""
DEFAULT_SHELL_LIMIT = 180.0
"""Default limit, K above 20 °C, for a metal without a heat limit in the table; common practice, no source:
paint chars, grease smokes and adhesives fail by then."""
# Density in kg/m³ below which a row applies, specific heat in J/(kg K), kind of metal; handbook values from
# memory, not seen.
SPECIFIC_HEAT = (
    (3500.0, 900.0, "aluminium"),
    (6000.0, 540.0, "titanium"),
    (8200.0, 470.0, "steel"),
    (np.inf, 380.0, "copper alloy"),
)


@dataclass(frozen=True)
class ThermalAssembly:
    """One combination of temperatures for slipping the sleeve in.

    shell_rise_K, sleeve_rise_K: above 20 °C. gap_mm: diametral, at the start. allowed: whether the shell
    may be that hot. time_s: estimated time until the gap has closed; None where not allowed.
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

    interference_mm: greatest diametral interference of any seat. clearance_mm: diametral. limit_K: highest
    temperature of the shell, K above 20 °C; limit_from: what sets it.
    """

    interference_mm: float
    clearance_mm: float
    limit_K: float  # noqa: N815
    limit_from: str
    ways: tuple[ThermalAssembly, ...]


def heat_plan(case: Case, *, greatest_interference: float) -> HeatPlan:
    """Plan for a hot shell, sleeve cold or not. greatest_interference: diametral, mm, at 20 °C."""
    diameter = max(land.mean_diameter for land in case.shell.bore)
    wanted = case.press.heat.clearance_mm
    clearance = DEFAULT_CLEARANCE_SHARE * diameter if wanted is None else wanted
    limit, why = _limit(case)
    ways = tuple(
        _thermal_assembly(case, name, cold, greatest_interference, clearance, diameter, limit)
        for name, cold in (
            ("hot shell alone", 0.0),
            ("hot shell, cold sleeve", case.press.heat.sleeve_cold_K),
        )
    )
    return HeatPlan(greatest_interference, clearance, limit, why, ways)


def _limit(case: Case) -> tuple[float, str]:
    """Highest temperature of the shell, K above 20 °C, and what sets it."""
    material, own = case.shell_material, case.press.heat.shell_max_K
    limit, why = material.heat_limit, f"what the temper of {material.name} stands"
    if limit is None:
        limit, why = DEFAULT_SHELL_LIMIT, f"common practice: {material.name} has no limit of its own here"
    if own is not None and own < limit:
        return own, "[press.heat] shell_most"
    return limit, why


def _thermal_assembly(
    case: Case, name: str, cold: float, interference: float, clearance: float, diameter: float, limit: float
) -> ThermalAssembly:
    sleeve, shell = case.sleeve_material, case.shell_material
    hot = max(
        0.0,
        float(
            shell_temperature_for_clearance(
                interference=interference,
                clearance=clearance,
                diameter=diameter,
                sleeve_alpha=sleeve.expansion,
                shell_alpha=shell.expansion,
                sleeve_temperature_change=cold,
            )
        ),
    )
    gap = diameter * (shell.expansion * hot - sleeve.expansion * cold) - interference
    allowed = hot <= limit
    time = (
        handling_time(
            interference=interference,
            diameter=diameter,
            sleeve_alpha=sleeve.expansion,
            shell_alpha=shell.expansion,
            sleeve_temperature_change=cold,
            shell_temperature_change=hot,
            sleeve_time_constant=_time_constant(case, "sleeve"),
            shell_time_constant=_time_constant(case, "shell"),
        )
        if allowed and interference > 0.0
        else None
    )
    return ThermalAssembly(name, hot, cold, gap, allowed, time)


def _time_constant(case: Case, part: str) -> float:
    """Time constant of a part cooling in still air, s; heat leaves through bore, outside and ends."""
    body = case.shell if part == "shell" else case.sleeve
    material: Material = getattr(case, f"{part}_material")
    volume, area = 0.0, 0.0
    for sign, bands in ((1.0, body.outside), (-1.0, body.bore)):
        for band in bands:
            radius = 0.5 * (band.diameter if hasattr(band, "diameter") else band.mean_diameter)
            volume += sign * np.pi * radius**2 * band.length
            area += 2.0 * np.pi * radius * band.length
    length = sum(band.length for band in body.outside)
    area += 2.0 * volume / length
    heat, _ = specific_heat(material)
    return float(
        time_constant(
            density=material.density,
            specific_heat=heat,
            volume=volume,
            area=area,
            heat_transfer=case.press.heat.heat_transfer_W_m2K,
        )
    )


def specific_heat(material: Material) -> tuple[float, str]:
    """Specific heat, J/(kg K), and the kind of metal, both inferred from the density."""
    return next((heat, kind) for density_max, heat, kind in SPECIFIC_HEAT if material.density < density_max)


def notes(case: Case, plan: HeatPlan, units: Units) -> list[str]:
    """What limits the heat, how long the gap lasts, and what the heat does to the metals, in sentences."""

    def at(rise: float) -> str:
        return units.temperature(20.0 + rise)

    material = case.shell_material
    lines = [
        f"Limit: {plan.limit_from}.",
        "In hand: until the gap is gone, both parts cooling in still air as lumps; an estimate. Once they "
        "touch, it grips within seconds: one smooth movement, a stop to run up against.",
    ]
    if not any(way.allowed for way in plan.ways):
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
    if cold < -80.0 and specific_heat(case.sleeve_material)[1] == "steel":
        lines.append("Plain steel is brittle at this temperature: do not hammer the sleeve.")
    lines.append("Paint, grease, rubber and retaining compound nearby are damaged before the metal is.")
    return lines


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
    if specific_heat(material)[1] == "aluminium":
        text += " It is also weaker while hot: put no load on it."
    return text
