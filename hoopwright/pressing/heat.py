"""Assembly by heat and cold: how hot and how cold, whether the metal stands it, and how long it lasts.

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

SHARE_OF_BORE = 1e-3
"""Diametral gap to slip in with, as a share of the bore, where the case gives none. DIN 7190-1 names
this figure (from memory, not seen)."""
WARMEST_UNASKED = 180.0
"""K above 20 °C: hottest that is proposed for a metal whose table row has no limit; common practice, no
source: paint chars, grease smokes and adhesives let go by then."""
# Specific heat in J/(kg K), handbook values from memory, not seen, told by density in kg/m³.
SPECIFIC_HEAT = ((3500.0, 900.0, "aluminium"), (6000.0, 540.0, "titanium"), (8200.0, 470.0, "steel"),
                 (np.inf, 380.0, "copper alloy"))


@dataclass(frozen=True)
class Way:
    """One way to slip the sleeve in. rises: K above 20 °C. time_s: until the gap is gone, an estimate;
    None where the shell may not be made so hot. gap_mm: at the start."""

    name: str
    shell_rise_K: float  # noqa: N815 - fields end in their unit
    sleeve_rise_K: float  # noqa: N815
    gap_mm: float
    allowed: bool
    time_s: float | None


@dataclass(frozen=True)
class HeatPlan:
    """interference_mm: diametral, the greatest to be expected anywhere. limit_K: hottest the shell may
    be; limit_from: why."""

    interference_mm: float
    clearance_mm: float
    limit_K: float  # noqa: N815
    limit_from: str
    ways: tuple[Way, ...]


def heat_plan(case: Case, *, greatest_interference: float) -> HeatPlan:
    """Hot shell, and hot shell with cold sleeve. greatest_interference: diametral, mm, at 20 °C."""
    diameter = max(land.mean_diameter for land in case.shell.bore)
    wanted = case.press.heat.clearance_mm
    clearance = SHARE_OF_BORE * diameter if wanted is None else wanted
    limit, why = _limit(case)
    ways = tuple(
        _way(case, name, cold, greatest_interference, clearance, diameter, limit)
        for name, cold in (("hot shell alone", 0.0),
                           ("hot shell, cold sleeve", case.press.heat.sleeve_cold_K)))
    return HeatPlan(greatest_interference, clearance, limit, why, ways)


def _limit(case: Case) -> tuple[float, str]:
    """Hottest the shell may be, K above 20 °C, and what says so."""
    material, own = case.shell_material, case.press.heat.shell_most_K
    limit, why = material.heat_limit, f"what the temper of {material.name} stands"
    if limit is None:
        limit, why = WARMEST_UNASKED, f"common practice: {material.name} has no limit of its own here"
    if own is not None and own < limit:
        return own, "[press.heat] shell_most"
    return limit, why


def _way(case: Case, name: str, cold: float, interference: float, clearance: float,
         diameter: float, limit: float) -> Way:
    sleeve, shell = case.sleeve_material, case.shell_material
    hot = max(0.0, float(shell_temperature_for_clearance(
        interference=interference, clearance=clearance, diameter=diameter, sleeve_alpha=sleeve.expansion,
        shell_alpha=shell.expansion, sleeve_temperature_change=cold)))
    gap = diameter * (shell.expansion * hot - sleeve.expansion * cold) - interference
    allowed = hot <= limit
    time = handling_time(
        interference=interference, diameter=diameter, sleeve_alpha=sleeve.expansion,
        shell_alpha=shell.expansion, sleeve_temperature_change=cold, shell_temperature_change=hot,
        sleeve_time_constant=_lump(case, "sleeve"), shell_time_constant=_lump(case, "shell"),
    ) if allowed and interference > 0.0 else None
    return Way(name, hot, cold, gap, allowed, time)


def _lump(case: Case, part: str) -> float:
    """Time constant of a part in still air, s: heat leaves by the bore, the outside and the ends."""
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
    return float(time_constant(density=material.density, specific_heat=heat, volume=volume, area=area,
                               heat_transfer=case.press.heat.heat_transfer_W_m2K))


def specific_heat(material: Material) -> tuple[float, str]:
    """J/(kg K) and the kind of metal it is taken for, told by its density."""
    return next((heat, kind) for most, heat, kind in SPECIFIC_HEAT if material.density < most)


def warnings(case: Case, plan: HeatPlan, units: Units) -> tuple[str, ...]:
    """What the heat does to the metals, and what is missing, in plain sentences."""
    def at(rise: float) -> str:
        return units.text(20.0 + rise, "degC", decimals=0)

    material = case.shell_material
    lines = []
    if not any(way.allowed for way in plan.ways):
        lines.append(f"No way within {at(plan.limit_K)} gives this gap: take less clearance, a colder "
                     f"sleeve (dry ice gives about {at(-90.0)}), or press it.")
    lines.append(_temper(material, at))
    if material.heat_affected_of is not None:
        lines.append("The welded zone is soft already; heat does not mend it and a torch makes it wider. "
                     "Use an oven, and measure the temperature on the metal.")
    cold = min(way.sleeve_rise_K for way in plan.ways)
    if cold < -80.0 and specific_heat(case.sleeve_material)[1] == "steel":
        lines.append("Plain steel is brittle this cold: do not hammer the sleeve.")
    lines.append("Paint, grease, rubber and retaining compound nearby suffer before the metal does.")
    return tuple(lines)


def _temper(material: Material, at: Callable[[float], str]) -> str:
    if material.heat_limit is None:
        return (f"{material.name}: no temper limit is known here. A normalised or annealed metal stands "
                "this; a hardened, cold-drawn or brazed one may not. Ask for its condition.")
    text = (f"{material.name}: stands {at(material.heat_limit)} for minutes, not more; beyond it the "
            "temper is lost for good and the yield used here no longer holds.")
    if specific_heat(material)[1] == "aluminium":
        text += " While hot it is weaker too: set nothing heavy on it."
    return text
