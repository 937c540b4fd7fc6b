"""One-lobe inward buckling of the sleeve under the contact pressure, stretch by stretch of the seat."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import STAGES, Location, Margin, Stage, When, row_of, worst_of
from hoopwright.closed_form.buckling import MAX_THICKNESS_RATIO, MIN_THICKNESS_RATIO, encased_ring_pressure
from hoopwright.estimate import INTEGRAL, Estimate
from hoopwright.fit import Fits, FitSolution
from hoopwright.geometry.joint import Segment

SOURCE = (
    "one-lobe buckling of an encased thin ring, E/(1-ν²) (t/D)^2.2, D. Glock, Stahlbau 46 (1977), "
    "form from memory, not seen; plane strain, close fit, on the safe side for the pressure of a fit"
)


def sleeve_buckles(evidence: Evidence) -> Margin:
    """The least buckling margin over the seated stretches of the sleeve, at greatest interference."""
    cells = ([*_of_stage(evidence, stage)] for stage in STAGES)
    return row_of(worst_of(found) for found in cells if found)


def seated_stretches(evidence: Evidence, *, blank: bool = False) -> list[Segment]:
    """The stretches of the sleeve, or of its blank, that are pressed from outside."""
    pair = evidence.study.blank_joint if blank else evidence.study.joint
    return [s for s in pair.sleeve if s.outer_is_seat]


def _of_stage(evidence: Evidence, stage: Stage) -> Iterator[Margin]:
    """The margins of all stretches in a stage, before and after the sleeve is finished."""
    fits = evidence.everywhere(stage, evidence.greatest).fits
    for blank in dict.fromkeys(fit.state.blank for fit in fits):
        among = evidence.study.fits(fit.state for fit in fits if fit.state.blank is blank)
        for stretch in seated_stretches(evidence, blank=blank):
            yield _margin(evidence, stage, stretch, among)


def _margin(evidence: Evidence, stage: Stage, s: Segment, fits: Fits) -> Margin:
    """The margin of one seated stretch of the sleeve in some fits of a stage."""
    before = ", before it is finished" if fits.fits[0].state.blank else ""
    pressure, solution = fits.greatest(
        f"pressure at {s.z_start:.3f} mm, {stage}{before}", lambda one: _mean_pressure(one, s), INTEGRAL
    )
    wall = s.wall
    diameter = min(s.outer_start, s.outer_end) * 2.0 - wall
    ratio = wall / diameter
    # Critical pressure rises with t/D: judging a thicker wall at the end of the range is conservative.
    counted = min(ratio, MAX_THICKNESS_RATIO)
    material = evidence.case.sleeve_material
    critical = (
        None
        if ratio < MIN_THICKNESS_RATIO
        else encased_ring_pressure(
            thickness=counted, mean_diameter=1.0, sleeve=(material.young_modulus, material.poisson_ratio)
        )
    )
    return Margin(
        id="sleeve_buckles",
        title="sleeve buckles inward",
        demand=pressure,
        capacity=None if critical is None else Estimate(float(critical)),
        unit="MPa",
        factor=evidence.case.factors.buckling,
        where=Location("sleeve", 0.5 * diameter, 0.5 * (s.z_start + s.z_end)),
        basis=f"mean contact pressure over the stretch, greatest interference, against {SOURCE}; "
        f"t/D = {ratio:.4f}"
        + (f", counted as {MAX_THICKNESS_RATIO:g}" if ratio > MAX_THICKNESS_RATIO else ""),
        note="" if critical is not None else "wall thinner than the range the formula was verified for",
        stage=stage,
        when=When.of(solution.state),
    )


def _seated(solution: FitSolution, s: Segment) -> np.ndarray:
    """Mask of the contact pairs that lie on the stretch, (pairs,) bool."""
    z = solution.mesh.meshed_joint.interface.z
    return (z >= s.z_start - 1e-6) & (z <= s.z_end + 1e-6)


def _mean_pressure(solution: FitSolution, s: Segment) -> float:
    """Mean contact pressure over one stretch, MPa; 0 where it has no contact pairs."""
    here = _seated(solution, s)
    weight = solution.mesh.meshed_joint.interface.weight * here
    total = float(np.sum(weight))
    return float(np.sum(solution.press.pressure * weight) / total) if total else 0.0
