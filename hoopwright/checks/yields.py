"""Yield of shell and sleeve in every stage: von Mises at the surfaces, greatest interference; within a wall
of a corner membrane + bending.

The thin side of a wall carries more, by a factor on the stress of the concentric model (thin_side.py).
"""

from __future__ import annotations

from math import inf, isfinite

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import STAGES, Margin, Stage, may_govern, row_of, worst_of
from hoopwright.checks.service_rows import doubtful_if_joint_opens, joint_conditions_text
from hoopwright.checks.stage_stress import StageStress, stage_stresses
from hoopwright.checks.thin_side import thin_side
from hoopwright.estimate import Estimate


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
    thin = thin_side(evidence, body, bent=bent)
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
