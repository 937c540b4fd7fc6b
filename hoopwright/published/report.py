"""The published examples beside ours as one JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoopwright.document.heading import tool_part
from hoopwright.document.plain import plain
from hoopwright.published import press_forces
from hoopwright.published.examples import Example
from hoopwright.published.press_forces import ImpliedFriction

SHOWS = (
    "It shows that Lamé and a friction as published give forces of the size that the trade plans its "
    "presses for: plausible, not accurate. The materials are not part of the table, and with a steel hub "
    "it would imply little more than half. One friction does not follow it over all diameters."
)


def validation_document(examples: Sequence[Example], rows: Sequence[ImpliedFriction]) -> dict[str, Any]:
    """Every example and the table of press forces, and whether all agree."""
    parts = [_example(example) for example in examples]
    forces = _press_forces(rows)
    return plain(
        {
            **tool_part("validate"),
            "agree": all(part["agrees"] for part in (*parts, forces)),
            "examples": parts,
            "press_forces": forces,
        }
    )


def _example(example: Example) -> dict[str, Any]:
    return {
        "name": example.name,
        "title": example.title,
        "source": example.source,
        "label": example.label,
        "agrees": example.agrees,
        "values": [
            {
                "what": c.what,
                "unit": c.unit,
                "theirs": c.theirs,
                "ours": c.ours,
                "difference": c.difference,
                "within": c.within,
                "agrees": c.agrees,
            }
            for c in example.comparisons
        ],
    }


def _press_forces(rows: Sequence[ImpliedFriction]) -> dict[str, Any]:
    iron, steel = tuple(r.cast_iron for r in rows), tuple(r.steel for r in rows)
    return {
        "source": press_forces.SOURCE,
        "label": press_forces.LABEL,
        "assumed": press_forces.ASSUMED,
        "shows": SHOWS,
        "agrees": all(r.agrees for r in rows),
        "friction_published": {
            "least": press_forces.FRICTION_LOW,
            "greatest": press_forces.FRICTION_HIGH,
            "within": press_forces.WIDENED_BY,
            "label": "from memory",
        },
        "rows": [
            {
                "diameter_mm": r.diameter,
                "force_factor": r.force_factor,
                "friction_cast_iron": r.cast_iron,
                "friction_steel": r.steel,
                "agrees": r.agrees,
            }
            for r in rows
        ],
        "spread_cast_iron": press_forces.spread(iron),
        "spread_steel": press_forces.spread(steel),
    }
