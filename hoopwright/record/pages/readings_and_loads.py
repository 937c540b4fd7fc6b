"""Readings and gauges, and the loads in use."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.rows import load_text
from hoopwright.record.pages.blocks import (
    Block,
    as_sentence,
    bullets,
    heading,
    keep_together,
    table,
    two_columns,
)


def readings(d: dict[str, Any], units: Units) -> list[Block]:
    if not d["readings"] and not d["gauges"]:
        return []
    blocks = [heading("Readings and gauges")]
    if d["readings"]:
        mean = f"mean at {units.temperature(20.0)}"
        blocks.append(
            table(
                [
                    "land",
                    "readings",
                    "cut",
                    mean,
                    "± (95 %)",
                    "taper",
                    "ovality",
                    "bell-mouth",
                ],
                [_land(m, units) for m in d["readings"]],
            )
        )
    if d["gauges"]:
        blocks.append(
            table(
                ["gauge", "shows", "accuracy", "zero", "repeatability", "temperature"],
                [_gauge(g, units) for g in d["gauges"]],
            )
        )
    notes = dict.fromkeys(as_sentence(n) for m in d["readings"] for n in m["notes"])
    return [*blocks, *([bullets(notes, small=True)] if notes else [])]


def _um(value: float | None, units: Units) -> str:
    return "" if value is None else units.text(value, "um")


def _land(m: dict[str, Any], units: Units) -> list[str]:
    return [
        f"{m['part']}, {m['surface']}, land {m['land']}",
        str(m["count"]),
        m["process"],
        units.measured_diameter(m["diameter_mm"]),
        *(_um(m[k], units) for k in ("plus_minus_um", "taper_um", "ovality_um", "bell_mouth_um")),
    ]


def _gauge(g: dict[str, Any], units: Units) -> list[str]:
    name = f"{g['name']}: {g['type']}" if g["type"] else g["name"]
    return [
        name,
        _um(g["resolution_um"], units),
        f"{_um(g['accuracy_um'], units)} ({g['accuracy_is']})",
        _um(g["zero_error_um"], units),
        _um(g["repeatability_um"], units),
        "as what it reads" if g["temperature_degC"] is None else units.temperature(g["temperature_degC"]),
    ]


def loads(d: dict[str, Any], units: Units) -> list[Block]:
    part = d["loads"]
    if not part or not part["cases"]:
        return []
    tables = [_load_case(c, units) for c in part["cases"]]
    beside = [two_columns(tables[k : k + 1], tables[k + 1 : k + 2]) for k in range(0, len(tables), 2)]
    said: dict[str, list[str]] = {}
    for c in part["cases"]:
        said.setdefault(c["source"], []).append(
            f"{c['name']}: {as_sentence(load_text(c['wording'], units))}"
        )
    lines = [
        " ".join(words) + (f" Source: {as_sentence(source)}" if source else "")
        for source, words in said.items()
    ]
    return [
        keep_together(heading("Loads in use: x forward, y up, z along the axis to the right"), beside[0]),
        *beside[1:],
        bullets(lines, small=True),
    ]


def _load_case(case: dict[str, Any], units: Units) -> Block:
    force = units.label("N")
    rows = [
        [
            f"{sign} {e['on']}",
            units.along(e["z_mm"]),
            *(units.number(f, "N") for f in e["force_N"]),
        ]
        for sign, entries in (("on", case["loads"]), ("held by", case["reactions"]))
        for e in entries
    ]
    return table([case["name"], "at z", *(f"{axis} [{force}]" for axis in "xyz")], rows)
