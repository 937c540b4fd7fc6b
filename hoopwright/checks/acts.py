"""What acts on the fit: the demand as stated, each cup tightened and undone, the drag of pedalling.

A tightened cup whose flange bears on the shell pulls the sleeve towards the flange with its preload,
and turns it by the torque in its thread; the rest of the torque rubs off under the flange.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from geometry import Sleeve, Thread
from hoopwright.case.holding_model import CupsInput, CupTightening, Side
from hoopwright.case.model import Case
from hoopwright.closed_form.thread import (
    basic_pitch_diameter,
    loosening_torque,
    preload_from_torque,
)

PRELOAD_SOURCE = "preload from torque by the screw-thread equation (inclined plane, flank 30°)"


@dataclass(frozen=True)
class Act:
    """One thing the fit must stand. axial: N, at least 0; torque: N·mm, positive from x towards y."""

    what: str
    axial: float
    torque: float

    def resultant(self, radius: float) -> float:
        """Force along the surface of the seat, N: axial and tangential at right angles. radius: mm."""
        return float((self.axial**2 + (self.torque / radius) ** 2) ** 0.5)

    @property
    def turns(self) -> str:
        """The way it turns the sleeve, as a mechanic at the right-hand side sees it."""
        if self.torque == 0.0:
            return ""
        return "anticlockwise seen from the right" if self.torque > 0.0 else "clockwise seen from the right"


def acts(case: Case) -> tuple[Act, ...]:
    """Everything the case asks the fit to hold; empty where it asks nothing."""
    found = []
    if case.demand is not None:
        found.append(Act("[demand]", case.demand.axial_force, case.demand.torque))
    if case.cups is not None:
        for side, cup in case.cups.sides:
            thread = cup_thread(case.sleeve, side)
            if thread is not None:
                found += _cup_acts(case.cups, cup, thread, side)
        if case.cups.drag_torque:
            # The spindle of a bicycle ridden forwards turns clockwise seen from the right.
            found.append(Act("drag of pedalling", 0.0, -case.cups.drag_torque))
    return tuple(found)


def cup_thread(sleeve: Sleeve, side: Side) -> Thread | None:
    """The thread at one end of the sleeve."""
    return sleeve.bore[0 if side == "left" else -1].thread


def tightening_sense(thread: Thread, side: Side) -> float:
    """+1 where tightening the cup turns the sleeve from x towards y, else -1.

    A right-hand cup goes in clockwise as seen by the person who faces it.
    """
    sense = 1.0 if side == "left" else -1.0
    return -sense if thread.left_hand else sense


def greatest_preload(cups: CupsInput, cup: CupTightening, thread: Thread) -> float:
    """Preload at the least friction, N."""
    return _preload(cups, cup, thread, cups.thread_friction_low, cups.flange_friction_low)


def _cup_acts(cups: CupsInput, cup: CupTightening, thread: Thread, side: Side) -> Iterator[Act]:
    sense = tightening_sense(thread, side)
    tightening, removing = f"tightening the {side} cup", f"removing the {side} cup"
    # A thread that binds before the flange seats, or a flange on the sleeve, hands on all the torque.
    yield Act(tightening, 0.0, sense * cup.tightening)
    if cup.removing is not None:
        yield Act(removing, 0.0, -sense * cup.removing)
    for thread_friction in (cups.thread_friction_low, cups.thread_friction_high):
        for flange_friction in (cups.flange_friction_low, cups.flange_friction_high):
            preload = _preload(cups, cup, thread, thread_friction, flange_friction)
            rubbed = 0.5 * preload * flange_friction * cups.flange_diameter
            undone = _undoing(cup, thread, preload, thread_friction, rubbed)
            if cups.on_shell:
                yield Act(tightening, preload, sense * (cup.tightening - rubbed))
                yield Act(removing, preload, -sense * max(undone - rubbed, 0.0))
            else:
                yield Act(removing, 0.0, -sense * undone)


def _undoing(cup: CupTightening, thread: Thread, preload: float, thread_friction: float,
             rubbed: float) -> float:
    """Torque that undoes the cup, N·mm: as stated, else by the screw-thread equation."""
    if cup.removing is not None:
        return cup.removing
    in_thread = loosening_torque(preload=preload, thread_friction=thread_friction, **_sizes(thread))
    return float(in_thread) + rubbed


def _preload(cups: CupsInput, cup: CupTightening, thread: Thread, thread_friction: float,
             flange_friction: float) -> float:
    return float(preload_from_torque(
        torque=cup.tightening, thread_friction=thread_friction, face_friction=flange_friction,
        face_mean_diameter=cups.flange_diameter, **_sizes(thread)))


def _sizes(thread: Thread) -> dict[str, float]:
    return {"pitch": thread.pitch,
            "pitch_diameter": float(basic_pitch_diameter(major=thread.major, pitch=thread.pitch))}


__all__ = ["PRELOAD_SOURCE", "Act", "acts", "cup_thread", "greatest_preload", "tightening_sense"]
