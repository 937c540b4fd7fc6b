"""[proof]: what the pressed joint was loaded with, and whether it slipped."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.model import ProofInput
from hoopwright.case.table import Table

KEYS = TableKeys(
    "proof",
    "what the pressed joint was loaded with on the bench, and whether it slipped",
    keys=(
        optional("push", "force", "along the axis", "3 kN", "above 0 N"),
        optional("torque", "torque", "about the axis", "60 N*m", "above 0 N*m"),
        Key("slipped", "flag", "the witness mark moved: the seat holds no more than this", True),
    ),
    one_of=(("push", "torque"),),
)


def read(table: Table) -> dict[str, Any]:
    given = [key for key in ("push", "torque") if table.has(key)]
    if len(given) != 1:
        force, torque = table.example("3 kN"), table.example("60 N*m")
        problem = "given as well as push" if given else "missing"
        advice = "keep the one" if given else f'write e.g. push = "{force}" or torque = "{torque}"'
        table.fault(given[-1] if given else "push", problem, advice)
    loads = table.fields("push", "torque")
    if not table.has("slipped"):
        table.fault("slipped", "missing", "write slipped = true or slipped = false")
        return {"proof": None}
    return {"proof": table.build(ProofInput, **loads, **table.fields("slipped"))}
