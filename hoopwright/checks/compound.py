"""Credit of a retaining compound: only within the gap, temperature and cure it is stated for."""

from __future__ import annotations

from hoopwright.case.holding_model import CompoundInput
from hoopwright.checks.evidence import Evidence


def credited_shear(evidence: Evidence) -> float:
    """Shear with which the retaining compound is credited, MPa; 0 where it is not credited."""
    compound = evidence.case.compound
    if compound is None or credit_refusals(compound, evidence):
        return 0.0
    return compound.credit * compound.shear_strength


def credit_refusals(compound: CompoundInput, evidence: Evidence) -> list[str]:
    """Reasons why the compound is not credited; empty where it is, or where no credit is asked for."""
    if compound.credit == 0.0:
        return []
    return [
        *_outside_gap(compound, evidence),
        *_outside_temperature(compound, evidence),
        *_not_cured(compound),
    ]


def _outside_gap(compound: CompoundInput, evidence: Evidence) -> list[str]:
    if compound.gap_min is None or compound.gap_max is None:
        return ["gap_least and gap_most are not given"]
    nominal = evidence.study.nominal_interference
    gaps = -(nominal + evidence.greatest), -(nominal + evidence.least)
    # Below a tenth of a micrometre the difference is rounding.
    if gaps[0] < compound.gap_min - 1e-4 or gaps[1] > compound.gap_max + 1e-4:
        return ["the fit lies outside the gap it is stated for"]
    return []


def _outside_temperature(compound: CompoundInput, evidence: Evidence) -> list[str]:
    temperatures = evidence.case.temperatures
    if compound.temperature_min is None or compound.temperature_max is None:
        return ["temperature_least and temperature_most are not given"]
    if temperatures is None:
        return ["the temperatures of use are not given under [temperatures]"]
    hottest = (
        temperatures.use_max if temperatures.oven is None else max(temperatures.use_max, temperatures.oven)
    )
    if temperatures.use_min < compound.temperature_min or hottest > compound.temperature_max:
        return ["use or oven leave the temperatures it is stated for"]
    return []


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
