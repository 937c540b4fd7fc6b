"""The nearest formula by hand for what cups and loads do at a place: a pull, a beam, or a ring."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from math import radians
from types import ModuleType

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.cup_load import engagement_ends
from hoopwright.loads.cases import Cycle, LoadCase
from hoopwright.service.study import ServiceSolution, Spot
from hoopwright.working import beam, ring
from hoopwright.working.section import Acting, Point, in_shell, radii_at
from hoopwright.working.sheet import ByHand, Sheet
from hoopwright.working.stress_parts import CUPS, Place, add_share_of, nearest_angle

PULL = "the pull of the cups, even over the wall"
PULL_REASON = (
    "the pull enters at thread and flange and is even only some walls away from both; the seat shares it, "
    "and the lever between thread and seat bends the wall"
)
TURN = 72
"""Angles at which the worst of a load that goes round is sought."""


def beside_components(evidence: Evidence, row: Margin, sheet: Sheet, place: Place) -> tuple[ByHand, ...]:
    """The formulae for what cups and loads do to the stress at a place, and a line on the sheet for each to
    be held against."""
    found = _of_cups(evidence, sheet, place) if CUPS in place.parts else []
    if place.instant is None or place.instant.case is None:
        return tuple(found)
    add_share_of(sheet, place, "σ_θl", "σ_θ", [place.loads], "hoop stress of the loads alone")
    add_share_of(sheet, place, "σ_zl", "σ_z", [place.loads], "axial stress of the loads alone")
    service = evidence.study.service
    assert service is not None
    acting = Acting(service.cases[place.instant.case], place.instant.angle, place.instant.name)
    hoop = abs(sheet.value("σ_θl")) > abs(sheet.value("σ_zl"))
    point = Point(place.body, place.radius, place.z, place.theta)
    stuck = row.when.joint == "stuck"
    hand = _stress(evidence, point, [acting], hoop=hoop, stuck=stuck)
    if hand is None and hoop:
        hand = _stress(evidence, point, [acting], hoop=False, stuck=stuck)
    return (*found, *([] if hand is None else [hand]))


def _stress(
    evidence: Evidence, point: Point, loads: Sequence[Acting], *, hoop: bool, stuck: bool, beside: str = ""
) -> ByHand | None:
    """The formula for the hoop or the axial stress of loads at a point, half its range where there is
    another line, `beside`, for it; None where neither is for the place."""
    if not in_shell(evidence, point.z):  # the formulae are those of one wall of both bodies
        return None
    sheet, stresses = Sheet(), []
    add: Callable[[Acting, str, str], bool]
    of: ModuleType
    if hoop:
        bent = ring.Ring(sheet, evidence, point, stuck=stuck)
        add, of, line = bent.add_stress, ring, "σ_θl"
    else:
        beam.add_beam(sheet, evidence, point)
        sheet.agreed("θ", point.theta, "rad", "angle of the place that governs", "as above")
        add, of, line = partial(beam.add_beam_stress, sheet, point), beam, "σ_zl"
    sheet.agreed("r", point.radius, "mm", "radius of the place that governs", "as above")
    for k, acting in enumerate(loads, start=1):
        symbol, number = (f"σ_{k}", str(k)) if beside else ("hand", "")
        if not add(acting, symbol, number):
            return None
        stresses.append(symbol)
    if beside:
        listed = ", ".join([*stresses, "0"])
        sheet.step(
            "hand", f"(max({listed}) - min({listed})) / 2", "MPa", "half the range of it, rest included"
        )
    return ByHand(tuple(sheet.lines), beside or line, of.REASON, of.TITLE)


def _of_cups(evidence: Evidence, sheet: Sheet, place: Place) -> list[ByHand]:
    """The formula for the greater of the hoop and the axial stress that the cups make, where one is for the
    place."""
    state = place.fit.state
    pull = state.tension if state.path is None else state.path.clamped[0].tension
    add_share_of(sheet, place, "σ_θc", "σ_θ", [CUPS], "hoop stress of the cups alone")
    add_share_of(sheet, place, "σ_zc", "σ_z", [CUPS], "axial stress of the cups alone")
    point, hand = Point(place.body, place.radius, place.z, place.theta), Sheet()
    hoop = abs(sheet.value("σ_θc")) > abs(sheet.value("σ_zc"))
    if not in_shell(evidence, place.z):
        return []
    if hoop and ring.add_wedge(hand, evidence, point, pull):
        return [ByHand(tuple(hand.lines), "σ_θc", ring.WEDGE_REASON, ring.WEDGE)]
    ends = engagement_ends(evidence.case)
    if hoop or evidence.case.draws_sleeve:  # the seat takes a single cup's pull over from place to place
        return []
    if place.body == "sleeve" and not ends[1] <= place.z <= ends[-2]:
        return []
    bore, seat, outside = radii_at(evidence.study.joint, place.z)
    inner, outer = (seat, outside) if place.body == "shell" else (bore, seat)
    hand.case("F", pull, "N", "pull of the cups, as tightened", "[cups] torques and friction")
    hand.case("r_i", inner, "mm", f"inner radius of the {place.body} there", f"[{place.body}] diameters")
    hand.case("r_o", outer, "mm", "its outer radius", f"[{place.body}] diameters")
    sign = "-" if place.body == "shell" else ""
    hand.step("hand", f"{sign}F / (π * (r_o**2 - r_i**2))", "MPa", "axial stress of the pull")
    return [ByHand(tuple(hand.lines), "σ_zc", PULL_REASON, PULL)]


def amplitude_by_hand(
    evidence: Evidence, service: ServiceSolution, cycle: Cycle, spot: Spot, beside: str
) -> tuple[ByHand, ...]:
    """Amplitude of the hoop or the axial stress, whichever swings more, from rest to every load."""
    point, stuck = Point(spot.body, spot.r, spot.z, radians(spot.theta)), service.joint_condition == "stuck"
    hoop = _hoop_swings_more(service, cycle, point)
    loads = [
        one for case in cycle.cases for one in _extremes(evidence, case, point, hoop=hoop, stuck=stuck)
    ]
    hand = _stress(evidence, point, loads, hoop=hoop, stuck=stuck, beside=beside)
    return () if hand is None else (hand,)


def _hoop_swings_more(service: ServiceSolution, cycle: Cycle, point: Point) -> bool:
    """Whether the hoop stress swings more than the axial one at a point over a cycle, rest included."""
    wall, names = service.walls[point.body], {case.name for case in cycle.cases}
    surface = int(np.argmin(np.abs(wall.r[:, 0] - point.radius)))
    line, angle = (
        int(np.argmin(np.abs(wall.z - point.z))),
        nearest_angle(wall.theta, float(np.degrees(point.theta))),
    )
    moments = [
        k
        for case, block in zip(service.instants.cases, service.instants.blocks, strict=True)
        if case.name in names
        for k in block
    ]
    history = wall.stress[[*moments, service.instants.no_load.start], surface, line, angle]
    swing = np.ptp(history[:, [1, 2]], axis=0)
    return bool(swing[0] > swing[1])


def _extremes(evidence: Evidence, case: LoadCase, point: Point, *, hoop: bool, stuck: bool) -> list[Acting]:
    """A load that stands, or one that goes round at the two angles that by hand make most and least of the
    stress at a point."""
    if case.turning is None:
        return [Acting(case, None, case.name)]
    angles = np.linspace(0.0, 2.0 * np.pi, TURN, endpoint=False)
    turn = [Acting(case, float(a), f"{case.name} at {np.degrees(a):.0f}°") for a in angles]
    hands = [_stress(evidence, point, [one], hoop=hoop, stuck=stuck) for one in turn]
    stresses = [0.0 if hand is None else hand.lines[-1].value for hand in hands]
    return [turn[int(np.argmax(stresses))], turn[int(np.argmin(stresses))]]
