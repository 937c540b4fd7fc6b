"""Shared by the rows that service loads or an out-of-round bore enter: joint conditions, the lowest
pressure, doubt where the joint opens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from hoopwright.checks.compound import credited_shear_at
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import STAGES, Location, Margin, Stage, When
from hoopwright.checks.seat_pressure import seat_pressure, seat_spot
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.display import Units
from hoopwright.estimate import LOWEST_PRESSURE, Estimate
from hoopwright.fit import Fits, FitSolution
from hoopwright.service.study import (
    JOINT_CONDITIONS,
    ServiceSolution,
    ServiceStudy,
    Spot,
    Superposed,
)

OPENING_STAGES: tuple[Stage, ...] = ("pressed", "cups", "in use")
"""Stages in which opening is judged; in the oven the sleeve may come loose as a whole, which is judged
there."""

ASK_FOR_SERVICE = 'give [service] with loads, or [service] none = "why", to have this judged'


def joint_conditions(evidence: Evidence) -> tuple[str, ...]:
    """Conditions of the joint to judge in service: stuck only, where a credited compound carries all its
    shear; else sliding and stuck."""
    service = evidence.study.service
    if service is None or evidence.case.compound is None:
        return JOINT_CONDITIONS
    films = (
        (one.seat.shear, credited_shear_at(evidence, one.seat.z)) for one in service.solutions["stuck"]
    )
    carried = all(bool(np.all(film > 0.0) and np.all(shear <= film[:, None])) for shear, film in films)
    return ("stuck",) if carried else JOINT_CONDITIONS


def joint_conditions_text(evidence: Evidence) -> str:
    """The joint conditions in words, for the basis of a row."""
    if joint_conditions(evidence) == JOINT_CONDITIONS:
        return "worse of sliding and stuck joint"
    return "joint stuck by the credited compound"


def where_of(evidence: Evidence, spot: Spot) -> Location:
    """Location of a spot, without an angle where it comes from the fit of a round bore alone."""
    service = evidence.study.service
    round_fit = service is not None and spot.instant.case is None and not evidence.has_form
    return Location(spot.body, spot.r, spot.z, None if round_fit else spot.theta)


def doubtful_if_joint_opens(evidence: Evidence, cell: Margin) -> Margin:
    """The cell, with a doubt where the joint opens in its stage: stresses are superposed for a closed
    joint."""
    found = loosest(evidence, cell.stage)
    if found is None or found.lowest.value >= 0.0:
        return cell
    place = Units().along_both(found.spot.z)
    doubt = (
        f"the joint opens at z = {place}, {found.spot.theta:.0f}°, so stresses added up for a closed joint "
        "are a guide only"
    )
    return replace(cell, doubt=cell.doubt or doubt)


def when_of(found: Superposed, spot: Spot) -> When:
    """The moment of a spot on a fit with service loads."""
    if spot.instant.case is None:
        return When.of(found.fit.state)
    return When.of(found.fit.state, load_case=spot.instant.name, joint=spot.joint_condition)


@dataclass(frozen=True)
class Loosest:
    """The fit with the lowest contact pressure in a stage. found: with its joint condition; loaded: whether
    the service loads act. lowest: pressure, MPa, negative where the joint opens; spot: where."""

    found: Superposed
    loaded: bool
    lowest: Estimate
    spot: Spot


def loosest_of_all(evidence: Evidence) -> Loosest | None:
    """The stage with the lowest contact pressure."""
    found = [one for stage in STAGES if (one := loosest(evidence, stage)) is not None]
    return min(found, key=lambda one: one.lowest.value, default=None)


def loosest(evidence: Evidence, stage: Stage) -> Loosest | None:
    """The lowest contact pressure of fit, service loads and form in a stage; None where the case has
    neither loads then nor an out-of-round bore.

    Pairs that the fit itself leaves almost separated are not judged (`seat_pressure.MIN_PRESSURE_SHARE`).
    """
    service = evidence.study.service
    if service is None or stage not in OPENING_STAGES:
        return None
    key = "opening", stage, evidence.least
    return evidence.study.cached(key, lambda: _loosest(evidence, service, stage))


def _loosest(evidence: Evidence, service: ServiceStudy, stage: Stage) -> Loosest | None:
    candidates = []
    if evidence.has_form:
        candidates.append((evidence.at_rest(stage, evidence.least), False))
    if stage == "in use" and evidence.has_loads and "seat" not in unjudged_under_loads(evidence.case):
        candidates.append((evidence.loaded(evidence.least), True))
    found = [_lowest(evidence, service, stage, fits, loaded) for fits, loaded in candidates if fits.fits]
    return min(found, key=lambda one: one.lowest.value, default=None)


def _lowest(evidence: Evidence, service: ServiceStudy, stage: Stage, fits: Fits, loaded: bool) -> Loosest:
    read = lowest_pressure_reader(loaded=loaded)
    found = service.worst(
        f"opening {stage} {loaded}", fits, read, joint_conditions=joint_conditions(evidence)
    )
    negative, spot = found.estimate(read, LOWEST_PRESSURE)
    return Loosest(found, loaded, Estimate(-negative.value, negative.error), spot)


def lowest_pressure_reader(*, loaded: bool) -> Callable[[FitSolution, ServiceSolution], Spot]:
    """A function that finds the lowest pressure on one mesh, with its sign reversed so that the greatest
    governs. loaded: over all load cases, else without a load."""

    def read(fit: FitSolution, service: ServiceSolution) -> Spot:
        pressure = seat_pressure(fit, service)
        field = np.where(pressure.judged[:, None], -pressure.total, -np.inf)
        return seat_spot(field if loaded else field[-1:], service)

    return read
