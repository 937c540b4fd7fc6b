"""Plain values for JSON, and what every document begins with."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np

from hoopwright import __version__
from hoopwright.case.model import Case
from hoopwright.case.preset_model import FilledValue

SIGNIFICANT = 9
"""Significant digits kept: far finer than any numerical error, coarser than summation round-off."""


def heading_part(case: Case) -> dict[str, Any]:
    """The tool with its version, the case with its title and checksum, and what presets filled into it."""
    return {
        "tool": {"name": "hoopwright", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256, "invented": case.invented},
        "presets": {"filled": [_filled(v) for v in case.presets.filled], "notes": list(case.presets.notes)},
    }


def _filled(value: FilledValue) -> dict[str, Any]:
    """One value of a preset: where it went, as a case would give it, and what it rests on."""
    return {
        "table": value.heading,
        "key": value.key,
        "value": value.value,
        "preset": value.preset,
        "basis": value.basis,
        "source": value.source,
        "metals": value.pair,
    }


def plain(value: Any) -> Any:
    """The value with every float in it rounded to SIGNIFICANT digits, None where it is not finite.

    Rounding hides summation round-off. JSON has no infinity: a margin without demand is null.
    """
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, float):
        return float(f"{value:.{SIGNIFICANT}g}") if math.isfinite(value) else None
    return value


def as_json(document: dict[str, Any]) -> str:
    """A document as indented JSON text that ends in a newline."""
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
