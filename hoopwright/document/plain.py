"""Plain values for JSON, and what every document begins with."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np

from hoopwright import __version__
from hoopwright.case.model import Case

SIGNIFICANT = 9
"""Significant digits kept: far finer than any numerical error, coarser than summation round-off."""


def heading_part(case: Case) -> dict[str, Any]:
    """The tool with its version, and the case with its title and checksum."""
    return {
        "tool": {"name": "hoopwright", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256, "invented": case.invented},
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
