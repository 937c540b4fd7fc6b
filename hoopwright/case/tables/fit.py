"""[fit]: friction, temperature and roughness of the fit.

friction_low = 0.08             for holding: the lowest friction to count on
friction_high = 0.20            for pressing: the highest friction the press must overcome
temperature = "20 degC"         optional: part temperature at which sizes and the nominal fit are reported
roughness_bore = "4 um"         optional: Rz of the bore; likewise roughness_sleeve
smoothing = 0.8                 optional: share of the sum of both Rz, on diameter, that pressing flattens
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import FitInput
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    low = table.number("friction_low", example=0.08, above="0", maximum="1.5")
    high = table.number("friction_high", example=0.20, above="0", maximum="1.5")
    if low is not None and high is not None and low > high:
        table.fault("friction_low", f"above friction_high = {high:g}", "swap the two")
    rise = table.temperature("temperature", default="20 degC", minimum="-150 degC", maximum="500 degC")
    defaults = FitInput(0.0, 0.0)
    limits = {"example": "4 um", "default": "0 um", "minimum": "0 um", "maximum": "100 um"}
    bore, sleeve = (table.length(f"roughness_{part}", **limits) for part in ("bore", "sleeve"))
    smoothing = table.number(
        "smoothing", example=defaults.smoothing, default=defaults.smoothing, minimum="0", maximum="2"
    )
    fit = table.build(
        FitInput,
        friction_low=low,
        friction_high=high,
        temperature_rise_K=rise,
        roughness_bore_mm=bore,
        roughness_sleeve_mm=sleeve,
        smoothing=smoothing,
    )
    return {"fit": fit}
