"""Fatigue of shell and sleeve over the load cycle, by Sines and by Walker on the critical plane."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, When, row_of
from hoopwright.checks.service_rows import (
    doubtful_if_joint_opens,
    joint_conditions,
    joint_conditions_text,
    where_of,
)
from hoopwright.checks.stage_stress import loaded_at_both_ends
from hoopwright.estimate import Estimate
from hoopwright.fit import FitSolution
from hoopwright.service.cyclic import CyclicField
from hoopwright.service.fatigue_strength import FatigueStrength, fatigue_strength_of
from hoopwright.service.study import (
    ServiceSolution,
    ServiceStudy,
    Spot,
    Superposed,
    fit_surfaces,
    spot_of,
)

Criterion = Callable[[CyclicField, np.ndarray, FatigueStrength], np.ndarray]
CRITERIA: dict[str, Criterion] = {"Sines": CyclicField.sines, "Walker": CyclicField.walker}
NOT_COVERED = "weld toes and thread roots are not covered"


def shell_fatigue_sines(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "shell", "Sines")


def shell_fatigue_walker(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "shell", "Walker")


def sleeve_fatigue_sines(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "sleeve", "Sines")


def sleeve_fatigue_walker(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "sleeve", "Walker")


def _fatigue(evidence: Evidence, body: str, criterion: str) -> Margin:
    id_, title = f"{body}_fatigue_{criterion.lower()}", f"{body} fatigue ({criterion})"
    service = evidence.study.service
    if service is None or evidence.case.service is None:
        return Margin(
            id_, title, None, None, "MPa", 1.0, Location(body), "fatigue over the load cycle", applies=False
        )
    strength, required_cycles = fatigue_strength_of(evidence.case, body), _required_cycles(service)
    if isinstance(strength, str) or isinstance(required_cycles, str):
        why = strength if isinstance(strength, str) else str(required_cycles)
        return Margin(
            id_,
            title,
            None,
            None,
            "MPa",
            1.0,
            Location(body),
            "fatigue over the load cycle",
            why,
            stage="in use",
        )
    found = _greatest(evidence, service, body, criterion, strength)
    demand, spot = found.estimate(_reader(service, body, criterion, strength))
    life = strength.cycles(demand.value)
    margin = Margin(
        id=id_,
        title=title,
        demand=demand,
        capacity=Estimate(strength.amplitude(required_cycles)),
        unit="MPa",
        factor=evidence.case.factors.fatigue,
        where=where_of(evidence, spot),
        basis=f"{criterion}, equivalent fully reversed amplitude over '{service.cycle.name}', fit as mean "  # type: ignore[union-attr]
        f"stress, {spot.surface}, {joint_conditions_text(evidence)}; strength at "
        f"{required_cycles:.3g} cycles with {strength.factors}; {strength.source}",
        note=f"lasts {_cycles(life)} cycles at this stress; {NOT_COVERED}",
        stage="in use",
        when=When.of(found.fit.state, load_case=service.cycle.name, joint=spot.joint_condition),  # type: ignore[union-attr]
    )
    return row_of([doubtful_if_joint_opens(evidence, margin)])


def _required_cycles(service: ServiceStudy) -> float | str:
    """Number of cycles required, or what the case must give to have one."""
    cycle = service.cycle
    if cycle is None:
        return "give a load that repeats: [service] pedalling_test or [[service.bearing]]"
    return float(cycle.count) if cycle.count else "give [service] cycles to have this judged"


def _greatest(
    evidence: Evidence, service: ServiceStudy, body: str, criterion: str, strength: FatigueStrength
) -> Superposed:
    return service.worst(
        f"{body} fatigue {criterion}",
        loaded_at_both_ends(evidence),
        _reader(service, body, criterion, strength),
        joint_conditions=joint_conditions(evidence),
    )


def _reader(
    service: ServiceStudy, body: str, criterion: str, strength: FatigueStrength
) -> Callable[[FitSolution, ServiceSolution], Spot]:
    """A function that finds the greatest equivalent amplitude of a body over the load cycle."""

    def read(fit: FitSolution, solution: ServiceSolution) -> Spot:
        cycle = solution.cyclic(body, service.cycle_indices)
        field = CRITERIA[criterion](cycle, fit_surfaces(fit, body), strength)
        return spot_of(field[None], body, solution)

    return read


def _cycles(life: float) -> str:
    if np.isinf(life):
        return "any number of"
    return f"{life:.1e}".replace("e+0", "e").replace("e+", "e") if life >= 1e4 else f"{life:.0f}"
