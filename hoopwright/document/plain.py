"""Plain values for JSON."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

SIGNIFICANT = 9
"""Significant digits kept: far finer than any numerical error, coarser than summation round-off."""


class Given(float):
    """A number that the case or a table gives: no round-off is in it, and it keeps all its digits."""


def plain(value: Any) -> Any:
    """The value with every float in it rounded to SIGNIFICANT digits, None where it is not finite.

    Rounding hides summation round-off. JSON has no infinity: a margin without end is null, and
    `margin_without_end` beside it tells it from one that was not judged.
    """
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, Given) and math.isfinite(value):
        return float(value)
    if isinstance(value, float):
        return float(f"{value:.{SIGNIFICANT}g}") if math.isfinite(value) else None
    return value
