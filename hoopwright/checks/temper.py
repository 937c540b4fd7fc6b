"""What heat takes from the metal for good."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.checks.margin import Stage
from hoopwright.display import Units
from hoopwright.materials import Material


def temper_lost(case: Case, material: Material, stage: Stage) -> str:
    """Doubt where the hottest a body may have been by a stage exceeds the limit of its metal's temper; ""
    where it does not. The oven may come before use, and while the cups are in."""
    temperatures = case.temperatures
    if temperatures is None or material.heat_limit is None or stage in ("entering", "pressed"):
        return ""
    hottest = max(temperatures.use_max, temperatures.oven or temperatures.use_max)
    if hottest <= material.heat_limit:
        return ""
    return (
        f"{material.name} stands {_degrees(material.heat_limit)}; at {_degrees(hottest)} it loses strength "
        "for good, and no line that counts on its yield holds after that"
    )


def _degrees(rise: float) -> str:
    return Units().both(20.0 + rise, "degC")
