"""results.json of a record: the document of the check, and everything else that its pages say."""

from __future__ import annotations

import json
import platform
from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

from hoopwright.document import document, rounded
from hoopwright.document_size import land_part, window_part
from hoopwright.pressing.document import document as press_document
from hoopwright.record.gather import Gathered
from hoopwright.record.parts import bodies_part, gauges_part, job_part, materials_part, settings_part
from hoopwright.sizing.turn_to import Decision

LIBRARIES = ("numpy", "scipy", "scikit-fem", "matplotlib", "meshio", "pint", "typst")
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
        "record": {"shown_in": found.units.system, "paper": case.paper or PAPER[found.units.system]},
        "versions": versions(),
    }
    return rounded(whole)


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
