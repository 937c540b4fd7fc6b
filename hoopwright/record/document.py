"""Content of results.json: the JSON document of the check, and all else that the pages show."""

from __future__ import annotations

import platform
from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.document.came_out import came_out_part
from hoopwright.document.heading import as_json
from hoopwright.document.plain import plain
from hoopwright.document.press import document as press_document
from hoopwright.document.sheet import sheet_part
from hoopwright.document.size import decision_part, land_part, turn_to_part, window_part
from hoopwright.record.case_inputs import (
    bodies_part,
    drawing_part,
    gauges_part,
    job_part,
    materials_part,
    settings_part,
)
from hoopwright.record.gather import Gathered
from hoopwright.record.paper import paper_of
from hoopwright.record.press_readings import press_readings_part
from hoopwright.rows.installed import installed_rows

LIBRARIES = ("numpy", "scipy", "scikit-fem", "matplotlib", "meshio", "pint", "typst")
ZERO_BELOW = 1e-9
"""Magnitudes below this, in any unit used here, are round-off and written as zero."""
HEADING = ("schema_version", "command", "tool", "case", "presets")
"""What every document begins with, and a part of another does not repeat."""


def record_document(found: Gathered) -> dict[str, Any]:
    """The document of the check under its own keys, then window, press plan, inputs and versions."""
    case = found.results.case
    whole = found.checked | {
        "command": "record",
        "window": window_part(found.window),
        "turn_to": turn_to_part(found.turn_to, case.size),
        "decision": decision_part(found.decision, found.came_out),
        "came_out": came_out_part(found.came_out, 20.0 + case.size.shop_rise_K),
        "press": _press(found),
        "press_readings": press_readings_part(case, found.press),
        "sheet": sheet_part(found.sheet),
        "job": job_part(case),
        "bodies": bodies_part(case),
        "materials": materials_part(case),
        "gauges": gauges_part(case),
        "readings": [land_part(m) for m in (*case.shell_measured, *case.sleeve_measured)],
        "settings": settings_part(case),
        "drawing": drawing_part(case),
        "record": layout_part(case, found.units, "repair"),
        "versions": versions(),
    }
    return normalised(whole)


def layout_part(case: Case, units: Units, kind: str) -> dict[str, Any]:
    """Kind of record, display units and paper size of the pages. kind: "repair" or "comparison"."""
    return {"kind": kind, "shown_in": units.system, "paper": paper_of(case, units.system)}


def normalised(value: Any) -> Any:
    """The value with floats rounded and round-off set to zero, so that processors do not differ."""
    return _zero_noise(plain(value))


def _zero_noise(value: Any) -> Any:
    if isinstance(value, dict):
        if value.get("expression") and not value["unit"]:  # a step of a working: damage may be as small
            return value
        return {k: _zero_noise(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_zero_noise(v) for v in value]
    return 0.0 if isinstance(value, float) and abs(value) < ZERO_BELOW else value


def as_bytes(whole: Mapping[str, Any]) -> bytes:
    """The document as indented JSON in UTF-8."""
    return as_json(dict(whole)).encode("utf-8")


def versions() -> dict[str, str]:
    """Versions of Python, of the libraries that numbers and pages depend on, and of the distributions that
    bring further rows."""
    further = {one.distribution: one.version for one in installed_rows()}
    libraries = {name: version(name) for name in LIBRARIES}
    return {"python": platform.python_version(), **libraries, **further}


def _press(found: Gathered) -> dict[str, Any]:
    if found.press is None:
        return {"blocked": found.blocked}
    part = press_document(found.press, found.units)
    return {"blocked": "", **{k: v for k, v in part.items() if k not in HEADING}}
