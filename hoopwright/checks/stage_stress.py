"""The greatest stress of a body in each stage of the joint's life, with what made it so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Stage, When
from hoopwright.checks.service_rows import joint_conditions, when_of, where_of
from hoopwright.estimate import Estimate, from_coarsest
from hoopwright.fit import Fit, Fits, FitSolution
from hoopwright.service.study import ServiceSolution, Spot, Superposed, fit_surfaces, spot_of
from hoopwright.strict_line import fit_estimate, loaded_estimate


@dataclass(frozen=True)
class StageStress:
    """The greatest von Mises stress of a body in a stage, MPa, where, and when. surface: "bore" or
    "outside"."""

    value: Estimate
    where: Location
    when: When
    surface: str


def greatest_stress(
    evidence: Evidence, body: str, stage: Stage, *, refined: bool = True
) -> StageStress | None:
    """The greatest stress of a body in a stage over all states the case describes; None where it describes
    none. refined: as in stage_stresses."""
    found = stage_stresses(evidence, body, stage, refined=refined)
    return max(found, key=lambda one: one.value.value, default=None)


def stage_stresses(
    evidence: Evidence, body: str, stage: Stage, *, refined: bool = True
) -> list[StageStress]:
    """The greatest stress of a body in a stage: on the way in, or at rest and under loads, whichever the
    case describes. refined: solved on all meshes; else on the coarsest alone, where it is searched."""
    if stage == "entering":
        found = [_entering(evidence, body, refined)]
    else:
        found = [_at_rest(evidence, body, stage, refined)]
    if stage == "in use" and evidence.has_loads:
        worst = worst_loaded(evidence, body)
        found.append(_of_superposed(evidence, worst, body, loaded=True, refined=refined))
    return [one for one in found if one is not None]


def worst_loaded(evidence: Evidence, body: str) -> Superposed:
    """The fit and joint condition with the greatest stress of a body under the service loads. The study
    must have service loads or an out-of-round bore."""
    service = evidence.study.service
    assert service is not None
    key = "most stressed", body, evidence.least, evidence.greatest
    return evidence.study.cached(
        key,
        lambda: service.worst(
            f"{body} under load",
            evidence.anywhere(evidence.loaded),
            stress_reader(body),
            joint_conditions=joint_conditions(evidence),
        ),
    )


def worst_at_rest(evidence: Evidence, body: str, stage: Stage) -> Fit:
    """The fit with the greatest stress of a body in a stage at rest, in a round bore."""
    fits = at_rest_anywhere(evidence, stage)
    return fits.worst(f"{body} {stage}", lambda solution: solution.equivalent_peak(body).value)


def at_rest_anywhere(evidence: Evidence, stage: Stage) -> Fits:
    """The fits of a stage at rest, at every interference at which a stress may be greatest."""
    return evidence.anywhere(lambda shift: evidence.unloaded(stage, shift))


def stress_reader(body: str, *, loaded: bool = True) -> Callable[[FitSolution, ServiceSolution], Spot]:
    """A function that finds the greatest von Mises stress of a body over (z, θ); loaded: in all load cases,
    else without a load."""

    def read(fit: FitSolution, solution: ServiceSolution) -> Spot:
        wall = solution.walls[body]
        first = 0 if loaded else len(wall.stress) - 1
        field = wall.von_mises(fit_surfaces(fit, body), slice(first, None))
        return spot_of(field, body, solution, first_case=first)

    return read


def _entering(evidence: Evidence, body: str, refined: bool) -> StageStress | None:
    if evidence.case.press.slips_in:
        return None
    worst = evidence.study.way_in.greatest_stress(body, evidence.greatest, refined=refined)
    if worst is None:
        return None
    when = When.of(worst.state, travel=worst.travel)
    rise = _rise_by_form(evidence, body)
    return StageStress(rise * worst.value, Location.of(worst.peak), when, worst.peak.surface)


def _rise_by_form(evidence: Evidence, body: str) -> float:
    """Factor by which an out-of-round bore raises the greatest stress on the way in: as much as at rest."""
    if not evidence.has_form:
        return 1.0
    fits = evidence.at_rest("pressed", evidence.greatest)
    round_fit = fits.worst(f"{body} pressed round", lambda s: s.equivalent_peak(body).value)
    formed = _out_of_round(evidence, body, "pressed", refined=False)
    return max(formed.value.value / round_fit.coarsest.equivalent_peak(body).value, 1.0)


def _at_rest(evidence: Evidence, body: str, stage: Stage, refined: bool) -> StageStress | None:
    if not at_rest_anywhere(evidence, stage).fits:
        return None
    if evidence.has_form:
        return _out_of_round(evidence, body, stage, refined)
    fit = worst_at_rest(evidence, body, stage)
    solutions = fit.solutions if refined else (fit.coarsest,)
    value, peak = fit_estimate(solutions, body, refined=refined), solutions[0].equivalent_peak(body)
    return StageStress(value, Location.of(peak), When.of(fit.state), peak.surface)


def _out_of_round(evidence: Evidence, body: str, stage: Stage, refined: bool) -> StageStress:
    """The greatest stress at rest where the fit differs from angle to angle."""
    worst = worst_out_of_round(evidence, body, stage)
    return _of_superposed(evidence, worst, body, loaded=False, refined=refined)


def worst_out_of_round(evidence: Evidence, body: str, stage: Stage) -> Superposed:
    """The fit and joint condition with the greatest stress of a body at rest in a bore out of round."""
    service = evidence.study.service
    assert service is not None
    return service.worst(
        f"{body} {stage} out of round",
        at_rest_anywhere(evidence, stage),
        stress_reader(body, loaded=False),
        joint_conditions=joint_conditions(evidence),
    )


def _of_superposed(
    evidence: Evidence, worst: Superposed, body: str, *, loaded: bool, refined: bool
) -> StageStress:
    read = stress_reader(body, loaded=loaded)
    if refined:
        value, spot = worst.estimate(read)
    else:
        spot = read(*worst.coarsest)
        value = from_coarsest(spot.value)
    meshes = worst.meshes if refined else (worst.coarsest,)
    value = loaded_estimate(meshes, body, value, loaded=loaded, refined=refined)
    return StageStress(value, where_of(evidence, spot), when_of(worst, spot), spot.surface)
