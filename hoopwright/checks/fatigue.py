"""Fatigue of shell and sleeve under the loads that repeat, by Sines and by Walker on the critical plane."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from math import floor, log10, prod

import numpy as np

from hoopwright.case.service_model import Endurance
from hoopwright.checks.beside_clamp import all_beside_clamp
from hoopwright.checks.between_ends import between_ends
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.local_strength import factors_at, fretting_doubt, shares, threads_left_out
from hoopwright.checks.margin import Location, Margin, When, row_of
from hoopwright.checks.service_rows import (
    doubtful_if_joint_opens,
    joint_conditions,
    joint_conditions_text,
    where_of,
)
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.estimate import SERVICE, Estimate, from_meshes
from hoopwright.fit import FitSolution
from hoopwright.loads.cases import Cycle
from hoopwright.service.cyclic import CyclicField
from hoopwright.service.fatigue_strength import FatigueStrength, fatigue_strength_of
from hoopwright.service.miner import Spectrum
from hoopwright.service.study import ServiceSolution, ServiceStudy, Spot, Superposed, fit_surfaces, spot_of

Criterion = Callable[[CyclicField, np.ndarray, FatigueStrength, np.ndarray | None], np.ndarray]
CRITERIA: dict[str, Criterion] = {"Sines": CyclicField.sines, "Walker": CyclicField.walker}
NOT_COVERED = "weld toes are not covered"
THREADS_NOT_COVERED = (
    "weld toes and the roots of the sleeve's threads are not covered: give [fatigue] thread_notch_factor"
)


def shell_fatigue_sines(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "shell", "Sines")


def shell_fatigue_walker(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "shell", "Walker")


def sleeve_fatigue_sines(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "sleeve", "Sines")


def sleeve_fatigue_walker(evidence: Evidence) -> Margin:
    return _fatigue(evidence, "sleeve", "Walker")


SHARE_NAMED = 0.01
"""Share of the damage from which on a load is named."""
LEAST_SUM, GREATEST_SUM = 1e-3, 1e3
"""Miner's sums beyond which no number is told."""


def _fatigue(evidence: Evidence, body: str, criterion: str) -> Margin:
    id_, title = f"{body}_fatigue_{criterion.lower()}", f"{body} fatigue ({criterion})"
    basis = "fatigue under the loads that repeat"
    service = evidence.study.service
    if service is None or evidence.case.service is None:
        return Margin(id_, title, None, None, "MPa", 1.0, Location(body), basis, applies=False)
    strength, cycles = fatigue_strength_of(evidence.case, body), _counted(service.cycles)
    hidden = body in unjudged_under_loads(evidence.case)
    if hidden or isinstance(strength, str) or isinstance(cycles, str):
        why = strength if isinstance(strength, str) else str(cycles)
        why = all_beside_clamp(body) if hidden else why
        return Margin(id_, title, None, None, "MPa", 1.0, Location(body), basis, why, stage="in use")
    found = governing_fatigue(evidence, body, criterion)
    assert found is not None
    superposed, leading, damage = found.superposed, found.leading, found.damage
    weighted, spot = found.estimate
    local = factors_at(evidence, body, spot)
    demand = prod(local.values()) * weighted
    lowered = "".join(f", {name} {value:.3g}" for name, value in local.items())
    margin = Margin(
        id=id_,
        title=title,
        demand=demand,
        capacity=Estimate(prod(local.values()) * strength.amplitude(leading.count)),
        unit="MPa",
        factor=evidence.case.factors.fatigue,
        where=where_of(evidence, spot),
        basis=f"{criterion}, equivalent fully reversed amplitude over {_listed(cycles)}, fit as mean "
        f"stress, {spot.surface}, {joint_conditions_text(evidence)}; strength at "
        f"{leading.count:.3g} cycles with {strength.factors_text}{lowered}; {strength.source}",
        note="; ".join(
            (
                _lasts(strength, weighted, cycles, damage),
                *_beyond_the_data(strength, cycles),
                *_uncounted(service.cycles),
                THREADS_NOT_COVERED if threads_left_out(evidence.case, body) else NOT_COVERED,
            )
        ),
        doubt="; ".join(filter(None, (strength.doubt, fretting_doubt(evidence)))),
        stage="in use",
        when=When.of(
            superposed.fit.state,
            load_case=" + ".join(cycles[k].name for k in _named(damage)),
            joint=spot.joint_condition,
        ),
    )
    return row_of([doubtful_if_joint_opens(evidence, margin)])


@dataclass(frozen=True)
class GoverningFatigue:
    """What governs a row: all that repeats, the fit and joint condition, what every load adds to Miner's
    sum at the worst point, and the amplitude there, MPa, with its place on the finest mesh."""

    repeated: Repeated
    superposed: Superposed
    damage: np.ndarray
    estimate: tuple[Estimate, Spot]

    @property
    def leading(self) -> Cycle:
        """The load that does most of the damage."""
        return self.repeated.cycles[int(np.argmax(self.damage))]

    @property
    def spot(self) -> Spot:
        """Where, on the finest mesh."""
        return self.estimate[1]


def governing_fatigue(evidence: Evidence, body: str, criterion: str) -> GoverningFatigue | None:
    """Where and when fatigue governs in a body; None where the case lacks the input for it."""
    service = evidence.study.service
    if service is None:
        return None
    strength, cycles = fatigue_strength_of(evidence.case, body), _counted(service.cycles)
    if isinstance(strength, str) or isinstance(cycles, str):
        return None
    repeated = Repeated(body, criterion, strength, cycles, evidence)
    counts = tuple((one.name, one.count) for one in cycles)
    # with the case itself, which is kept beside what is found, as its number is its own while it lives
    key = "fatigue", body, criterion, counts, id(evidence.case), evidence.least, evidence.greatest
    found, _ = evidence.study.cached(key, lambda: (repeated.governing(service), evidence.case))
    return GoverningFatigue(repeated, *found)


@dataclass(frozen=True)
class Repeated:
    """What repeats, and by which criterion it is judged in a body. cycles: the rarest first."""

    body: str
    criterion: str
    strength: FatigueStrength
    cycles: tuple[Cycle, ...]
    evidence: Evidence

    def governing(self, service: ServiceStudy) -> tuple[Superposed, np.ndarray, tuple[Estimate, Spot]]:
        """What governs over all states under load, as in GoverningFatigue."""
        read = self.reader(self.cycles[-1].count)
        at_ends = service.worst(
            f"{self.body} fatigue {self.criterion}",
            self.evidence.anywhere(self.evidence.loaded),
            read,
            joint_conditions=joint_conditions(self.evidence),
        )
        found = between_ends(self.evidence, at_ends, read)
        finest = self.spectrum(*found.finest)
        worst = int(np.argmax(finest.amplitude(self.strength, self.cycles[-1].count)))
        damage = np.array([one.flat[worst] for one in finest.damage(self.strength)])
        count = self.cycles[int(np.argmax(damage))].count
        spot = self.spot(finest, found.service[0], count)
        others = (self.reader(count)(*mesh).value for mesh in found.meshes[1:])
        return found, damage, (from_meshes(spot.value, *others, kind=SERVICE), spot)

    def reader(self, count: float) -> Callable[[FitSolution, ServiceSolution], Spot]:
        """A function that finds the greatest amplitude that does the damage of all loads in so many
        cycles, over the share of the strength that is left where it acts."""

        def read(fit: FitSolution, solution: ServiceSolution) -> Spot:
            return self.spot(self.spectrum(fit, solution), solution, count)

        return read

    def spot(self, spectrum: Spectrum, solution: ServiceSolution, count: float) -> Spot:
        """The same, of amplitudes that are known."""
        return spot_of(spectrum.amplitude(self.strength, count)[None], self.body, solution)

    def spectrum(self, fit: FitSolution, solution: ServiceSolution) -> Spectrum:
        """Equivalent amplitudes of all loads at the points of the wall."""
        left = shares(self.evidence, self.body, solution.walls[self.body])

        def amplitude(*cycles: Cycle) -> np.ndarray:
            field = solution.cyclic(self.body, cycles)
            return CRITERIA[self.criterion](field, fit_surfaces(fit, self.body), self.strength, left)

        pairs = combinations(range(len(self.cycles)), 2)
        return Spectrum(
            tuple(float(cycle.count) for cycle in self.cycles),
            tuple(amplitude(cycle) for cycle in self.cycles),
            {(i, j): amplitude(self.cycles[i], self.cycles[j]) for i, j in pairs},
        )


def _counted(cycles: tuple[Cycle, ...]) -> tuple[Cycle, ...] | str:
    """The loads that repeat with their numbers of cycles, the rarest first, or what the case must give."""
    if not cycles:
        return "give a load that repeats: [service] pedalling_test or [[service.bearing]]"
    counted = tuple(sorted((one for one in cycles if one.count), key=lambda one: one.count))
    return counted or "give [service] cycles to have this judged"


def _uncounted(cycles: tuple[Cycle, ...]) -> list[str]:
    names = ", ".join(f"'{one.name}'" for one in cycles if not one.count)
    return [f"not judged under {names}: give cycles"] if names else []


def _listed(cycles: tuple[Cycle, ...]) -> str:
    """The loads in words, for the basis of the row."""
    names = ", ".join(f"'{one.name}' ({one.count:.3g} cycles)" for one in cycles)
    return names if len(cycles) == 1 else f"{names}, in turn in the worst order, summed by Miner"


def _named(damage: np.ndarray) -> list[int]:
    """Indices of the loads that do the damage, the worst first."""
    order = np.argsort(-damage, kind="stable")
    return [int(k) for k in order if damage[k] >= SHARE_NAMED * damage.sum()]


def _lasts(
    strength: FatigueStrength, demand: Estimate, cycles: tuple[Cycle, ...], damage: np.ndarray
) -> str:
    """How long the body lasts, without the factor on the stress; no longer than the data reach, or than is
    asked of it."""
    if len(cycles) == 1:
        longest = max(strength.longest, float(cycles[0].count))
        life = strength.cycles(demand.value)
        more = "more than " if life > longest else ""
        if life < 1.0:
            return "its stress is beyond what the data cover at any life"
        return f"lasts {more}{rounded_down(min(life, longest))} cycles at this stress"
    total = float(damage.sum())
    if total <= LEAST_SUM:
        return f"Miner's sum below {LEAST_SUM:g} at this stress"
    if total > GREATEST_SUM:
        return f"Miner's sum above {GREATEST_SUM:g} at this stress"
    parts = ", ".join(f"{100.0 * damage[k] / total:.0f} % '{cycles[k].name}'" for k in _named(damage))
    return f"Miner's sum {total:.2g} at this stress, {parts}"


def rounded_down(life: float) -> str:
    """A number of cycles with two digits, never more than it is."""
    unit = 10.0 ** max(floor(log10(max(life, 1.0)) + 1e-12) - 1, 0)
    down = unit * floor(life / unit + 1e-9)
    return f"{down:.1e}".replace("e+0", "e").replace("e+", "e") if down >= 1e4 else f"{down:.0f}"


def _beyond_the_data(strength: FatigueStrength, cycles: tuple[Cycle, ...]) -> list[str]:
    """How a number of cycles is read that the data do not reach."""
    data, most = strength.data, max(float(one.count) for one in cycles)
    if isinstance(data, Endurance) or most * strength.life_shift <= data.max_cycles:
        return []
    levels = ", not below where the tests level off" if data.fatigue_limit else ""
    return [f"beyond {data.max_cycles:.0e} cycles of the tests' mean read along the tangent{levels}"]
