"""Credit of a retaining compound, land by land: only within the gap, temperature and cure it is stated for.

With compound on it a seat is never taken to rub more than dry: what is uncured acts as a lubricant, and a
weak one under high pressure ends below the dry joint (published tests, Castagnetti, Dragoni et al., Int. J.
Adhes. Adhes. 2014, seen in abstract).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from hoopwright.case.holding_model import CompoundInput
from hoopwright.case.model import Case
from hoopwright.case.press_model import Press
from hoopwright.checks.evidence import Evidence
from hoopwright.display import Units
from hoopwright.form import seat_form
from hoopwright.geometry.joint import Seat

ROUNDING = 1e-4
"""Difference of a gap, mm, below which it is rounding."""


@dataclass(frozen=True)
class LandCredit:
    """What the compound is credited with on one seat.

    shear: MPa, 0 where it is not credited. gap_min, gap_max: diametral gap of the seat over the sizes, its
    taper and its form, mm; an interference is negative. refusals: why it is not credited; empty where it
    is, or where no credit is asked for.
    """

    seat: Seat
    shear: float
    gap_min: float
    gap_max: float
    refusals: tuple[str, ...]


def land_credits(evidence: Evidence) -> tuple[LandCredit, ...]:
    """The credit of every seat, in order of z; none without a compound."""
    compound = evidence.case.compound
    if compound is None:
        return ()
    general = (
        *_outside_temperature(compound, evidence),
        *_outside_as_it_slips_in(compound, evidence.case.press),
        *_not_cured(compound),
    )
    return tuple(_on_land(compound, evidence, seat, general) for seat in evidence.study.joint.seats)


def holding_friction(case: Case) -> float:
    """Lowest friction that the sleeve is held by: dry, or with compound on the seat, whichever is less."""
    dry = case.fit.friction_low
    if case.compound is None or case.compound.friction_low is None:
        return dry
    return min(dry, case.compound.friction_low)


def uncredited_shear_max(compound: CompoundInput) -> float:
    """Shear, MPa, that a land without credit may carry by friction at most: where the film acts instead of
    friction, no more than it would be credited with, or what is not credited could hold more."""
    replaced = compound.combination == "instead" and compound.credit > 0.0
    return compound.credit * compound.shear_strength if replaced else inf


def credited_shear_at(evidence: Evidence, z: np.ndarray) -> np.ndarray:
    """Shear with which the compound is credited at places along the seat, MPa, like z, mm; where two lands
    meet, the lesser of both."""
    shear = np.full(np.shape(z), inf)
    for credit in land_credits(evidence):
        on_it = (z >= credit.seat.z_start - ROUNDING) & (z <= credit.seat.z_end + ROUNDING)
        shear = np.where(on_it, np.minimum(shear, credit.shear), shear)
    return np.where(np.isfinite(shear), shear, 0.0)


def film_doubt(case: Case, greatest_pressure: float) -> str:
    """Doubt about a film weaker in shear than the dry friction it takes the place of; "" where there is
    none. greatest_pressure: mean of the land that is pressed hardest, MPa."""
    compound = case.compound
    if compound is None or compound.friction_low is not None:
        return ""
    if compound.shear_strength >= case.fit.friction_low * greatest_pressure:
        return ""
    return (
        "the compound is weaker in shear than dry friction at this pressure and may weaken the fit: give "
        "[compound] friction_low, or fit it dry"
    )


def friction_note(case: Case) -> str:
    """What is to be said of the friction with compound on the seat; "" where the case states a lower one
    than dry, or has no compound."""
    compound, dry = case.compound, case.fit.friction_low
    if compound is None:
        return ""
    if compound.friction_low is None:
        return (
            "friction with compound on the seat not given, the dry value is used: a wet seat may hold less"
        )
    if compound.friction_low > dry:
        return (
            f"[compound] friction_low = {compound.friction_low:g} is above [fit] friction_low = {dry:g}: "
            "compound on the seat is not taken to rub more than dry, and the dry value is used"
        )
    return ""


def refusals_note(lands: tuple[LandCredit, ...]) -> str:
    """Which lands are not credited, and why; "" where all are, or no credit is asked for."""
    refused = [k for k, credit in enumerate(lands, start=1) if credit.refusals]
    if not refused:
        return ""
    reasons = dict.fromkeys(reason for credit in lands for reason in credit.refusals)
    where = "" if len(refused) == len(lands) else f" on seat {' and '.join(map(str, refused))}"
    return f"compound not credited{where}: {'; '.join(reasons)}"


def _on_land(
    compound: CompoundInput, evidence: Evidence, seat: Seat, general: tuple[str, ...]
) -> LandCredit:
    loss = evidence.study.interference.smoothing
    ends = [interference - loss for interference in (seat.interference_start, seat.interference_end)]
    form = 2.0 * sum(map(abs, seat_form(evidence.case, seat.bore_land, seat.sleeve_land).values()))
    gap_min = -(max(ends) + evidence.greatest + form)
    gap_max = -(min(ends) + evidence.least - form)
    refusals: tuple[str, ...] = ()
    if compound.credit:
        refusals = (*_outside_gap(compound, gap_min, gap_max), *general)
    shear = 0.0 if refusals else compound.credit * compound.shear_strength
    return LandCredit(seat, shear, gap_min, gap_max, refusals)


def _outside_gap(compound: CompoundInput, gap_min: float, gap_max: float) -> list[str]:
    if compound.gap_min is None or compound.gap_max is None:
        return ["gap_least and gap_most are not given"]
    if gap_min < compound.gap_min - ROUNDING or gap_max > compound.gap_max + ROUNDING:
        return ["the fit there lies outside the gap it is stated for"]
    return []


def _outside_temperature(compound: CompoundInput, evidence: Evidence) -> list[str]:
    temperatures = evidence.case.temperatures
    if compound.temperature_min is None or compound.temperature_max is None:
        return ["temperature_least and temperature_most are not given"]
    if temperatures is None:
        return ["the temperatures of use are not given under [temperatures]"]
    oven = temperatures.use_max if temperatures.oven is None else temperatures.oven
    coldest, hottest = (
        min(temperatures.use_min, evidence.bench),
        max(temperatures.use_max, oven, evidence.bench),
    )
    if coldest < compound.temperature_min or hottest > compound.temperature_max:
        return ["use, oven or bench leave the temperatures it is stated for"]
    return []


def _outside_as_it_slips_in(compound: CompoundInput, press: Press) -> list[str]:
    """Compound is on the parts before they are joined, so that it meets a hot shell and a cold sleeve."""
    least, most = compound.temperature_min, compound.temperature_max
    if least is None or most is None or not press.slips_in:
        return []
    outside = [
        f"it meets a {part} at {Units().both(20.0 + rise, 'degC')}"
        for part, rise in (("shell", press.shell_hot_K), ("sleeve", press.sleeve_cold_K))
        if not least <= rise <= most
    ]
    if not outside:
        return []
    return [f"{' and '.join(outside)} as it slips in, outside the temperatures it is stated for"]


def _not_cured(compound: CompoundInput) -> list[str]:
    if (
        compound.full_cure_time is None
        or compound.cure_time is None
        or compound.cure_temperature_min is None
    ):
        return ["full_cure, cured_for and cure_least are not all given"]
    if compound.cure_time < compound.full_cure_time:
        return ["it has not had its full time to cure"]
    if compound.cure_temperature < compound.cure_temperature_min:
        return ["it cured colder than stated"]
    return []
