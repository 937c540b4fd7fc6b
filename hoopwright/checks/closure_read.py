"""Bore closure read at the press where no force was: held against what the sizes give.

Together with a force it is inferred from (hoopwright/pressing/inference.py). By itself it says nothing of
friction, but a bore that closes by another amount has another interference than the rows count on.
"""

from __future__ import annotations

from math import hypot

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.display import Units
from hoopwright.state import frictionless

ONE_IN_1000 = 3.29 / 1.96
"""Half-width of the interval that a normal error leaves once in 1000 times, over that of 95 %."""


def closure_doubt(evidence: Evidence) -> str:
    """Why no row may hold beside the closure that was read, "" where it agrees or none is read alone."""
    press = evidence.case.press
    if press.observed_closure_mm is None or press.has_readings:
        return ""
    return evidence.study.cached("closure read", lambda: _doubt(evidence, press.observed_closure_mm or 0.0))


def _doubt(evidence: Evidence, observed: float) -> str:
    study, units = evidence.study, Units()
    loose, tight = (_closure(evidence, shift) for shift in (study.loosest_shift, study.tightest_shift))
    middle, half = 0.5 * (loose + tight), 0.5 * abs(tight - loose)
    if abs(observed - middle) <= ONE_IN_1000 * hypot(half, evidence.case.press.closure_plus_minus_mm):
        return ""
    return (
        f"the bore closure read at the press, {units.both(1e3 * observed, 'um')}, contradicts the sizes "
        f"given, by which it is {units.both(1e3 * middle, 'um')}: measure bore and sleeve again"
    )


def _closure(evidence: Evidence, shift: float) -> float:
    """Closure at mid-length on the bench, as in the inference with a force: without friction, and of the
    sleeve as it is pressed; mm."""
    state = frictionless(shift, evidence.bench, blank=evidence.case.sleeve.finished_later)
    middle = np.array([evidence.study.joint.middle])
    return float(evidence.study.at(state).finest.bore_closure(middle)[0])
