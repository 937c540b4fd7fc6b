"""The stress of a body with the least margin in each stage of the joint's life, with what made it so.

Stresses are looked for as referred to the body's own strength: where that is one all over, as they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from hoopwright.checks.between_ends import between_ends, worst_between
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Stage, When
from hoopwright.checks.service_rows import joint_conditions, when_of, where_of
from hoopwright.estimate import Estimate, from_coarsest
from hoopwright.fit import Fit, Fits, FitSolution, Weigh, as_it_is
from hoopwright.service.study import ServiceSolution, Spot, Superposed, fit_surfaces, spot_of
from hoopwright.strength import Allowable, allowable, own_strength, referred
from hoopwright.strict_line import fit_estimate, loaded_estimate


@dataclass(frozen=True)
class StageStress:
    """The von Mises stress of a body, MPa, that leaves the least margin in a stage, where, and when.
    surface: "bore" or "outside". metal: what the body stands there and then."""

    value: Estimate
    where: Location
    when: When
    surface: str
    metal: Allowable

    @property
    def share(self) -> float:
        """Stress over strength."""
        return self.value.value / self.metal.value


def greatest_stress(
    evidence: Evidence, body: str, stage: Stage, *, refined: bool = True
) -> StageStress | None:
    """The stress of a body with the least margin in a stage, over all states the case describes; None where
    it describes none. refined: as in stage_stresses."""
    found = stage_stresses(evidence, body, stage, refined=refined)
    return max(found, key=lambda one: one.share, default=None)


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
        found.append(_of_superposed(evidence, worst, body, stage, loaded=True, refined=refined))
    return [one for one in found if one is not None]


def worst_loaded(evidence: Evidence, body: str) -> Superposed:
    """The fit and joint condition with the greatest stress of a body under the service loads. The study
    must have service loads or an out-of-round bore."""
    service = evidence.study.service
    assert service is not None
    key = "most stressed", body, evidence.least, evidence.greatest
    read = judged_reader(evidence, body, "in use")
    return evidence.study.cached(
        key,
        lambda: between_ends(
            evidence,
            service.worst(
                f"{body} under load",
                evidence.anywhere(evidence.loaded),
                read,
                joint_conditions=joint_conditions(evidence),
            ),
            read,
        ),
    )


def worst_at_rest(evidence: Evidence, body: str, stage: Stage) -> Fit:
    """The fit with the greatest stress of a body in a stage at rest, in a round bore."""
    fits, weigh = at_rest_anywhere(evidence, stage), weight_of(evidence, body, stage)

    def read(solution: FitSolution) -> float:
        return solution.equivalent_peak(body, weigh).value

    at_ends, study = fits.worst(f"{body} {stage}", read), evidence.study
    return study.at(worst_between(evidence, at_ends.state, lambda state: read(study.at(state).coarsest)))


def at_rest_anywhere(evidence: Evidence, stage: Stage) -> Fits:
    """The fits of a stage at rest, at every interference at which a stress may be greatest."""
    return evidence.anywhere(lambda shift: evidence.unloaded(stage, shift))


def weight_of(evidence: Evidence, body: str, stage: Stage) -> Weigh:
    """What refers the stress of a body in a stage to its own strength, so that the greatest has the least
    margin."""
    return partial(referred, evidence.case, body, stage)


def judged_reader(
    evidence: Evidence, body: str, stage: Stage, *, loaded: bool = True
) -> Callable[[FitSolution, ServiceSolution], Spot]:
    """The reader of the stress that a stage is judged by."""
    return stress_reader(body, loaded=loaded, weigh=weight_of(evidence, body, stage))


def stress_reader(
    body: str, *, loaded: bool = True, weigh: Weigh = as_it_is
) -> Callable[[FitSolution, ServiceSolution], Spot]:
    """A function that finds the greatest von Mises stress of a body over (z, θ), weighed; loaded: in all
    load cases, else without a load."""

    def read(fit: FitSolution, solution: ServiceSolution) -> Spot:
        wall = solution.walls[body]
        first = 0 if loaded else len(wall.stress) - 1
        field = wall.von_mises(fit_surfaces(fit, body), slice(first, None))
        weight = np.broadcast_to(weigh(wall.z, fit.temperature_rise), wall.z.shape)
        return spot_of(weight[:, None] * field, body, solution, first_case=first)

    return read


def _entering(evidence: Evidence, body: str, refined: bool) -> StageStress | None:
    if evidence.case.press.slips_in:
        return None
    worst = evidence.study.way_in.greatest_stress(body, evidence.greatest, refined=refined)
    if worst is None:
        return None
    when = When.of(worst.state, travel=worst.travel)
    value = _rise_by_form(evidence, body) * worst.value
    return _judged(evidence, body, "entering", value, Location.of(worst.peak), when, worst.peak.surface)


def _rise_by_form(evidence: Evidence, body: str) -> float:
    """Factor by which an out-of-round bore raises the greatest stress on the way in: as much as at rest."""
    if not evidence.has_form:
        return 1.0
    fits = evidence.at_rest("pressed", evidence.greatest)
    weigh = weight_of(evidence, body, "pressed")
    round_fit = fits.worst(f"{body} pressed round", lambda s: s.equivalent_peak(body, weigh).value)
    formed = _out_of_round(evidence, body, "pressed", refined=False)
    round_share = round_fit.coarsest.equivalent_peak(body, weigh).value / own_strength(evidence.case, body)
    return max(formed.share / round_share, 1.0)


def _at_rest(evidence: Evidence, body: str, stage: Stage, refined: bool) -> StageStress | None:
    if not at_rest_anywhere(evidence, stage).fits:
        return None
    if evidence.has_form:
        return _out_of_round(evidence, body, stage, refined)
    fit = worst_at_rest(evidence, body, stage)
    solutions = fit.solutions if refined else (fit.coarsest,)
    weigh = weight_of(evidence, body, stage)
    value = fit_estimate(solutions, body, refined=refined, weigh=weigh)
    peak = solutions[0].equivalent_peak(body, weigh)
    return _judged(evidence, body, stage, value, Location.of(peak), When.of(fit.state), peak.surface)


def _judged(
    evidence: Evidence,
    body: str,
    stage: Stage,
    referred_stress: Estimate,
    where: Location,
    when: When,
    surface: str,
) -> StageStress:
    """The stress as it is at a place, from that referred to the body's own strength, MPa."""
    case = evidence.case
    metal = allowable(case, body, stage, z=where.z, direction="any", rise=when.temperature_rise)
    stress = referred_stress * (metal.value / own_strength(case, body))
    return StageStress(stress, where, when, surface, metal)


def _out_of_round(evidence: Evidence, body: str, stage: Stage, refined: bool) -> StageStress:
    """The greatest stress at rest where the fit differs from angle to angle."""
    worst = worst_out_of_round(evidence, body, stage)
    return _of_superposed(evidence, worst, body, stage, loaded=False, refined=refined)


def worst_out_of_round(evidence: Evidence, body: str, stage: Stage) -> Superposed:
    """The fit and joint condition with the greatest stress of a body at rest in a bore out of round."""
    service = evidence.study.service
    assert service is not None
    read = judged_reader(evidence, body, stage, loaded=False)
    at_ends = service.worst(
        f"{body} {stage} out of round",
        at_rest_anywhere(evidence, stage),
        read,
        joint_conditions=joint_conditions(evidence),
    )
    return between_ends(evidence, at_ends, read)


def _of_superposed(
    evidence: Evidence, worst: Superposed, body: str, stage: Stage, *, loaded: bool, refined: bool
) -> StageStress:
    weigh = weight_of(evidence, body, stage)
    read = stress_reader(body, loaded=loaded, weigh=weigh)
    if refined:
        value, spot = worst.estimate(read)
    else:
        spot = read(*worst.coarsest)
        value = from_coarsest(spot.value)
    meshes = worst.meshes if refined else (worst.coarsest,)
    value = loaded_estimate(meshes, body, value, loaded=loaded, refined=refined, weigh=weigh)
    return _judged(
        evidence, body, stage, value, where_of(evidence, spot), when_of(worst, spot), spot.surface
    )
