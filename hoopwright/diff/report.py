"""The difference between two repairs as one JSON document."""

from __future__ import annotations

from typing import Any

from hoopwright.diff.inputs import changed_inputs, shown_pair
from hoopwright.diff.margins import Cell, ChangedCell, changed_cells
from hoopwright.diff.sides import Side
from hoopwright.display import Units
from hoopwright.document.heading import tool_part


def difference(a: Side, b: Side, units: Units) -> dict[str, Any]:
    """What changed from a to b. Values of inputs stand as written, and in `shown` in the reader's units."""
    inputs, cells = changed_inputs(a.inputs, b.inputs), changed_cells(a.results, b.results)
    both = (a.results, b.results)
    return {
        **tool_part("diff"),
        "a": _side(a),
        "b": _side(b),
        "inputs": [
            {
                "table": i.table,
                "key": i.key,
                "old": _plain(i.old),
                "new": _plain(i.new),
                "shown": list(shown_pair(i, units)),
            }
            for i in inputs
        ],
        "margins": [_cell(c) for c in cells if c.moved],
        "new": [_cell(c) for c in cells if c.old is None],
        "lost": [_cell(c) for c in cells if c.new is None],
        "verdict": dict(zip(("old", "new"), (r["verdict"] for r in both), strict=True)),
        "state": dict(zip(("old", "new"), (r["state"] for r in both), strict=True)),
    }


def _side(side: Side) -> dict[str, Any]:
    return {
        "name": side.name,
        "kind": side.kind,
        "title": side.results["case"]["title"],
        "sha256": side.results["case"].get("sha256"),
        "version": side.results["tool"].get("version"),
        "notes": list(side.notes),
    }


def _cell(changed: ChangedCell) -> dict[str, Any]:
    return {
        "id": changed.id,
        "title": changed.title,
        "stage": changed.stage,
        "old": _judgement(changed.old),
        "new": _judgement(changed.new),
    }


def _judgement(cell: Cell | None) -> dict[str, Any] | None:
    return None if cell is None else {"margin": cell["margin"], "state": cell["state"]}


def _plain(value: Any) -> Any:
    """A value of a TOML file as JSON can hold it: dates become text."""
    if isinstance(value, list):
        return [_plain(v) for v in value]
    return value if value is None or isinstance(value, str | int | float | bool) else str(value)
