"""What the seat must hold in every stage: the stated demand, the cups, and what each service load sends
across it.

A force never lowers another unless both belong to one load case: the demand is added in its worse sense,
and in use so is the standing pull of a single cup on the shell.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import copysign

from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Stage
from hoopwright.checks.sleeve_loads import SleeveLoad, cup_moves, stated_demand
from hoopwright.geometry.stop import is_stopped
from hoopwright.loads.cases import LoadCase
from hoopwright.loads.traction import resultant

ROUNDING = 1e-9
"""Share of the forces of a load case below which its net force or torque is rounding."""


def seat_demands(evidence: Evidence, stage: Stage, rise: float | None = None) -> tuple[SleeveLoad, ...]:
    """Every load that the fit must hold in a stage; empty where there is none.

    rise: temperature of the joint, K above 20 °C, as one of `evidence.rises`; None for that of the bench.
    """
    at = evidence.bench if rise is None else rise
    return evidence.study.cached(("seat demands", stage, at), lambda: _seat_demands(evidence, stage, at))


def _seat_demands(evidence: Evidence, stage: Stage, rise: float) -> tuple[SleeveLoad, ...]:
    case, demand = evidence.case, stated_demand(evidence.case)
    stated = () if demand is None else (demand,)
    if stage == "pressed":
        return stated
    if stage == "cups":
        return cup_moves(case, evidence.tensions[rise] - evidence.tensions[evidence.bench])
    if stage != "in use" or not (evidence.is_in_use or case.cups):
        return ()
    drag = 0.0 if case.cups is None else case.cups.drag_torque
    # The spindle of a bicycle ridden forwards turns clockwise seen from the right.
    dragged = (SleeveLoad("drag of pedalling", 0.0, -drag),) if drag else ()
    service = evidence.study.service
    loads = [_across_the_seat(case, one, drag) for one in (service.cases if service else ())]
    together = [_with(load, demand) for load in (*dragged, *loads)] if demand is not None else []
    acting = (*stated, *dragged, *(load for load in (*loads, *together) if load.axial or load.torque))
    return tuple(_beside_one_cup(evidence, acting))


def _beside_one_cup(evidence: Evidence, loads: tuple[SleeveLoad, ...]) -> Iterator[SleeveLoad]:
    """The loads, each with the pull of a single cup on the shell, which no second cup pulls against; a stop
    carries what pulls the sleeve towards it."""
    case = evidence.case
    if not case.draws_sleeve or is_stopped(case.shell, case.sleeve, case.pulling_cups[0]):
        yield from loads
        return
    pull, beside = max(evidence.tensions.values()), f"beside the pull of the {case.pulling_cups[0]} cup"
    for load in loads:
        yield replace(load, what=f"{load.what} {beside}", axial=load.axial + pull, pull=pull)


def _across_the_seat(case: Case, load_case: LoadCase, drag: float) -> SleeveLoad:
    """Net axial force and torque of a load case on the sleeve, with the drag of the bearings beside it.

    A force towards a flange or a shoulder that the sleeve is pushed home against is that stop's to carry.
    """
    along, turning = _along_and_turning(load_case)
    stopped = along != 0.0 and is_stopped(case.shell, case.sleeve, "right" if along > 0.0 else "left")
    what = f"'{load_case.name}'" + (", whose axial force the stop carries" if stopped else "")
    axial = 0.0 if stopped else abs(along)
    return SleeveLoad(what, axial, abs(turning) + drag, load_case.name)


def net_axial(load_case: LoadCase) -> float:
    """Net force of a load case on the sleeve along +z, N."""
    return _along_and_turning(load_case)[0]


def _along_and_turning(load_case: LoadCase) -> tuple[float, float]:
    """Net force along +z, N, and torque, N·mm, of a load case on the sleeve."""
    force, moment = resultant(t for t in load_case.tractions if t.face.startswith("sleeve."))
    scale = sum(abs(part) for part in force) + abs(moment[2])
    along, turning = (float(x) if abs(x) > ROUNDING * scale else 0.0 for x in (force[2], moment[2]))
    return along, turning


def _with(load: SleeveLoad, demand: SleeveLoad) -> SleeveLoad:
    return replace(
        load,
        what=f"{load.what} and [demand] together",
        axial=load.axial + abs(demand.axial),
        torque=copysign(abs(load.torque) + abs(demand.torque), load.torque),
    )
