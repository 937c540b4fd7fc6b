"""What heat takes from the metal for good."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.checks.margin import Stage
from hoopwright.display import Units
from hoopwright.materials import Material

UNKNOWN_LIMIT_K = 180.0
"""Limit, K above 20 °C, for a metal without a heat limit in the table; common practice, no source: paint
chars, grease smokes and adhesives fail by then."""


def temper_lost(case: Case, body: str, stage: Stage) -> str:
    """Doubt where the hottest a body may have been by a stage exceeds the limit of its metal's temper; ""
    where it does not. The oven may come before use, and while the cups are in; a shell may have been heated
    to slip the sleeve in."""
    spoilt = spoilt_by_heating(case) if body == "shell" else ""
    if spoilt:
        return spoilt
    temperatures = case.temperatures
    material = case.shell_material if body == "shell" else case.sleeve_material
    if temperatures is None or material.heat_limit is None or stage in ("entering", "pressed"):
        return ""
    hottest = max(temperatures.use_max, temperatures.oven or temperatures.use_max)
    return _spoilt(material, material.heat_limit, hottest)


def spoilt_by_heating(case: Case) -> str:
    """Doubt where the shell is heated beyond the limit of its metal's temper to slip the sleeve in; ""
    where it is not."""
    material, hot = case.shell_material, case.press.shell_hot_K
    if not case.press.slips_in:
        return ""
    if material.heat_limit is None and hot > UNKNOWN_LIMIT_K:
        return (
            f"no limit is known of the heat that {material.name} stands, and {_degrees(hot)} is beyond "
            "what is common to heat a shell to"
        )
    return "" if material.heat_limit is None else _spoilt(material, material.heat_limit, hot)


def _spoilt(material: Material, limit: float, hottest: float) -> str:
    if hottest <= limit:
        return ""
    return (
        f"{material.name} stands {_degrees(limit)}; at {_degrees(hottest)} it loses strength for good, and "
        "no line that counts on its yield holds after that"
    )


def _degrees(rise: float) -> str:
    return Units().both(20.0 + rise, "degC")
