"""Press force: the greatest of the whole way in, and to restart the sleeve, against the press."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, When, not_in_the_case, row_of
from hoopwright.display import Units
from hoopwright.entry import entry_side
from hoopwright.estimate import Estimate
from hoopwright.geometry.lead_in import shallow_chamfer

ID, TITLE = "press_force", "press is strong enough"


def press_force(evidence: Evidence) -> Margin:
    """Force to restart the sleeve after a rest where it is greatest, against the capacity of the press."""
    case, units = evidence.case, Units()
    if case.press.slips_in:
        return not_in_the_case(ID, TITLE, "N", "entering", "the sleeve slips in")
    (_, high), ratio = case.pressing_friction, case.press.restart_ratio
    sliding, _ = evidence.study.way_in.greatest_force(evidence.greatest, high)
    restart, travel = evidence.study.way_in.greatest_force(evidence.greatest, ratio * high)
    limit = case.press.capacity
    return row_of(
        [
            Margin(
                id=ID,
                title=TITLE,
                demand=restart if ratio > 1.0 else sliding,
                capacity=None if limit is None else Estimate(limit),
                unit="N",
                factor=case.factors.pressing,
                where=Location("interface"),
                basis="greatest force of the whole way in, greatest interference, to restart after a rest "
                f"at {ratio:g} times high μ = {high:g}; it slides with "
                f"{units.both(sliding.value, 'N')}; against [press] capacity",
                note="; ".join(filter(None, (_unknown(limit), _shaving(evidence)))),
                stage="entering",
                when=When(evidence.bench, f"μ = {max(ratio, 1.0) * high:.3g}", travel=travel),
            )
        ]
    )


def _unknown(limit: float | None) -> str:
    return "" if limit is not None else "give [press] capacity to have this judged"


def _shaving(evidence: Evidence) -> str:
    """What a chamfer that is too shallow to lead the sleeve in does; "" where there is none."""
    case, units = evidence.case, Units()
    change = evidence.greatest - case.smoothing_loss_mm
    found = shallow_chamfer(case.shell, case.sleeve.blank, entry_side(case), change)
    if found is None:
        return ""
    depth, least = (units.both(1e3 * x, "um") for x in (found.depth, found.least))
    return (
        f"the chamfer at the {found.end} end is {depth} deep, less than half the interference, {least}: it "
        "shaves metal off instead of leading in"
    )
