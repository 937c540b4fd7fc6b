"""Whether a sleeve that is put in by heat or cold slips in: the gap that is wanted against the least one on
the way."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, When, not_in_the_case, row_of
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.slipping_in import handling_gap, slipping_in
from hoopwright.strength import heated_to_slip_in

ID, TITLE = "drops_in", "slips in"


def drops_in(evidence: Evidence) -> Margin:
    """The handling gap against the least gap between shell and sleeve, each at its own temperature."""
    case, press = evidence.case, evidence.case.press
    if not press.slips_in:
        return not_in_the_case(ID, TITLE, "um", "entering", "the sleeve is pushed in")
    ways = slipping_in(case)
    gap, tightest = ways.tightest(press.shell_hot_K, press.sleeve_cold_K, evidence.greatest)
    wanted = handling_gap(case)
    stated = (
        "1/1000 of the bore ([press.heat] clearance is not given)"
        if press.heat.clearance_mm is None
        else "[press.heat] clearance"
    )
    hot, cold = (Units().both(20.0 + rise, "degC") for rise in (press.shell_hot_K, press.sleeve_cold_K))
    form = f", {Units().both(1e3 * tightest.form, 'um')} of form" if tightest.form else ""
    cell = Margin(
        id=ID,
        title=TITLE,
        demand=Estimate(1e3 * wanted),
        capacity=Estimate(1e3 * gap),
        unit="um",
        factor=1.0,
        where=Location("interface", 0.5 * tightest.bore, tightest.z),
        basis=f"the gap wanted to handle it, {stated}, against the least on the whole way in: shell at "
        f"{hot}, sleeve at {cold}, greatest interference{form}, nothing smoothed",
        note=""
        if gap >= wanted
        else _advice(gap, ways.shell_rise_for(wanted, press.sleeve_cold_K, evidence.greatest)),
        doubt=heated_to_slip_in(case).doubt,
        stage="entering",
        when=When(press.shell_hot_K),
    )
    return row_of([cell])


def _advice(gap: float, needed: float) -> str:
    """What to do about a gap, mm, that is too small. needed: temperature of the shell, K above 20 °C."""
    units = Units()
    sticks = "it sticks on the way in" if gap <= 0.0 else f"{units.both(1e3 * gap, 'um')} is all there is"
    return (
        f"{sticks}: it takes a shell at {units.both(20.0 + needed, 'degC')}, a colder sleeve, or less "
        "interference and form"
    )
