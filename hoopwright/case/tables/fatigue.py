"""[fatigue]: factors on the fatigue strengths, and the case's own endurance data."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.service_model import Endurance, FatigueInput
from hoopwright.case.table import Table

MAX_CYCLES = 10**12
REPEATS = ("[service] pedalling_test or [[service.bearing]]",)
"""What brings a load that repeats."""
THREADED = "[[sleeve.bore]] thread or [[sleeve.bore]] bored_after or [sleeve] bored_after"
"""Threads are cut before pressing or after it."""
_OWN = FatigueInput()


RELIABILITY = (0.9, 0.99999)
"""Least and greatest share of bars."""


def _share(name: str, meaning: str, default: float | None, *needs: str) -> Key:
    return Key(name, "number", meaning, 0.8, "above 0 to 1", default=default, needs=(*REPEATS, *needs))


def _endurance_keys(body: str) -> TableKeys:
    return TableKeys(
        body,
        f"the case's own endurance data of the {body}",
        keys=(
            Key("amplitude", "stress", "fully reversed, smooth bar", "60 MPa", "above 0 MPa to 5 GPa"),
            Key("at_cycles", "integer", "life at that amplitude", 10**7, f"1 to {MAX_CYCLES}"),
            Key("slope", "number", "k of N ~ amplitude^-k through that point", 9.0, "1 to 50"),
            Key(
                "scatter",
                "number",
                "standard deviation of log10 life; left out, strength is taken to scatter by 8 %",
                0.25,
                "above 0 to 2",
                default=None,
            ),
            Key("source", "text", "source of the data", "maker's data sheet"),
        ),
        needs=REPEATS,
    )


KEYS = TableKeys(
    "fatigue",
    "what lowers the fatigue strengths",
    keys=(
        _share("surface", "turned or bored surface against the polished test bar", _OWN.surface),
        Key(
            "reliability",
            "number",
            "share of bars that reach the strength; the printed scatter of the tests' life takes it there",
            0.999,
            f"{RELIABILITY[0]:g} to {RELIABILITY[1]:g}",
            default=_OWN.reliability,
            needs=REPEATS,
        ),
        _share(
            "heat_affected",
            "share of the parent metal's strength in a heat-affected shell; the ratio of the two tensile "
            "strengths when left out",
            None,
        ),
        _share(
            "fretting",
            "share of the strength that is left on a seat whose local slip is accepted; 0.45 is our choice "
            "after secondary quotes",
            _OWN.fretting,
            '[service] micro_slip = "accepted"',
        ),
        Key(
            "thread_notch_factor",
            "number",
            "on the sleeve's stress where its bore is threaded; thread roots are not judged without it",
            3.0,
            "1 to 10",
            default=None,
            needs=(*REPEATS, THREADED),
        ),
    ),
    tables=(_endurance_keys("shell"), _endurance_keys("sleeve")),
)


def read(table: Table) -> dict[str, Any]:
    """The field `fatigue` of a Case."""
    fatigue = table.build(
        FatigueInput,
        reliability=_reliability(table),
        **table.fields("surface", "heat_affected", "fretting", "thread_notch_factor"),
        shell=_endurance(table, "shell"),
        sleeve=_endurance(table, "sleeve"),
    )
    return {"fatigue": fatigue}


def _reliability(table: Table) -> float | None:
    """The share of bars; what lies out of its range is mostly a factor on strength, as the key once was."""
    raw, (least, most) = table.values.get("reliability"), RELIABILITY
    if isinstance(raw, int | float) and not isinstance(raw, bool) and not least <= raw <= most:
        table.has("reliability")
        table.fault(
            "reliability",
            f"not a share of bars from {least:g} to {most:g}; it is no factor on strength",
            "write e.g. reliability = 0.99 for the strength that 99 % of bars reach, which is the default",
        )
        return None
    found: float | None = table.get("reliability")
    return found


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
        scatter=row.get("scatter") or 0.0,
    )
