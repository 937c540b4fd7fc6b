"""Service loads in the JSON document: every load case, its reactions, and what is left unbalanced."""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import Case
from hoopwright.cautions import ODD_LOBES
from hoopwright.form import is_out_of_round, ovality, read_ovality
from hoopwright.geometry.joint import Seat
from hoopwright.service.reactions import LoadCaseReactions, Resultant, reactions_of
from hoopwright.study import CaseStudy


def loads_part(study: CaseStudy) -> dict[str, Any] | None:
    """Load cases, cycles, harmonics and out-of-roundness; None where the case gives none of them."""
    service, case = study.service, study.case
    if service is None:
        return None
    solution = service.solutions["stuck"][0]
    return {
        "cases": []
        if case.service is None
        else [_case(reactions_of(one, case.shell)) for one in service.cases],
        "cycles": [
            {
                "name": cycle.name,
                "cases": [one.name for one in cycle.cases],
                "whole_turn": any(one.turning is not None for one in cycle.cases),
                "with_unloaded_between": True,
                "count": cycle.count or None,
                "source": cycle.source,
            }
            for cycle in service.cycles
        ],
        "harmonics": list(solution.response.harmonics),
        "largest_amplitude_left_out_MPa": float(solution.response.tail.max(initial=0.0)),
        "angles": len(solution.theta),
        "joint": "solved stuck and sliding, on the fit in every state; each check takes the worst",
        "out_of_round": _out_of_round(case, study.joint.seats),
    }


def _out_of_round(case: Case, seats: tuple[Seat, ...]) -> dict[str, Any] | None:
    """The form of bore and sleeve together, at the seat where it is greatest; None where both are round."""
    if not is_out_of_round(case):
        return None
    stated = case.out_of_round
    return {
        "ovality_um": 1e3 * max(ovality(case, s.bore_land, s.sleeve_land) for s in seats),
        "stated_ovality_um": None if stated is None else 1e3 * stated.ovality,
        "read_ovality_um": 1e3
        * max(map(read_ovality, (*case.shell_measured, *case.sleeve_measured)), default=0.0),
        "angle_deg": None if stated is None else stated.angle,
        "three_lobe_um": 0.0 if stated is None else 1e3 * stated.three_lobe,
        "three_lobe_angle_deg": None if stated is None else stated.three_lobe_angle,
        "note": ODD_LOBES,
    }


def _case(balance: LoadCaseReactions) -> dict[str, Any]:
    case = balance.case
    return {
        "name": case.name,
        "description": case.description.said(),
        "source": case.source,
        "wording": {
            "words": case.description.template,
            "quantities": [{"value": value, "unit": unit} for value, unit in case.description.quantities],
        },
        "loads": [_entry(e) for e in balance.loads],
        "reactions": [_entry(e) for e in balance.reactions],
        "clamped_mm": None if case.clamped is None else [case.clamped.z_start, case.clamped.z_end],
        "left_over_force_N": balance.residual_force,
        "left_over_moment_Nm": (
            None if balance.residual_moment is None else 1e-3 * balance.residual_moment
        ),
    }


def _entry(entry: Resultant) -> dict[str, Any]:
    return {
        "on": entry.name,
        "z_mm": entry.z,
        "force_N": entry.force.tolist(),
        "moment_Nm": (1e-3 * entry.moment).tolist(),
    }
