"""What is left of the pressing force, and of the bore closure, where metal yields on the way in.

At a position of the sleeve the elastic–plastic contact is solved from zero interference on, frictionless,
the metals perfectly plastic at the yield strength given, and held against the elastic one on the same mesh.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks import Evidence, evidence_of
from hoopwright.checks.past_yield import PRESSING
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.discretisation import Discretisation
from hoopwright.fem import PlasticPress, Yield
from hoopwright.fem.strain import R
from hoopwright.strength import least_allowable
from hoopwright.study import CaseStudy

MIN_FORCE_LOSS = 0.02
"""Relative loss of force by yielding above which it is reported."""


@dataclass(frozen=True)
class YieldShares:
    """Shares of the elastic values that the yielding metal keeps, by shift of the interference.

    force: of ∫ p dA. closure: of the closure of the sleeve's bore at mid-sleeve; above one where the sleeve
    gives way.
    """

    force: tuple[float, ...]
    closure: tuple[float, ...]


def elastic(shifts: Sequence[float]) -> YieldShares:
    """What metal keeps that does not yield: all."""
    return YieldShares((1.0,) * len(shifts), (1.0,) * len(shifts))


def presses_past_yield(study: CaseStudy) -> bool:
    """Whether a body is past yield over its factor, by more than the numerical error, by the time it is
    pressed in at the greatest interference."""
    evidence = evidence_of(study.case, study)
    return any(_yields(evidence, body) for body in ("shell", "sleeve"))


def _yields(evidence: Evidence, body: str) -> bool:
    """Whether a body does so; on the coarsest mesh alone where that settles it."""
    for stage in PRESSING:
        for refined in (False, True):
            found = greatest_stress(evidence, body, stage, refined=refined)
            limit = found.metal.value / evidence.case.factors.yielding if found else 0.0
            if found is None or found.value.value + found.value.error <= limit:
                break
            if found.value.value - found.value.error > limit:
                return True
    return False


def limits(case: Case) -> dict[str, float]:
    """Yield strength by body, MPa, as it is pressed: that of its weakest place."""
    return {body: least_allowable(case, body, "entering", "hoop") for body in ("shell", "sleeve")}


def plastic_press(case: Case, mesh: Discretisation) -> PlasticPress:
    """Presses the bodies of a mesh together beyond yield."""
    return PlasticPress(mesh.meshed_joint, {name: Yield(value) for name, value in limits(case).items()})


def on_bench(case: Case, mesh: Discretisation, shift: float) -> np.ndarray:
    """Radial interference at the contact pairs, (pairs,), mm, at the temperature of the bench."""
    pairs, nodes = mesh.meshed_joint.interface, mesh.meshed_joint.model.mesh.nodes
    bench = case.press.temperature_rise_K
    strain = case.sleeve_material.free_strain(bench) - case.shell_material.free_strain(bench)
    grown = strain * nodes[0, pairs.sleeve]
    return np.asarray(mesh.radial_interference(shift) + grown)


def yield_shares(case: Case, mesh: Discretisation, shifts: Sequence[float]) -> YieldShares:
    """What yielding leaves on one mesh, at every shift of the diametral interference, mm.

    Raises fem.SolveError when the walls cannot carry that interference.
    """
    pairs, bore = mesh.meshed_joint.interface, mesh.face("sleeve.bore")
    middle = bore[len(bore) // 2]
    touching = sorted({s for s in shifts if (on_bench(case, mesh, s) > 0.0).any()})
    if not touching:
        return elastic(shifts)
    solved = plastic_press(case, mesh).press([on_bench(case, mesh, s) for s in touching])
    force, closure = {}, {}
    for shift, yielded in zip(touching, solved, strict=True):
        free = mesh.solver.press(on_bench(case, mesh, shift), stuck=False)
        normal, elastic_normal = (float(one.pressure @ pairs.weight) for one in (yielded, free))
        moved, elastic_moved = (float(one.displacement[middle, R]) for one in (yielded, free))
        force[shift] = min(1.0, normal / elastic_normal) if elastic_normal > 0.0 else 1.0
        closure[shift] = moved / elastic_moved if elastic_moved else 1.0
    return YieldShares(tuple(force.get(s, 1.0) for s in shifts), tuple(closure.get(s, 1.0) for s in shifts))
