"""Proof of the pressed joint: a push or a torque above what service asks for and below slip and damage.

    needed     L = max_i R_i C_bench/C_i    R: resultant of the load on the seat, C: what the seat holds at
                                            low friction and least interference, at that temperature
    slips      C_bench
    stress     σ0 + (σ1 − σ0) F/F1          pushed: σ1 at F1, sliding at high friction and greatest
                                            interference; von Mises is convex, so the chord lies above
               √(σ0² + 3 (T r/J)²)          twisted: shear across the stress of the fit

A push and a torque prove the same, since friction does not ask which way it is dragged.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import floor, inf, log10, pi, sqrt
from typing import Literal

from hoopwright.checks import Evidence, Margin
from hoopwright.checks.grip import computed_grip
from hoopwright.checks.holding import STAGES, rises_of
from hoopwright.checks.seat_demands import seat_demands
from hoopwright.checks.stage_stress import weight_of
from hoopwright.discretisation import BODIES
from hoopwright.geometry.joint import Segment
from hoopwright.state import being_pushed, let_go

Kind = Literal["push", "torque"]
DIGITS = 3
"""Significant digits of a proof load, rounded down: a gauge or a torque wrench shows no more."""
NOTHING_ASKED = "nothing is stated that the fit must hold, so there is nothing to prove: give [demand]"
NONE_EXISTS = "no proof load exists between service and damage"
NOTHING_HELD = "the fit holds nothing at a temperature of use, so no load on the bench proves it"
NO_STRENGTH = "the case lacks the strength of a part, so no load is known to stay below damage"


@dataclass(frozen=True)
class Stressed:
    """A body of the tightest joint under a load: von Mises stress of the fit, and what it stands with its
    factor, MPa.

    rise: pushed, of the stress per newton, MPa/N. modulus: twisted, torsion modulus of its weakest section,
    mm³.
    """

    fit: float
    stands: float
    rise: float
    modulus: float

    def margin(self, kind: Kind, load: float) -> float:
        """To yield under a load in N or N·mm."""
        return self.stands / self._stress(kind, load) - 1.0

    def yields(self, kind: Kind) -> float:
        """The load at which it reaches what it stands, N or N·mm; 0 where the fit alone is more."""
        if self.fit >= self.stands:
            return 0.0
        if kind == "torque":
            return self.modulus * sqrt((self.stands**2 - self.fit**2) / 3.0)
        return (self.stands - self.fit) / self.rise if self.rise > 0.0 else inf

    def _stress(self, kind: Kind, load: float) -> float:
        if kind == "push":
            return self.fit + self.rise * load
        return sqrt(self.fit**2 + 3.0 * (load / self.modulus) ** 2)


@dataclass(frozen=True)
class ProofLoad:
    """One way to prove the joint, N of a push or N·mm of a torque.

    load: to apply. service: the greatest that service asks for; needed: the same with what temperature
    takes of the grip. slips: what the seat holds at low friction and least interference. yield_margin: of
    the tightest joint at the load, the factor of safety counted.
    """

    kind: Kind
    load: float
    service: float
    needed: float
    slips: float
    yield_margin: float

    @property
    def slip_margin(self) -> float:
        """To slip at the load, of a joint as poor as the case allows for."""
        return self.slips / self.load - 1.0


@dataclass(frozen=True)
class Proof:
    """loads: a push and a torque, either of which proves the joint; where there is none, `why` says so.
    factor: of safety on holding, which the load proves as far as there is room."""

    loads: tuple[ProofLoad, ...]
    factor: float
    why: str = ""


def proof_of(evidence: Evidence, margins: Iterable[Margin]) -> Proof:
    """The proof of a checked joint. margins: its rows."""
    factor, rows = evidence.case.factors.holding, {row.id: row for row in margins}
    doubt = next(
        (rows[id_].doubt for id_ in ("pushed_out", "turned") if id_ in rows and rows[id_].doubt), ""
    )
    if doubt:
        return Proof((), factor, f"no proof load is given: {doubt}")
    service, needed = _asked(evidence)
    if service == 0.0:
        return Proof((), factor, NOTHING_ASKED)
    if needed == inf:
        return Proof((), factor, NOTHING_HELD)
    bodies = _stressed(evidence, rows)
    if bodies is None:
        return Proof((), factor, NO_STRENGTH)
    held = computed_grip(evidence, evidence.bench)
    kinds: tuple[tuple[Kind, float, float], ...] = (
        ("push", 1.0, held.force.value - held.force.error),
        ("torque", held.radius, held.torque.value - held.torque.error),
    )
    loads = []
    for kind, arm, slips in kinds:
        damaged = min(slips, *(body.yields(kind) for body in bodies))
        load = chosen(arm * needed, damaged, factor)
        if load is not None:
            margin = min(body.margin(kind, load) for body in bodies)
            loads.append(ProofLoad(kind, load, arm * service, arm * needed, slips, margin))
    return Proof(tuple(loads), factor, "" if loads else NONE_EXISTS)


def _asked(evidence: Evidence) -> tuple[float, float]:
    """The greatest resultant on the seat that any stage asks for, N, and the same with what temperature
    takes of the grip, inf where nothing is left of it."""
    found = [(0.0, 0.0), *_resultants(evidence)]
    return max(service for service, _ in found), max(needed for _, needed in found)


def _resultants(evidence: Evidence) -> Iterator[tuple[float, float]]:
    bench = computed_grip(evidence, evidence.bench).force.value
    for stage in STAGES:
        for rise in rises_of(evidence, stage):
            loads = seat_demands(evidence, stage, rise)
            if not loads:
                continue
            held = computed_grip(evidence, rise)
            there = held.force.value
            for load in loads:
                asked = load.resultant(held.radius)
                yield asked, asked * bench / there if there > 0.0 else inf


def chosen(needed: float, damaged: float, factor: float) -> float | None:
    """The load that proves a factor of safety on what is needed, or the middle, by ratio, of what it lies
    between where that is less; None where nothing lies between."""
    if damaged <= needed:
        return None
    load = min(factor * needed, sqrt(needed * damaged))
    rounded = rounded_down(load)
    return rounded if rounded > needed else load


def rounded_down(load: float) -> float:
    """A load to its first digits, rounded down."""
    step = 10.0 ** (floor(log10(load)) - DIGITS + 1)
    return floor(load / step + 1e-9) * step


def _stressed(evidence: Evidence, rows: dict[str, Margin]) -> tuple[Stressed, ...] | None:
    """Both bodies of the tightest joint, finished, at high friction; None where the strength of one is not
    given."""
    case, study, shift = evidence.case, evidence.study, evidence.greatest
    friction = max(case.pressing_friction[1], case.fit.friction_high)
    pushed = replace(being_pushed(case, shift, friction), blank=False)
    moving, still = study.fits((pushed,)), study.fits(let_go(case, shift))
    force = friction * moving.fits[0].coarsest.normal_force
    found = []
    for body in BODIES:
        row = rows.get(f"{body}_yields")
        cell = next((c for c in row.cells if c.stage == "pressed"), None) if row is not None else None
        if cell is None or cell.demand is None or cell.capacity is None:
            return None
        weigh, fit = weight_of(evidence, body, "pressed"), cell.demand.value
        before, after = (
            max(one.coarsest.equivalent_peak(body, weigh).value for one in fits.fits)
            for fits in (still, moving)
        )
        gain = fit * max(after / before - 1.0, 0.0) if before > 0.0 else 0.0
        sections = study.joint.shell if body == "shell" else study.joint.sleeve
        found.append(
            Stressed(
                fit,
                cell.capacity.value / cell.factor,
                gain / force if force > 0.0 else 0.0,
                min(map(torsion_modulus, sections)),
            )
        )
    return tuple(found)


def torsion_modulus(section: Segment) -> float:
    """J/r of a stretch at its weaker end, mm³: π (R⁴ − r⁴)/(2 R)."""
    ends = ((section.inner_start, section.outer_start), (section.inner_end, section.outer_end))
    return min(0.5 * pi * (outer**4 - inner**4) / outer for inner, outer in ends)
