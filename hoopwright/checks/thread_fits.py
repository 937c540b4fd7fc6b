"""Fit of the thread after pressing: its closure against the play that its limits of size leave.

Teeth carry no hoop stress and move with their roots, so pitch and minor diameter close as the bore does.
"""

from __future__ import annotations

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.display import Units
from hoopwright.estimate import DISPLACEMENT, Estimate
from hoopwright.fit import FitSolution
from hoopwright.geometry import BoreZone, Thread
from hoopwright.geometry.thread_limits import limits_of


def thread_fits(evidence: Evidence) -> Margin:
    """The least margin of closure against play over the threads of the sleeve."""
    zones = [(zone, zone.thread) for zone in evidence.case.sleeve.bore if zone.thread is not None]
    margins = [_margin(evidence, zone, thread) for zone, thread in zones]
    if margins:
        return min(margins, key=lambda m: m.margin if m.margin is not None else 0.0)
    return Margin(
        "thread_fits",
        "thread fits, pressed",
        None,
        None,
        "um",
        1.0,
        Location("sleeve"),
        "the sleeve has no thread",
        applies=False,
    )


def _margin(evidence: Evidence, zone: BoreZone, thread: Thread) -> Margin:
    limits = limits_of(thread)
    pitch_diameter = thread.cut_pitch_diameter or limits.internal_pitch_min
    play = limits.min_clearance(pitch_diameter)
    closure, solution = evidence.tightest.greatest(
        f"closure at {zone.z_start:.3f} mm", lambda s: _closure(s, zone)[0], DISPLACEMENT
    )
    least, _ = evidence.loosest.least(
        f"least closure at {zone.z_start:.3f} mm", lambda s: _closure(s, zone)[0], DISPLACEMENT
    )
    _, r, z = _closure(solution, zone)
    tapped = evidence.case.tap_after_pressing
    origin = "as measured before pressing" if thread.cut_pitch_diameter else "at its least limit"
    return Margin(
        id="thread_fits",
        title="thread fits, pressed",
        demand=Estimate(0.0) if tapped else closure * 1e3,
        capacity=Estimate(1e3 * play),
        unit="um",
        factor=1.0,
        where=Location("sleeve", r, z),
        basis=f"{thread.designation}: the thread closes by {1e3 * least.value:.1f} to "
        f"{1e3 * closure.value:.1f} µm on diameter where most, least to greatest interference; "
        f"against the play between its pitch diameter {origin}, {pitch_diameter:.3f} mm, "
        f"and that of the fullest cup, {limits.external_pitch_max:.3f} mm; {limits.source}",
        note=_advice(thread, closure.value, play, z, tapped),
    )


def _advice(thread: Thread, closure: float, play: float, z: float, tapped: bool) -> str:
    units = Units()
    at = f"{thread.designation}, most at z = {units.both(z, 'mm')}"
    if tapped:
        return f"the tap takes off up to {units.both(1e3 * closure, 'um')}: {at}"
    if closure > play:
        return (
            f"run a tap after pressing: {at}, closes by up to {units.both(1e3 * closure, 'um')}, "
            f"{units.both(1e3 * (closure - play), 'um')} more than a full cup leaves"
        )
    return ""


def _closure(solution: FitSolution, zone: BoreZone) -> tuple[float, float, float]:
    """Greatest diametral closure in the zone, and its r and z, mm."""
    nodes = solution.mesh.face("sleeve.bore")
    r, z = solution.mesh.meshed_joint.model.mesh.nodes[:, nodes]
    inside = (z >= zone.z_start - 1e-6) & (z <= zone.z_end + 1e-6)
    closure = np.where(inside, -2.0 * solution.radial_displacement("sleeve.bore", z), -np.inf)
    k = int(np.argmax(closure))
    return float(closure[k]), float(r[k]), float(z[k])
