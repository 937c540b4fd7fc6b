"""[fatigue]: factors on the fatigue strengths. The table is optional.

surface = 1.0                   turned or bored surface against the polished test bar
reliability = 0.81              from the mean of the tests to the strength that 99 % of bars reach
heat_affected = 0.6             share of the parent metal's strength in a heat-affected shell; the ratio
                                of the two tensile strengths when left out

[fatigue.shell]                 likewise [fatigue.sleeve]: the case's own endurance data
amplitude = "60 MPa"            fully reversed, smooth bar
at_cycles = 10000000            life at that amplitude
slope = 9                       k of N ~ amplitude^-k through that point
source = "maker's data sheet"
"""

from __future__ import annotations

from functools import partial
from typing import Any

from hoopwright.case.service_model import Endurance, FatigueInput
from hoopwright.case.table import Table

MAX_CYCLES = 10**12


def read(table: Table) -> dict[str, Any]:
    """The field `fatigue` of a Case."""
    defaults = FatigueInput()
    share = partial(table.number, example=0.8, above="0", maximum="1")
    fatigue = table.build(
        FatigueInput,
        surface=share("surface", default=defaults.surface),
        reliability=share("reliability", default=defaults.reliability),
        heat_affected=share("heat_affected", default=None),
        shell=_endurance(table, "shell"),
        sleeve=_endurance(table, "sleeve"),
    )
    return {"fatigue": fatigue}


def _endurance(table: Table, body: str) -> Endurance | None:
    row = table.subtable(body)
    if row is None:
        return None
    return row.build(
        Endurance,
        amplitude=row.stress("amplitude", example="60 MPa", above="0 MPa", maximum="5 GPa"),
        cycles=row.integer("at_cycles", minimum=1, maximum=MAX_CYCLES),
        slope=row.number("slope", example=9.0, minimum="1", maximum="50"),
        source=row.text("source", example="maker's data sheet"),
    )
