"""Shared by the service rows: whether they apply, joint conditions, doubt where the joint opens."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import credit_refusals
from hoopwright.checks.margin import Location, Margin
from hoopwright.checks.seat_pressure import seat_pressure, seat_spot
from hoopwright.display import Units
from hoopwright.estimate import LOWEST_PRESSURE, Estimate
from hoopwright.fit import Fits, FitSolution
from hoopwright.service.study import JOINT_CONDITIONS, ServiceSolution, Spot, Superposed, bore_shapes
from hoopwright.state import State

ASK_FOR_SERVICE = "give [service] with loads to have this judged"


def joint_conditions(evidence: Evidence) -> tuple[str, ...]:
    """Conditions of the joint to judge in service: stuck only, where a credited compound carries all its
    shear; else sliding and stuck."""
    service = evidence.study.service
    film = credited_shear(evidence)
    if service is None or not film:
        return JOINT_CONDITIONS
    return (
        ("stuck",)
        if all(float(s.seat.shear.max()) <= film for s in service.solutions["stuck"])
        else JOINT_CONDITIONS
    )


def joint_conditions_text(evidence: Evidence) -> str:
    """The joint conditions in words, for the basis of a row."""
    if joint_conditions(evidence) == JOINT_CONDITIONS:
        return "worse of sliding and stuck joint"
    return "joint stuck by the credited compound"


def credited_shear(evidence: Evidence) -> float:
    """Shear with which the retaining compound is credited, MPa; 0 where it is not credited."""
    compound = evidence.case.compound
    if compound is None or credit_refusals(compound, evidence):
        return 0.0
    return compound.credit * compound.shear_strength


def extreme_fits(evidence: Evidence) -> Fits:
    """The loosest and the tightest fit over the range of use; one of them where they are the same."""
    shifts = dict.fromkeys((evidence.least, evidence.greatest))
    return evidence.study.fits(fit.state for shift in shifts for fit in evidence.in_use(shift).fits)


def state_text(state: State) -> str:
    """Temperature and friction of a state, in words."""
    return f"at {Units().both(20.0 + state.temperature_rise, 'degC')}, {state.description}"


def row_without_service(
    evidence: Evidence, id_: str, title: str, unit: str, body: str, *, shown: bool
) -> Margin:
    """A row for a case without service loads. shown: whether it asks the reader for [service]; others are
    left out."""
    return Margin(
        id_,
        title,
        None,
        None,
        unit,
        1.0,
        Location(body),
        "fit and service loads",
        ASK_FOR_SERVICE,
        applies=shown and evidence.case.service is None,
    )


def where_of(evidence: Evidence, spot: Spot) -> Location:
    """Location of a spot, without an angle where it comes from the fit of a round bore alone."""
    service = evidence.study.service
    round_fit = (
        service is not None and spot.case == len(service.cases) and not any(bore_shapes(evidence.case))
    )
    return Location(spot.body, spot.r, spot.z, None if round_fit else spot.theta)


def load_case_text(evidence: Evidence, spot: Spot) -> str:
    """Name of the load case of a spot, in words; "" without service."""
    service = evidence.study.service
    return "" if service is None else f"in load case '{service.names[spot.case]}'"


def doubtful_if_joint_opens(evidence: Evidence, margin: Margin) -> Margin:
    """The margin, with a doubt where the joint opens: stresses are superposed for a closed joint."""
    lowest = lowest_pressure(evidence)
    if lowest is None or lowest[0].value >= 0.0:
        return margin
    spot = lowest[1]
    place = Units().both(spot.z, "mm")
    doubt = (
        f"the joint opens at z = {place}, {spot.theta:.0f}°, so stresses added up for a closed joint "
        "are a guide only"
    )
    return replace(margin, doubt=margin.doubt or doubt)


def lowest_pressure(evidence: Evidence) -> tuple[Estimate, Spot] | None:
    """Lowest contact pressure of fit + service over the range of use at the loosest fit, MPa, negative
    where the joint opens, and its location.

    None where the case has neither service loads nor an out-of-round bore.
    """
    loosest = loosest_in_service(evidence)
    if loosest is None:
        return None
    lowest, spot = loosest.estimate(lowest_pressure_spot, LOWEST_PRESSURE)
    return Estimate(-lowest.value, lowest.error), spot


def loosest_in_service(evidence: Evidence) -> Superposed | None:
    """The fit and joint condition with the lowest contact pressure in service.

    Pairs that the fit itself leaves almost separated are not judged (`seat_pressure.MIN_PRESSURE_SHARE`).
    """
    service = evidence.study.service
    if service is None:
        return None
    return service.cached(
        ("opening", evidence.least),
        lambda: service.worst(
            "opening",
            evidence.in_use(evidence.least),
            lowest_pressure_spot,
            joint_conditions=joint_conditions(evidence),
        ),
    )


def lowest_pressure_spot(fit: FitSolution, service: ServiceSolution) -> Spot:
    """Lowest pressure of fit + service on one mesh, with its sign reversed so that the greatest governs."""
    pressure = seat_pressure(fit, service)
    return seat_spot(np.where(pressure.judged[:, None], -pressure.total, -np.inf), service)
