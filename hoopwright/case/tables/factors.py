"""[factors]: factors of safety on the demand. All optional; the defaults are the tool's own.

yield = 1.2                     stress against yield
holding = 1.5                   force and torque against the grip of the fit
buckling = 2.0                  contact pressure against inward buckling of the sleeve
pressing = 1.25                 pressing force against the capacity of the press
fatigue = 1.25                  stress amplitude against fatigue strength
"""

from __future__ import annotations

from functools import partial
from typing import Any

from hoopwright.case.model import Factors
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    factor = partial(table.number, example=1.5, minimum="1", maximum="10")
    defaults = Factors()
    factors = table.build(
        Factors,
        yielding=factor("yield", default=defaults.yielding),
        holding=factor("holding", default=defaults.holding),
        buckling=factor("buckling", default=defaults.buckling),
        pressing=factor("pressing", default=defaults.pressing),
        fatigue=factor("fatigue", default=defaults.fatigue),
    )
    return {"factors": factors}
