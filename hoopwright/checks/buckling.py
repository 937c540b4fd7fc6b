"""The sleeve buckles inward in one lobe: contact pressure at greatest interference, zone by zone."""

from __future__ import annotations

import numpy as np

from geometry.joint import Segment
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Where
from hoopwright.closed_form.buckling import THICKEST_WALL, THINNEST_WALL, encased_ring_pressure
from hoopwright.estimate import WHOLE, Estimate
from hoopwright.fit import FitState

SOURCE = ("one-lobe buckling of an encased thin ring, E/(1-ν²) (t/D)^2.2, D. Glock, Stahlbau 46 (1977), "
          "form from memory, not seen; plane strain, close fit, on the safe side for the pressure of a fit")


def sleeve_buckles(evidence: Evidence) -> Margin:
    lines = [_margin(evidence, s) for s in evidence.study.joint.sleeve if s.outer_rules]
    return min(lines, key=lambda m: m.margin if m.margin is not None else np.inf)


def _margin(evidence: Evidence, s: Segment) -> Margin:
    """The margin of one seated stretch of the sleeve."""
    pressed, _ = evidence.tightest.greatest(lambda state: _mean_pressure(state, s), WHOLE)
    wall = s.wall
    diameter = min(s.outer_start, s.outer_end) * 2.0 - wall
    ratio = wall / diameter
    # The pressure rises with t/D, so a thicker wall is judged safely at the end of the formula's range.
    counted = min(ratio, THICKEST_WALL)
    material = evidence.case.sleeve_material
    critical = None if ratio < THINNEST_WALL else encased_ring_pressure(
        thickness=counted, mean_diameter=1.0, sleeve=(material.young_modulus, material.poisson_ratio))
    return Margin(
        id="sleeve_buckles",
        title="sleeve buckles inward",
        demand=pressed,
        capacity=None if critical is None else Estimate(float(critical)),
        unit="MPa",
        factor=evidence.case.factors.buckling,
        where=Where("sleeve", 0.5 * diameter, 0.5 * (s.z_start + s.z_end)),
        basis=f"mean contact pressure over the stretch, greatest interference, against {SOURCE}; "
              f"t/D = {ratio:.4f}" + (f", counted as {THICKEST_WALL:g}" if ratio > THICKEST_WALL else ""),
        note="" if critical is not None else "thinner than the formula was ever checked for",
    )


def _seated(state: FitState, s: Segment) -> np.ndarray:
    z = state.mesh.assembly.interface.z
    return (z >= s.z_start - 1e-6) & (z <= s.z_end + 1e-6)


def _mean_pressure(state: FitState, s: Segment) -> float:
    """Contact pressure averaged over the contact pairs of one stretch, MPa; 0 without any."""
    here = _seated(state, s)
    weight = state.mesh.assembly.interface.weight * here
    total = float(np.sum(weight))
    return float(np.sum(state.press.pressure * weight) / total) if total else 0.0
