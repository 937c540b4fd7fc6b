"""[fit]: how the two surfaces grip.

friction_low = 0.08             for holding: the least grip to count on
friction_high = 0.20            for pressing: the most the press must overcome
temperature = "20 degC"         optional: part temperature the fit is judged at
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import FitInput
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    low = table.number("friction_low", example=0.08, above="0", most="1.5")
    high = table.number("friction_high", example=0.20, above="0", most="1.5")
    if low is not None and high is not None and low > high:
        table.fault("friction_low", f"above friction_high = {high:g}", "swap the two")
    rise = table.temperature("temperature", default="20 degC", least="-150 degC", most="500 degC")
    fit = table.build(FitInput, friction_low=low, friction_high=high, temperature_rise_K=rise)
    return {"fit": fit}
