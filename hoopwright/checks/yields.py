"""Yield of shell and sleeve in every stage: von Mises at the surfaces, greatest interference; within a wall
of a corner membrane + bending.

The thin side of a shell whose bore is off centre by half the runout carries more: the stress of the
concentric model is multiplied by the closed-form rise of the hoop stress of a plane (2-D) tube when its
bore moves off centre, or by that of ring bending, where loads bend it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import STAGES, Margin, Stage, may_govern, row_of, worst_of
from hoopwright.checks.service_rows import doubtful_if_joint_opens, joint_conditions_text
from hoopwright.checks.stage_stress import StageStress, stage_stresses
from hoopwright.closed_form.eccentric_tube import thin_side_hoop
from hoopwright.display import Units
from hoopwright.estimate import Estimate

METHOD = (
    "Jeffery's rise of hoop stress, exact for a plane tube under even pressure, and under loads the "
    "greater of that and (wall/wall left)², the rise of ring bending: an upper bound where both act"
)


def shell_yields(evidence: Evidence) -> Margin:
    return _yields(evidence, "shell")


def sleeve_yields(evidence: Evidence) -> Margin:
    return _yields(evidence, "sleeve")


def _yields(evidence: Evidence, body: str) -> Margin:
    """The row of a body: every stage on the coarsest mesh, and on finer ones those that may govern."""
    finer = len(evidence.study.meshes) > 1
    coarse = [cell for s in STAGES if (cell := _cell(evidence, body, s, refined=not finer)) is not None]
    if not finer:
        return row_of(coarse)
    return row_of(
        (_cell(evidence, body, cell.stage, refined=True) or cell) if governs else cell
        for cell, governs in zip(coarse, may_govern(coarse), strict=True)
    )


def _cell(evidence: Evidence, body: str, stage: Stage, *, refined: bool) -> Margin | None:
    found = stage_stresses(evidence, body, stage, refined=refined)
    return worst_of([_judged(evidence, body, stage, one) for one in found]) if found else None


def _judged(evidence: Evidence, body: str, stage: Stage, found: StageStress) -> Margin:
    case = evidence.case
    bent = bool(found.when.load_case)
    thin = thin_side(evidence, bent=bent) if body == "shell" else ThinSide(1.0, "")
    cell = Margin(
        id=f"{body}_yields",
        title=f"{body} yields",
        demand=found.value * thin.rise if isfinite(thin.rise) else Estimate(inf),
        capacity=Estimate(found.metal.value),
        unit="MPa",
        factor=case.factors.yielding,
        where=found.where,
        basis=f"von Mises at the {found.surface}, worst over the states of the stage and "
        "both ends of the sizes"
        + (f", {joint_conditions_text(evidence)}" if bent else "")
        + thin.basis
        + f"; {found.metal.text}",
        doubt=found.metal.doubt or thin.doubt,
        stage=stage,
        when=found.when,
    )
    return doubtful_if_joint_opens(evidence, cell) if bent or evidence.has_form else cell


@dataclass(frozen=True)
class ThinSide:
    """The thin side of an eccentric bore. rise: factor on the stress, inf where no wall is left. basis: in
    words, "" without runout; doubt: where the rise is not known, "" where it is."""

    rise: float
    basis: str
    doubt: str = ""


def thin_side(evidence: Evidence, *, bent: bool) -> ThinSide:
    """What the runout makes of the greatest stress of the shell. bent: under loads that bend the wall."""
    if not evidence.case.runout_mm:
        return ThinSide(1.0, "")
    thinnest = min(evidence.study.joint.shell, key=lambda s: s.wall)
    bore, eccentricity = thinnest.inner_start, 0.5 * evidence.case.runout_mm
    wall_left = thinnest.wall - eccentricity
    if wall_left <= 0.0:
        return ThinSide(inf, f"; [shell] runout leaves {Units().both(wall_left, 'mm')} on the thin side")
    outside = bore + thinnest.wall
    known = min(eccentricity, 0.5 * bore)
    moved, centred = (float(thin_side_hoop(a=bore, b=outside, eccentricity=e)) for e in (known, 0.0))
    rise = max(moved / centred, (thinnest.wall / wall_left) ** 2 if bent else 1.0)
    return ThinSide(
        rise,
        f", times {rise:.4f} for a wall of {Units().both(wall_left, 'mm')} on the thin side "
        f"([shell] runout): {METHOD}",
        "[shell] runout puts the bore off centre by more than half its radius: no rise of stress is known"
        if known < eccentricity
        else "",
    )
