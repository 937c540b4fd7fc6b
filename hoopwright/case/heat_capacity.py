"""What heat the parts of a case hold, and how warm they are once they share it."""

from __future__ import annotations

import numpy as np

from hoopwright.case.model import Case
from hoopwright.materials import Material

# Density in kg/m³ below which a row applies, specific heat in J/(kg K), kind of metal; handbook values from
# memory, not seen.
SPECIFIC_HEAT = (
    (3500.0, 900.0, "aluminium"),
    (6000.0, 540.0, "titanium"),
    (8200.0, 470.0, "steel"),
    (np.inf, 380.0, "copper alloy"),
)


def specific_heat(density: float) -> tuple[float, str]:
    """Specific heat, J/(kg K), and the kind of metal, both inferred from the density, kg/m³."""
    return next((heat, kind) for density_max, heat, kind in SPECIFIC_HEAT if density < density_max)


def metal_kind(material: Material) -> str:
    """The kind of metal; "" where the density is not given."""
    return "" if material.density is None else specific_heat(material.density)[1]


def heat_per_volume(material: Material) -> float:
    """Density times specific heat, J/(m³ K); every part that slips in by heat has a density."""
    assert material.density is not None
    return material.density * specific_heat(material.density)[0]


def volume_and_lengthwise_area(case: Case, part: str) -> tuple[float, float]:
    """Volume of a part as it is pressed, mm³, and area of its bore and outside, mm²."""
    outside, bore = (
        (case.shell.outside, case.shell.bore)
        if part == "shell"
        else (case.sleeve.blank.whole_outside, case.sleeve.blank.bore)
    )
    volume, area = 0.0, 0.0
    for sign, bands in ((1.0, outside), (-1.0, bore)):
        for band in bands:
            radius = 0.5 * (band.diameter if hasattr(band, "diameter") else band.mean_diameter)
            volume += sign * np.pi * radius**2 * band.length
            area += 2.0 * np.pi * radius * band.length
    return float(volume), float(area)


def common_temperature(case: Case) -> float:
    """Temperature of a hot shell and a cold sleeve that share their heat and lose none, K above 20 °C."""
    parts = (
        ("shell", case.shell_material, case.press.shell_hot_K),
        ("sleeve", case.sleeve_material, case.press.sleeve_cold_K),
    )
    capacities = [
        heat_per_volume(material) * volume_and_lengthwise_area(case, part)[0] for part, material, _ in parts
    ]
    return float(np.average([rise for *_, rise in parts], weights=capacities))


def warms_tight(case: Case) -> float | None:
    """The common temperature, K above 20 °C, of a sleeve that slipped in and expands more than its shell:
    it is tighter then than once both are cold. None where it is not so."""
    if not case.press.slips_in or case.sleeve_material.expansion <= case.shell_material.expansion:
        return None
    shared = common_temperature(case)
    return shared if shared > case.press.temperature_rise_K else None
