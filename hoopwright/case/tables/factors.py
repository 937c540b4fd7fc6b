"""[factors]: factors of safety on the demand. All optional; the defaults are the tool's own.

yield = 1.2                     stress against yield
holding = 1.5                   force and torque against the grip of the fit
buckling = 2.0                  contact pressure against inward buckling of the sleeve
pressing = 1.25                 pressing force against what the press can give
fatigue = 1.25                  stress amplitude against fatigue strength
"""

from __future__ import annotations

from functools import partial
from typing import Any

from hoopwright.case.model import Factors
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    factor = partial(table.number, example=1.5, least="1", most="10")
    own = Factors()
    factors = table.build(
        Factors,
        yielding=factor("yield", default=own.yielding),
        holding=factor("holding", default=own.holding),
        buckling=factor("buckling", default=own.buckling),
        pressing=factor("pressing", default=own.pressing),
        fatigue=factor("fatigue", default=own.fatigue),
    )
    return {"factors": factors}
