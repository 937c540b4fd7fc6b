"""Fit of the thread with its cup: its closure against the play that its limits of size leave.

Teeth carry no hoop stress and move with their roots, so pitch and minor diameter close as the bore does.
What thread and cup expand alike takes no play; what the cup expands more than the thread does:

    closure = 2 (r α_sleeve ΔT − u) + d (α_cup − α_sleeve) ΔT

A thread cut after pressing, or a tap run through one then, takes off the closure there is then, and nothing
of what heat and cold do to it later.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, row_of, worst_of
from hoopwright.display import Units
from hoopwright.estimate import DISPLACEMENT, Estimate
from hoopwright.fit import Fits, FitSolution
from hoopwright.geometry import BoreZone, Thread
from hoopwright.geometry.thread_limits import limits_of
from hoopwright.state import State, as_pressed

ID, TITLE = "thread_fits", "thread fits"
ROUNDING = 1e-6
"""Closure, mm, below which it is that of rounding, and none."""


def thread_fits(evidence: Evidence) -> Margin:
    """The least margin of closure against play over the threads of the sleeve, whenever a cup goes in or
    out."""
    zones = [(zone, zone.thread) for zone in evidence.case.sleeve.bore if zone.thread is not None]
    stages: tuple[Stage, ...] = ("pressed", "cups") if evidence.case.cups else ("pressed",)
    if zones:
        return row_of(
            worst_of([_margin(evidence, stage, zone, thread) for zone, thread in zones]) for stage in stages
        )
    return Margin(
        ID, TITLE, None, None, "um", 1.0, Location("sleeve"), "the sleeve has no thread", applies=False
    )


def _margin(evidence: Evidence, stage: Stage, zone: BoreZone, thread: Thread) -> Margin:
    limits = limits_of(thread)
    pitch_diameter = thread.cut_pitch_diameter or limits.internal_pitch_min
    play = limits.min_clearance(pitch_diameter)
    read = closure_reader(evidence.case, zone, pitch_diameter)
    at = f"{zone.z_start:.3f} mm, {stage}"
    tight, loose = (cups_out(evidence, stage, shift) for shift in (evidence.greatest, evidence.least))
    closure, solution = tight.greatest(f"closure at {at}", lambda s: read(s).closure, DISPLACEMENT)
    least, _ = loose.least(f"least closure at {at}", lambda s: read(s).closure, DISPLACEMENT)
    place = read(solution)
    tapped = cut_when_pressed(evidence.case, zone)
    left = closure
    if tapped:
        since, later = tight.greatest(f"closure since cut at {at}", lambda s: read(s).since, DISPLACEMENT)
        left = since if since.value > ROUNDING else Estimate(0.0)
        solution = later if left.value else solution
    both = Units().both
    origin = "as measured before pressing" if thread.cut_pitch_diameter else "at its least limit"
    return Margin(
        id=ID,
        title=TITLE,
        demand=left * 1e3,
        capacity=Estimate(1e3 * play),
        unit="um",
        factor=1.0,
        where=Location("sleeve", place.r, place.z),
        basis=f"{thread.designation}: "
        + (
            "cut after pressing"
            if zone.cut_true
            else f"the thread closes by {Units().span_both(1e3 * least.value, 1e3 * closure.value, 'um')} "
            "on diameter where most, least to greatest interference"
        )
        + (f", {_expansion_text(evidence.case)}" if stage == "cups" else "")
        + (
            f"; since it was {_cut_text(zone)} on the bench by {both(1e3 * left.value, 'um')}"
            if tapped
            else ""
        )
        + f"; against the play between its pitch diameter {origin}, {both(pitch_diameter, 'mm')}, "
        f"and that of the fullest cup, {both(limits.external_pitch_max, 'mm')}; {limits.source}",
        note=_advice(thread, closure.value, play, place.z)
        if not tapped
        else _of_cut(zone, thread, _taken_off(evidence, zone, read), left.value - play),
        stage=stage,
        when=When.of(solution.state),
    )


def cups_out(evidence: Evidence, stage: Stage, shift: float) -> Fits:
    """The fits in which a cup is screwed in or out, once the sleeve is finished: on the bench, and over the
    range of use."""
    stages = ("pressed",) if stage == "pressed" else ("pressed", "in use")
    states = (s for one in stages for s in _states(evidence, one, shift) if not s.blank)
    return evidence.study.fits(dict.fromkeys(states))


def cut_when_pressed(case: Case, zone: BoreZone) -> bool:
    """Whether a thread is cut, or a tap run through it, after pressing."""
    return zone.cut_true or case.tap_after_pressing


def _cut_text(zone: BoreZone) -> str:
    return "cut" if zone.cut_true else "tapped"


def _states(evidence: Evidence, stage: str, shift: float) -> Iterator[State]:
    return (fit.state for fit in evidence.at_rest(stage, shift).fits)  # type: ignore[arg-type]


def _advice(thread: Thread, closure: float, play: float, z: float) -> str:
    if closure <= play:
        return ""
    at, by, beyond = _in_words(thread, z, closure, closure - play)
    return f"run a tap after pressing: {at}, closes by up to {by}, {beyond} more than a full cup leaves"


def _taken_off(evidence: Evidence, zone: BoreZone, read: Callable[[FitSolution], _Closure]) -> _Closure:
    """What a tap run through on the bench takes off a thread."""
    fits = cups_out(evidence, "pressed", evidence.greatest)
    at = f"closure at {zone.z_start:.3f} mm, pressed"
    return read(fits.greatest(at, lambda s: read(s).closure, DISPLACEMENT)[1])


def _of_cut(zone: BoreZone, thread: Thread, taken: _Closure, beyond: float) -> str:
    """What cutting or a tap does, and what it cannot help. beyond: closure that comes later, less the play,
    mm."""
    at, by, more = _in_words(thread, taken.z, taken.closure, beyond)
    if zone.cut_true:
        return f"{at}: heat and cold take {more} more than a full cup leaves" if beyond > 0.0 else ""
    later = f"; heat and cold then take {more} more than a full cup leaves" if beyond > 0.0 else ""
    return f"the tap takes off up to {by}: {at}{later}"


def _in_words(thread: Thread, z: float, closure: float, beyond: float) -> tuple[str, str, str]:
    """Which thread and where, and two lengths, given in mm."""
    units = Units()
    at = f"{thread.designation}, most at z = {units.along_both(z)}"
    return at, units.both(1e3 * closure, "um"), units.both(1e3 * beyond, "um")


def _expansion_text(case: Case) -> str:
    known = case.cups is not None and case.cups.material is not None
    return (
        "the cup's own expansion counted in"
        if known
        else "a cup taken to expand as the sleeve does ([cups] material is not given)"
    )


class _Closure(NamedTuple):
    """Greatest diametral closure in a thread, and its r and z; since: of what came after it was cut or
    tapped on the bench; mm."""

    closure: float
    r: float
    z: float
    since: float


def closure_reader(case: Case, zone: BoreZone, pitch_diameter: float) -> Callable[[FitSolution], _Closure]:
    """A function that finds the greatest closure of a thread against a cup of the same temperature.

    A cup of unknown material is taken to expand as the sleeve does.
    """
    cup = case.cups.material if case.cups is not None else None
    metals = cup or case.sleeve_material, case.sleeve_material

    def field(solution: FitSolution) -> np.ndarray:
        _, z = _bore_nodes(solution)
        of_cup, of_sleeve = (metal.free_strain(solution.temperature_rise) for metal in metals)
        return solution.bore_closure(z) + pitch_diameter * (of_cup - of_sleeve)

    def read(solution: FitSolution) -> _Closure:
        r, z = _bore_nodes(solution)
        inside = (z >= zone.z_start - 1e-6) & (z <= zone.z_end + 1e-6)
        closure = np.where(inside, field(solution), -np.inf)
        k = int(np.argmax(closure))
        since = 0.0
        if cut_when_pressed(case, zone):
            before = as_pressed(case, solution.state)
            tapped = field(FitSolution(solution.mesh, before, solution.mesh.press(before)))
            since = float(np.max((closure - tapped)[inside]))
        return _Closure(float(closure[k]), float(r[k]), float(z[k]), since)

    return read


def _bore_nodes(solution: FitSolution) -> np.ndarray:
    """Coordinates r and z of the nodes of the sleeve's bore, (2, nodes), mm."""
    nodes = solution.mesh.face("sleeve.bore")
    return solution.mesh.meshed_joint.model.mesh.nodes[:, nodes]
