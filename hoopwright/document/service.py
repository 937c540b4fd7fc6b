"""The part of the JSON document that tells the loads: every case, its reactions, and the balance."""

from __future__ import annotations

from typing import Any

from hoopwright.cautions import ODD_LOBES
from hoopwright.service.account import Account, Entry, account_of
from hoopwright.study import CaseStudy


def loads_part(study: CaseStudy) -> dict[str, Any] | None:
    """None where the case gives neither service loads nor an out-of-round bore."""
    service, case = study.service, study.case
    if service is None:
        return None
    state = service.states["stuck"][0]
    cycle = service.cycle
    return {
        "cases": [] if case.service is None else [
            _case(account_of(one, case.service, case.shell)) for one in service.cases],
        "cycle": None if cycle is None else {
            "name": cycle.name, "cases": [c.name for c in cycle.cases], "with_unloaded_between": True,
            "count": cycle.count or None, "source": cycle.source},
        "harmonics": list(state.response.harmonics),
        "largest_amplitude_left_out_MPa": float(state.response.tail.max(initial=0.0)),
        "angles": len(service.theta),
        "joint": "solved stuck and sliding; each check takes the worse",
        "out_of_round": None if case.out_of_round is None else {
            "ovality_um": 1e3 * case.out_of_round.ovality, "angle_deg": case.out_of_round.angle,
            "three_lobe_um": 1e3 * case.out_of_round.three_lobe,
            "three_lobe_angle_deg": case.out_of_round.three_lobe_angle, "note": ODD_LOBES},
    }


def _case(account: Account) -> dict[str, Any]:
    case = account.case
    return {
        "name": case.name, "description": case.description.said(), "source": case.source,
        "wording": {"words": case.description.words, "quantities": [
            {"value": value, "unit": unit} for value, unit in case.description.quantities]},
        "loads": [_entry(e) for e in account.loads],
        "reactions": [_entry(e) for e in account.reactions],
        "clamped_mm": None if case.clamped is None else [case.clamped.z_start, case.clamped.z_end],
        "left_over_force_N": account.left_over_force,
        "left_over_moment_Nm": (None if account.left_over_moment is None
                                else 1e-3 * account.left_over_moment),
    }


def _entry(entry: Entry) -> dict[str, Any]:
    return {"on": entry.name, "z_mm": entry.z, "force_N": entry.force.tolist(),
            "moment_Nm": (1e-3 * entry.moment).tolist()}
