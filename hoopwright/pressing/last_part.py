"""The force that it takes to slide the sleeve, from the last part of its travel.

What friction did earlier says nothing of where the sleeve now sits: only the readings over the last quarter
of the travel before the last of them count, each scaled to home by the share of the expected force that
acts where it was read. The interval is that of the gauge, of the readings, and of friction that goes on
changing over what is left of the way; what a ram that nobody checked may be off is a bound, and is added to
it.
"""

from __future__ import annotations

import numpy as np

from hoopwright.pressing.posterior import CredibleInterval, Readings

LAST_PART = 0.25
"""Share of the travel, up to the last reading, that counts."""
DRIFT = 2.0
"""Times the scatter of friction that it may change over the whole travel unnoticed (standard uncertainty);
smaller changes do not show in a log."""
NORMAL_95 = 1.96


def sliding_force(
    readings: Readings, expected: np.ndarray, at_home: float, home: float, *, unknown: float
) -> CredibleInterval:
    """Force to slide the sleeve at home, N, 95 %.

    expected: force where each reading was taken, (n,), N. at_home: expected force at home, N. home: whole
    travel, mm. unknown: share by which every force read may be off, at most, beside the error of the gauge.
    """
    last = (readings.travel >= readings.travel[-1] - LAST_PART * home) & (expected > 0.0)
    if not last.any():
        return CredibleInterval(0.0, 0.0, at_home)
    travel, force, base = readings.travel[last], readings.force[last], expected[last]
    weight = 1.0 / ((readings.reading_std / base) ** 2 + readings.friction_std**2)
    level = float(np.sum(weight * force / base) / weight.sum())
    centre = float(np.sum(weight * travel) / weight.sum())
    drift = DRIFT * readings.friction_std * (home - centre) / home
    single = 1.0 / np.sqrt(weight.sum())
    half = (
        NORMAL_95 * np.sqrt(single**2 + level**2 * (readings.gauge_scale_std**2 + drift**2))
        + level * unknown
    )
    low, high = (max(level + side * half, 0.0) * at_home for side in (-1.0, 1.0))
    return CredibleInterval(low, level * at_home, high)
