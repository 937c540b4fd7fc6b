"""[factors]: factors of safety on the demand; the defaults are the tool's own."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.model import Factors
from hoopwright.case.table import Table
from hoopwright.case.tables.fatigue import REPEATS

PUSHED = '[press] method = "push"'
_OWN = Factors()


def _factor(name: str, meaning: str, default: float, *needs: str) -> Key:
    return Key(name, "number", meaning, 1.5, "1 to 10", default=default, needs=needs)


KEYS = TableKeys(
    "factors",
    "factors of safety on the demand; the defaults are the tool's own",
    keys=(
        _factor("yield", "stress against yield", _OWN.yielding),
        _factor("holding", "force and torque against the grip of the fit", _OWN.holding),
        _factor("buckling", "contact pressure against inward buckling of the sleeve", _OWN.buckling),
        _factor(
            "pressing",
            "pressing force against the capacity of the press",
            _OWN.pressing,
            "[press] capacity",
            PUSHED,
        ),
        _factor("fatigue", "stress amplitude against fatigue strength", _OWN.fatigue, *REPEATS),
    ),
)


def read(table: Table) -> dict[str, Any]:
    yielding = table.get("yield")
    others = table.fields("holding", "buckling", "pressing", "fatigue")
    return {"factors": table.build(Factors, yielding=yielding, **others)}
