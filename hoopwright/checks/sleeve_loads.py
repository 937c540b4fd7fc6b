"""Loads the fit must hold: the stated demand, each cup tightened and loosened, the drag of pedalling.

A tightened cup whose flange bears on the shell pulls the sleeve towards the flange with its preload and
turns it with the torque in its thread; friction under the flange takes the rest of the torque.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from hoopwright.case.holding_model import CupsInput, CupTightening, Side
from hoopwright.case.model import Case
from hoopwright.closed_form.friction import slip_resultant
from hoopwright.closed_form.thread import (
    basic_pitch_diameter,
    loosening_torque,
    preload_from_torque,
)
from hoopwright.geometry import Sleeve, Thread
from hoopwright.geometry.land import at_end

PRELOAD_SOURCE = "preload from torque by the screw-thread equation (inclined plane, flank 30°)"


class CupFriction(NamedTuple):
    """Friction of one turn of a cup, in its thread and under its flange."""

    thread: float
    flange: float


class CupMove(NamedTuple):
    """A cup tightened or undone. tightened, undone: friction with which it was; None where the cup passes
    on all the torque, and where it is not undone. gained: what temperature has added to its pull since, N;
    0 where it is undone on the bench or as the last one."""

    side: Side
    tightened: CupFriction | None = None
    undone: CupFriction | None = None
    gained: float = 0.0


@dataclass(frozen=True)
class SleeveLoad:
    """One load the fit must hold. axial: N, at least 0; torque: N·mm, positive from x towards y. load_case:
    of service that it belongs to, "" where none. cup: that is moved, or None. pull: of a single tight cup,
    which is in axial, N."""

    what: str
    axial: float
    torque: float
    load_case: str = ""
    cup: CupMove | None = None
    pull: float = 0.0

    def resultant(self, radius: float) -> float:
        """Resultant of axial and tangential force on the seat at a radius in mm, N."""
        return float(slip_resultant(axial_force=self.axial, torque=self.torque, diameter=2.0 * radius))

    @property
    def turning_sense(self) -> str:
        """The sense in which it turns the sleeve, seen from the right-hand side; "" without torque."""
        if self.torque == 0.0:
            return ""
        return "anticlockwise seen from the right" if self.torque > 0.0 else "clockwise seen from the right"


def stated_demand(case: Case) -> SleeveLoad | None:
    """What the case asks the fit to hold by [demand]; None where it states none."""
    if case.demand is None or not (case.demand.axial_force or case.demand.torque):
        return None
    return SleeveLoad("[demand]", case.demand.axial_force, case.demand.torque)


def cup_moves(case: Case, gained: float = 0.0) -> tuple[SleeveLoad, ...]:
    """The loads of every cup in a thread of the sleeve while it is tightened and undone.

    gained: what temperature adds to the pull of two cups on the shell while both are tight, N.
    """
    if case.cups is None:
        return ()
    return tuple(
        load
        for side, cup in case.cups.sides
        if (thread := cup_thread(case.sleeve, side)) is not None
        for load in _cup_loads(case.cups, cup, thread, side, gained)
    )


def cup_thread(sleeve: Sleeve, side: Side) -> Thread | None:
    """The thread at one end of the sleeve."""
    return at_end(sleeve.bore, side).thread


def tightening_sense(thread: Thread, side: Side) -> float:
    """+1 where tightening the cup turns the sleeve from x towards y, else -1.

    A cup with a right-hand thread goes in clockwise as seen by a person facing it.
    """
    sense = 1.0 if side == "left" else -1.0
    return -sense if thread.left_hand else sense


def greatest_preload(cups: CupsInput, cup: CupTightening, thread: Thread) -> float:
    """Preload of a tightened cup at the lowest thread and flange friction, N."""
    return _preload(cups, cup, thread, cups.thread_friction_low, cups.flange_friction_low)


def least_preload(cups: CupsInput, cup: CupTightening, thread: Thread) -> float:
    """Preload of a tightened cup at the highest thread and flange friction, N."""
    return _preload(cups, cup, thread, cups.thread_friction_high, cups.flange_friction_high)


def _cup_loads(
    cups: CupsInput, cup: CupTightening, thread: Thread, side: Side, gained: float
) -> Iterator[SleeveLoad]:
    """Loads of one cup tightened and undone, each with its own friction: what was greased when it went in
    may be dry when it comes out.

    The last cup to be undone draws the sleeve along with its pull; the first, whose pull the other one
    balances, only turns it, and with what temperature has added to that pull.
    """
    sense = tightening_sense(thread, side)
    tightening, removing = f"tightening the {side} cup", f"removing the {side} cup"
    # A thread that binds before the flange seats, or a flange on the sleeve, transmits all the torque.
    yield SleeveLoad(tightening, 0.0, sense * cup.tightening_torque, cup=CupMove(side))
    stated = stated_removal(cups, cup, thread)
    if cup.removing_torque is not None:
        yield SleeveLoad(removing, 0.0, -sense * cup.removing_torque, cup=CupMove(side))
    if cup.removing_torque is not None and stated is None:
        removing += ", which takes more than its removing_torque"
    for tightened in _frictions(cups):
        preload = _preload(cups, cup, thread, tightened.thread, tightened.flange)
        if cups.flange_on_shell:
            torque = cup.tightening_torque - _flange_torque(cups, preload, tightened)
            yield SleeveLoad(tightening, preload, sense * torque, cup=CupMove(side, tightened))
        for undone in _frictions(cups):
            move = CupMove(side, tightened, undone)
            flange_torque = _flange_torque(cups, preload, undone)
            by_equation = _torque_in_thread(thread, preload, undone.thread) + flange_torque
            loosening = by_equation if stated is None else stated
            if cups.flange_on_shell:
                turning = -sense * max(loosening - flange_torque, 0.0)
                yield SleeveLoad(removing, preload, turning, cup=move)
                if gained:
                    raised = turning * (preload + gained) / preload  # friction grows as the pull does
                    yield SleeveLoad(removing, 0.0, raised, cup=move._replace(gained=gained))
            else:
                yield SleeveLoad(removing, 0.0, -sense * loosening, cup=move)


def _frictions(cups: CupsInput) -> tuple[CupFriction, ...]:
    """Every pair of the least and greatest friction."""
    return tuple(
        CupFriction(thread, flange)
        for thread in (cups.thread_friction_low, cups.thread_friction_high)
        for flange in (cups.flange_friction_low, cups.flange_friction_high)
    )


def _flange_torque(cups: CupsInput, preload: float, friction: CupFriction) -> float:
    """Torque that friction under the flange takes, N·mm."""
    return 0.5 * preload * friction.flange * cups.flange_diameter


def stated_removal(cups: CupsInput, cup: CupTightening, thread: Thread) -> float | None:
    """The stated torque that undoes a cup, N·mm; None where none is, or one below the least that the
    screw-thread equation gives for any friction stated: a cup tightened as stated does not come loose by
    it."""
    if cup.removing_torque is None:
        return None
    least = min(
        _torque_in_thread(thread, preload, undone.thread) + _flange_torque(cups, preload, undone)
        for tightened in _frictions(cups)
        for preload in [_preload(cups, cup, thread, tightened.thread, tightened.flange)]
        for undone in _frictions(cups)
    )
    return cup.removing_torque if cup.removing_torque >= least else None


def _torque_in_thread(thread: Thread, preload: float, friction: float) -> float:
    """Torque that friction in the thread asks for as it is undone, N·mm, less what its slope gives."""
    found = loosening_torque(preload=preload, thread_friction=friction, **_thread_dimensions(thread))
    return float(found)


def _preload(
    cups: CupsInput, cup: CupTightening, thread: Thread, thread_friction: float, flange_friction: float
) -> float:
    return float(
        preload_from_torque(
            torque=cup.tightening_torque,
            thread_friction=thread_friction,
            face_friction=flange_friction,
            face_mean_diameter=cups.flange_diameter,
            **_thread_dimensions(thread),
        )
    )


def _thread_dimensions(thread: Thread) -> dict[str, float]:
    return {
        "pitch": thread.pitch,
        "pitch_diameter": float(basic_pitch_diameter(major=thread.major, pitch=thread.pitch)),
    }


__all__ = [
    "PRELOAD_SOURCE",
    "SleeveLoad",
    "cup_moves",
    "cup_thread",
    "greatest_preload",
    "least_preload",
    "stated_demand",
    "stated_removal",
    "tightening_sense",
]
