"""results.json of a record: the document of the check, and everything else that its pages say."""

from __future__ import annotations

import json
import platform
from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.document.check import document, rounded
from hoopwright.document.press import document as press_document
from hoopwright.document.size import land_part, window_part
from hoopwright.record.gather import Gathered
from hoopwright.record.parts import bodies_part, gauges_part, job_part, materials_part, settings_part
from hoopwright.sizing.turn_to import Decision

LIBRARIES = ("numpy", "scipy", "scikit-fem", "matplotlib", "meshio", "pint", "typst")
DUST = 1e-9
"""In whatever unit a number has: below all that means anything here, and no value is given so small."""
PAPER = {"metric": "A4", "inch": "letter"}


def record_document(found: Gathered) -> dict[str, Any]:
    """The document of the check first, under its own names; see record/parts.py for the rest."""
    case = found.results.case
    whole = document(found.results)
    whole |= {
        "window": window_part(found.window),
        "decision": None if found.decision is None else _decision(found.decision),
        "press": _press(found),
        "job": job_part(case),
        "bodies": bodies_part(case),
        "materials": materials_part(case),
        "gauges": gauges_part(case),
        "readings": [land_part(m) for m in (*case.shell_measured, *case.sleeve_measured)],
        "settings": settings_part(case),
        "record": layout_part(case, found.units, "repair"),
        "versions": versions(),
    }
    return settled(whole)


def layout_part(case: Case, units: Units, kind: str) -> dict[str, Any]:
    """How the pages are to look. kind: "repair" or "comparison"."""
    return {"kind": kind, "shown_in": units.system, "paper": case.paper or PAPER[units.system]}


def settled(value: Any) -> Any:
    """Rounded, and without the dust that sums leave where zero is meant: it differs between processors."""
    return _dusted(rounded(value))


def _dusted(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _dusted(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_dusted(v) for v in value]
    return 0.0 if isinstance(value, float) and abs(value) < DUST else value


def as_bytes(whole: Mapping[str, Any]) -> bytes:
    return (json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def versions() -> dict[str, str]:
    """Of Python and of the libraries that the numbers and pages depend on."""
    return {"python": platform.python_version(), **{name: version(name) for name in LIBRARIES}}


def _decision(found: Decision) -> dict[str, Any]:
    return {"press": found.press, "probability": found.probability, "least_um": 1e3 * found.least,
            "likely_um": 1e3 * found.likely, "greatest_um": 1e3 * found.greatest,
            "off_sleeve_um": 1e3 * found.change}


def _press(found: Gathered) -> dict[str, Any]:
    if found.press is None:
        return {"blocked": found.blocked}
    part = press_document(found.press, found.units)
    capacity = found.results.case.press.capacity
    low, likely, high = found.press.course.peak
    return {
        "blocked": "", "greatest_least_N": low, "greatest_likely_N": likely, "greatest_stop_N": high,
        "capacity_N": capacity,
        **{k: v for k, v in part.items() if k not in ("tool", "case")},
    }
