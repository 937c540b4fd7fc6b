"""Push-out and turning of the sleeve against the grip of the seat at least interference, in every stage.

    F = μ ∫ p dA,   T = μ ∫ p r dA     (closed form F = π d L μ p, T = F d / 2)

Force and torque that act together are held by the same friction, so their resultant on the seat counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import Grip, grip
from hoopwright.checks.margin import Location, Margin, Stage, When, row_of, worst_of
from hoopwright.checks.seat_demands import seat_demands
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE, SleeveLoad
from hoopwright.display import Units
from hoopwright.estimate import Estimate

STAGES: tuple[Stage, ...] = ("pressed", "cups", "in use")


@dataclass(frozen=True)
class _Way:
    """A way in which the sleeve may move. demand: of a load, in the unit of the row; capacity: of the
    grip."""

    id: str
    title: str
    unit: str
    demand: Callable[[SleeveLoad, Grip], float]
    capacity: Callable[[Grip], Estimate]
    ask: str = ""


PUSHED_OUT = _Way(
    "pushed_out",
    "sleeve is pushed out",
    "N",
    lambda load, _: load.axial,
    lambda held: held.force,
    "give [demand] axial_force, [cups] or a service load to have this judged",
)
TURNED = _Way(
    "turned",
    "sleeve turns",
    "N*m",
    lambda load, _: 1e-3 * abs(load.torque),
    lambda held: 1e-3 * held.torque,
    "give [demand] torque, [cups] or a service load to have this judged",
)
SLIPS = _Way(
    "slips_combined",
    "sleeve slips",
    "N",
    lambda load, held: load.resultant(held.radius) if load.axial and load.torque else 0.0,
    lambda held: held.force,
)


def pushed_out(evidence: Evidence) -> Margin:
    """Axial force of the demand, of one tightened cup or of a service load against the axial grip."""
    return _row(evidence, PUSHED_OUT)


def turned(evidence: Evidence) -> Margin:
    """Greatest torque on the sleeve against the torque the seat holds."""
    return _row(evidence, TURNED)


def slips_combined(evidence: Evidence) -> Margin:
    """Force and torque of one load together, as their resultant at the mean radius of the seats."""
    return _row(evidence, SLIPS)


def _row(evidence: Evidence, way: _Way) -> Margin:
    cells = [cell for stage in STAGES if (cell := _cell(evidence, way, stage)) is not None]
    if cells:
        return row_of(cells)
    held = grip(evidence, evidence.bench)
    return Margin(
        way.id,
        way.title,
        None,
        way.capacity(held),
        way.unit,
        evidence.case.factors.holding,
        Location("interface"),
        held.basis,
        way.ask,
        applies=bool(way.ask),
    )


def _cell(evidence: Evidence, way: _Way, stage: Stage) -> Margin | None:
    found = [
        _at(evidence, way, stage, rise, loads)
        for rise in rises_of(evidence, stage)
        if (loads := seat_demands(evidence, stage, rise))
    ]
    judged = [cell for cell in found if cell is not None]
    return worst_of(judged) if judged else None


def rises_of(evidence: Evidence, stage: Stage) -> tuple[float, ...]:
    """The temperatures at which a stage is judged, K above 20 °C."""
    if stage == "pressed":
        return (evidence.bench,)
    return (evidence.range_of_use if stage == "in use" else ()) or evidence.rises


def _at(
    evidence: Evidence, way: _Way, stage: Stage, rise: float, loads: tuple[SleeveLoad, ...]
) -> Margin | None:
    """The worst load at one temperature; None where no load acts in this way."""
    held = grip(evidence, rise)
    worst = _worst(way, loads, held)
    demand = way.demand(worst, held)
    if demand <= 0.0:
        return None
    return Margin(
        id=way.id,
        title=way.title,
        demand=Estimate(demand),
        capacity=way.capacity(held),
        unit=way.unit,
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{held.basis}; against {_described(worst)}",
        note=_joined(held.note, _one_cup(way, stage, demand, held)),
        doubt=held.doubt,
        stage=stage,
        when=When(rise, f"μ = {held.friction:.3g}", load_case=worst.load_case),
    )


def _worst(way: _Way, loads: tuple[SleeveLoad, ...], held: Grip) -> SleeveLoad:
    return max(loads, key=lambda load: way.demand(load, held))


def worst_load(evidence: Evidence, row: Margin) -> SleeveLoad:
    """The load that governs a row of this file."""
    way = next(way for way in (PUSHED_OUT, TURNED, SLIPS) if way.id == row.id)
    rise = row.when.temperature_rise or 0.0
    return _worst(way, seat_demands(evidence, row.stage, rise), grip(evidence, rise))


def _one_cup(way: _Way, stage: Stage, demand: float, held: Grip) -> str:
    """Advice where a cup tightened by itself pulls the sleeve out; "" where none does."""
    if way is not PUSHED_OUT or stage != "cups" or demand <= held.force.value:
        return ""
    return (
        f"one cup, tightened by itself, may pull with {Units().both(demand, 'N')}: "
        "let its flange bear on the sleeve, or tighten less"
    )


def _described(load: SleeveLoad) -> str:
    """A load in words, with the sense in which it turns the sleeve."""
    if load.load_case or load.what == "[demand]":
        return load.what
    sense = f", which turns the sleeve {load.turning_sense}" if load.torque else ""
    tightened = load.pull if load.cup is None else load.axial or load.cup.gained
    source = f"; {PRELOAD_SOURCE}, at the friction that makes it worst" if tightened else ""
    raised = ", its pull raised by temperature" if load.cup is not None and load.cup.gained else ""
    return load.what + raised + sense + source


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)
