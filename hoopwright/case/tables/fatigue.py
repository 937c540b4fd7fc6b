"""[fatigue]: factors on the fatigue strengths, and the case's own endurance data."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.service_model import Endurance, FatigueInput
from hoopwright.case.table import Table

MAX_CYCLES = 10**12
REPEATS = ("[service] pedalling_test or [[service.bearing]]",)
"""What brings a load that repeats."""
_OWN = FatigueInput()


def _share(name: str, meaning: str, default: float | None) -> Key:
    return Key(name, "number", meaning, 0.8, "above 0 to 1", default=default, needs=REPEATS)


def _endurance_keys(body: str) -> TableKeys:
    return TableKeys(
        body,
        f"the case's own endurance data of the {body}",
        keys=(
            Key("amplitude", "stress", "fully reversed, smooth bar", "60 MPa", "above 0 MPa to 5 GPa"),
            Key("at_cycles", "integer", "life at that amplitude", 10**7, f"1 to {MAX_CYCLES}"),
            Key("slope", "number", "k of N ~ amplitude^-k through that point", 9.0, "1 to 50"),
            Key("source", "text", "source of the data", "maker's data sheet"),
        ),
        needs=REPEATS,
    )


KEYS = TableKeys(
    "fatigue",
    "factors on the fatigue strengths",
    keys=(
        _share("surface", "turned or bored surface against the polished test bar", _OWN.surface),
        _share(
            "reliability",
            "from the mean of the tests to the strength that 99 % of bars reach",
            _OWN.reliability,
        ),
        _share(
            "heat_affected",
            "share of the parent metal's strength in a heat-affected shell; the ratio of the two tensile "
            "strengths when left out",
            None,
        ),
    ),
    tables=(_endurance_keys("shell"), _endurance_keys("sleeve")),
)


def read(table: Table) -> dict[str, Any]:
    """The field `fatigue` of a Case."""
    fatigue = table.build(
        FatigueInput,
        **table.fields("surface", "reliability", "heat_affected"),
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
        amplitude=row.get("amplitude"),
        cycles=row.get("at_cycles"),
        slope=row.get("slope"),
        source=row.get("source"),
    )
