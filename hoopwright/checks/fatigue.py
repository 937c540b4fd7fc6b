"""Fatigue over the load cycle, by Sines and by Walker on the worst plane, for shell and sleeve."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Where
from hoopwright.checks.service_rows import (
    both_ends,
    grips,
    grips_said,
    resting_on_the_joint,
    unserved,
    where_of,
)
from hoopwright.estimate import Estimate
from hoopwright.fit import FitState
from hoopwright.service.cyclic import CyclicField
from hoopwright.service.strength import Strength, strength_of
from hoopwright.service.study import ServiceState, ServiceStudy, Spot, fit_surfaces, spot_of

Criterion = Callable[[CyclicField, np.ndarray, Strength], np.ndarray]
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
    id_, title = f"{body}_fatigue_{criterion.lower()}", f"{body} fatigue, {criterion}"
    service = evidence.study.service
    if service is None or evidence.case.service is None:
        return unserved(evidence, id_, title, "MPa", body, shown=False)
    strength, wanted = strength_of(evidence.case, body), _wanted(service)
    if isinstance(strength, str) or isinstance(wanted, str):
        why = strength if isinstance(strength, str) else str(wanted)
        return Margin(id_, title, None, None, "MPa", 1.0, Where(body), "fatigue over the load cycle", why)
    demand, spot = _greatest(evidence, service, body, CRITERIA[criterion], strength)
    life = strength.cycles(demand.value)
    margin = Margin(
        id=id_, title=title, demand=demand, capacity=Estimate(strength.amplitude(wanted)), unit="MPa",
        factor=evidence.case.factors.fatigue, where=where_of(evidence, spot),
        basis=f"{criterion}, equivalent fully reversed amplitude over '{service.cycle.name}', fit as mean "  # type: ignore[union-attr]
              f"stress, {spot.surface}, {grips_said(evidence)}; strength at {wanted:.3g} cycles with "
              f"{strength.factors}; {strength.source}",
        note=f"lasts {_cycles(life)} cycles at this stress; {NOT_COVERED}")
    return resting_on_the_joint(evidence, margin)


def _wanted(service: ServiceStudy) -> float | str:
    cycle = service.cycle
    if cycle is None:
        return "give a load that repeats: [service] pedalling_test or [[service.bearing]]"
    return float(cycle.count) if cycle.count else "give [service] cycles to have this judged"


def _greatest(
    evidence: Evidence, service: ServiceStudy, body: str, criterion: Criterion, strength: Strength
) -> tuple[Estimate, Spot]:
    def read(fit: FitState, state: ServiceState) -> Spot:
        field = criterion(state.cyclic(body, service.cycled), fit_surfaces(fit, body), strength)
        return spot_of(field[None], body, state)

    return service.worst(both_ends(evidence), read, grips=grips(evidence))


def _cycles(life: float) -> str:
    if np.isinf(life):
        return "any number of"
    return f"{life:.1e}".replace("e+0", "e").replace("e+", "e") if life >= 1e4 else f"{life:.0f}"
