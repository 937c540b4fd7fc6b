"""The retaining compound of a document: what each land is credited with, and why not where not."""

from __future__ import annotations

from typing import Any

from hoopwright.checks import evidence_of
from hoopwright.checks.compound import LandCredit, friction_note, holding_friction, land_credits
from hoopwright.study import CaseStudy


def compound_part(study: CaseStudy) -> dict[str, Any] | None:
    """None where there is no compound in the joint."""
    case = study.case
    compound = case.compound
    if compound is None:
        return None
    return {
        "shear_strength_MPa": compound.shear_strength,
        "credit": compound.credit,
        "combination": compound.combination,
        "stated_gap_um": [
            None if gap is None else 1e3 * gap for gap in (compound.gap_min, compound.gap_max)
        ],
        "friction_low": holding_friction(case),
        "friction_low_dry": case.fit.friction_low,
        "friction_note": friction_note(case),
        "lands": [_land(credit) for credit in land_credits(evidence_of(case, study))],
    }


def _land(credit: LandCredit) -> dict[str, Any]:
    return {
        "bore_land": credit.seat.bore_land + 1,
        "sleeve_land": credit.seat.sleeve_land + 1,
        "z_start_mm": credit.seat.z_start,
        "z_end_mm": credit.seat.z_end,
        "gap_least_um": 1e3 * credit.gap_min,
        "gap_greatest_um": 1e3 * credit.gap_max,
        "credited_MPa": credit.shear,
        "not_credited_because": list(credit.refusals),
    }
