"""Geometric validation of a shell, a sleeve and their joint before anything is computed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple, TypeVar

from hoopwright.geometry.land import End, Land, at_end
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import BoreZone, Sleeve
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.geometry.stop import shoulder_at
from hoopwright.geometry.thread import Thread

Stretch = TypeVar("Stretch", Land, BoreZone)
ENDS: tuple[End, ...] = ("left", "right")

MAX_RELATIVE_INTERFERENCE = 0.02
"""Fraction of the diameter. A 40 mm fit would have 0.8 mm of interference, far beyond yield in any metal,
so a size or a unit is wrong. Common practice, no source."""


class GeometryFault(NamedTuple):
    """One geometric fault: the part, the size at fault, what is wrong, and how to correct it."""

    part: str
    key: str
    problem: str
    advice: str


def size(millimetres: float) -> str:
    """A length in mm and inches, for messages."""
    return f"{millimetres:.6g} mm ({millimetres / 25.4:.5g} in)"


def with_ends_snapped(bands: tuple[Stretch, ...], *, z_start: float, z_end: float) -> tuple[Stretch, ...]:
    """The same bands, with ends that nearly meet (within END_TOLERANCE) made to coincide."""
    snapped: list[Stretch] = []
    reached = z_start
    for index, band in enumerate(bands):
        start = reached if abs(band.z_start - reached) <= END_TOLERANCE else band.z_start
        last = index == len(bands) - 1
        end = z_end if last and abs(band.z_end - z_end) <= END_TOLERANCE else band.z_end
        snapped.append(replace(band, z_start=start, z_end=end))
        reached = end
    return tuple(snapped)


def shell_faults(shell: Shell) -> list[GeometryFault]:
    """All faults of a shell on its own; empty when there are none."""
    faults: list[GeometryFault] = []
    if not shell.width > 0.0:
        faults.append(GeometryFault("shell", "width", "not above zero", "give the width as measured"))
    faults += _surface_faults("shell", "outside", shell.outside, 0.0, shell.width)
    faults += _surface_faults("shell", "bore", shell.bore, 0.0, shell.width)
    return faults or list(_wall_faults("shell", shell.outside, shell.bore))


def sleeve_faults(sleeve: Sleeve) -> list[GeometryFault]:
    """All faults of a sleeve on its own; empty when there are none."""
    faults: list[GeometryFault] = []
    if not sleeve.length > 0.0:
        faults.append(GeometryFault("sleeve", "length", "not above zero", "give the length as turned"))
    bore = tuple(Land(b.z_start, b.z_end, b.diameter, b.diameter) for b in sleeve.bore)
    faults += _flange_faults(sleeve)
    if faults:
        return faults
    faults += _surface_faults("sleeve", "outside", sleeve.outside, *sleeve.neck)
    faults += _surface_faults("sleeve", "bore", bore, sleeve.z_start, sleeve.z_end)
    faults += _chamfer_faults(sleeve)
    for zone in sleeve.bore:
        if zone.thread is not None:
            faults += _thread_faults(zone, zone.thread)
    return faults or list(_wall_faults("sleeve", sleeve.outside, bore))


def joint_faults(shell: Shell, sleeve: Sleeve) -> list[GeometryFault]:
    """All faults between a valid shell and a valid sleeve; empty when they make a joint."""
    faults: list[GeometryFault] = []
    if sleeve.z_end <= END_TOLERANCE or sleeve.z_start >= shell.width - END_TOLERANCE:
        problem = (
            f"reaches from {size(sleeve.z_start)} to {size(sleeve.z_end)}, wholly outside the shell, "
            f"which is {size(shell.width)} wide"
        )
        return [GeometryFault("sleeve", "start", problem, "move its start into the shell")]
    fits = list(_interferences(shell, sleeve))
    if not fits:
        problem = "nothing of it but its chamfers lies in the shell"
        return [GeometryFault("sleeve", "start", problem, "move its start, or shorten its chamfers")]
    faults += _stop_faults(shell, sleeve)
    tightest, diameter = max(fits)
    if tightest <= 0.0:
        problem = f"nowhere larger than the shell's bore; the closest is a gap of {size(abs(tightest))}"
        advice = "give the sleeve an outside diameter larger than the bore by the interference"
        faults.append(GeometryFault("sleeve", "outside", problem, advice))
    elif tightest > MAX_RELATIVE_INTERFERENCE * diameter:
        problem = (
            f"the interference of {size(tightest)} is more than "
            f"{100 * MAX_RELATIVE_INTERFERENCE:g} % of the diameter"
        )
        advice = "check the unit and the digits of the sleeve's outside and the shell's bore"
        faults.append(GeometryFault("sleeve", "outside", problem, advice))
    return faults


def _surface_faults(
    part: str, key: str, lands: tuple[Land, ...], z_start: float, z_end: float
) -> Iterator[GeometryFault]:
    """Faults of a surface: its lands must have length and diameter and cover z_start to z_end in order."""
    if not lands:
        yield GeometryFault(part, key, "has no land", "give at least one")
        return
    reached = z_start
    for number, land in enumerate(lands, start=1):
        if not land.length > 0.0:
            problem = f"land {number} ends at {size(land.z_end)}, not after its start"
            yield GeometryFault(part, key, problem, "give from and to with from the smaller")
        if not (land.diameter_start > 0.0 and land.diameter_end > 0.0):
            yield GeometryFault(part, key, f"land {number} has no positive diameter", "give its diameter")
        if not land.plus_minus >= 0.0:
            yield GeometryFault(part, key, f"land {number} has a negative plus_minus", "drop the sign")
        yield from _junction_faults(part, key, number, reached, land.z_start)
        reached = land.z_end
    if abs(reached - z_end) > END_TOLERANCE:
        side = "before" if reached < z_end else "beyond"
        problem = f"the last land ends at {size(reached)}, {side} the end at {size(z_end)}"
        yield GeometryFault(part, key, problem, f"end the last land at {z_end:.9g} mm")


def _junction_faults(
    part: str, key: str, number: int, reached: float, start: float
) -> Iterator[GeometryFault]:
    if abs(start - reached) <= END_TOLERANCE:
        return
    advice = f"start land {number} at {reached:.9g} mm"
    if number == 1:
        problem = f"the first land starts at {size(start)}, not at the end at {size(reached)}"
    elif start > reached:
        problem = f"a gap of {size(start - reached)} before land {number}"
    else:
        problem = f"land {number} overlaps the one before it by {size(reached - start)}"
        advice += ", and list the lands from left to right"
    yield GeometryFault(part, key, problem, advice)


def _wall_faults(part: str, outside: tuple[Land, ...], bore: tuple[Land, ...]) -> Iterator[GeometryFault]:
    """Fault of a wall that vanishes, reported once, where it is thinnest."""
    walls = [(outer - inner, z, outer, inner) for z, outer, inner in _stations(outside, bore)]
    thinnest, z, outer, inner = min(walls)
    if thinnest <= 0.0:
        problem = f"no wall at z = {size(z)}: the bore is {size(inner)} and the outside is {size(outer)}"
        yield GeometryFault(part, "bore", problem, "give a bore smaller than the outside")


def _flange_faults(sleeve: Sleeve) -> Iterator[GeometryFault]:
    """Faults of the flange; none without one."""
    end = sleeve.flange_end
    if end is None:
        return
    if not 0.0 < sleeve.flange_thickness < sleeve.length:
        problem = f"the flange leaves nothing of the {size(sleeve.length)} long sleeve"
        yield GeometryFault("sleeve", "flange_thickness", problem, "length is that of both together")
    turned = max((land.greatest_diameter for land in sleeve.outside), default=0.0)
    if not sleeve.flange_diameter > turned:
        problem = f"not larger than the sleeve's outside, {size(turned)}"
        yield GeometryFault("sleeve", "flange_diameter", problem, "give that of the flange")
    if getattr(sleeve, f"chamfer_{end}") > 0.0:
        problem = "the flange is at that end, which does not lead in"
        yield GeometryFault("sleeve", f"chamfer_{end}", problem, "leave it out")


def _stop_faults(shell: Shell, sleeve: Sleeve) -> Iterator[GeometryFault]:
    """Faults of a stop that does not lie where the shell has a face or a shoulder for it."""
    flange, shoulder = sleeve.flange_end, sleeve.shoulder_end
    if flange is not None:
        at = sleeve.neck[0] if flange == "left" else sleeve.neck[1]
        face = 0.0 if flange == "left" else shell.width
        if abs(at - face) > END_TOLERANCE:
            problem = (
                f"the flange lies against z = {size(at)}, and the shell's {flange} face is at {size(face)}"
            )
            start = sleeve.z_start + face - at
            yield GeometryFault(
                "sleeve", "start", problem, f'write start = "{start:.9g} mm", or another length'
            )
        bore = float(at_end(shell.bore, flange).diameter_at(face))
        if sleeve.flange_diameter <= bore:
            problem = f"no larger than the bore at that face, {size(bore)}, so that it rests on nothing"
            yield GeometryFault("sleeve", "flange_diameter", problem, "give that of the flange")
    if shoulder is not None and shoulder_at(shell, sleeve, shoulder) is None:
        z = sleeve.z_end if shoulder == "right" else sleeve.z_start
        problem = (
            f"no shoulder at the sleeve's {shoulder} end, z = {size(z)}: no land of the bore begins there "
            "and covers half of the sleeve's wall"
        )
        yield GeometryFault("sleeve", "stop", problem, "list the lands under [[shell.bore]]")


def _chamfer_faults(sleeve: Sleeve) -> Iterator[GeometryFault]:
    for key in ("chamfer_left", "chamfer_right"):
        if getattr(sleeve, key) < 0.0:
            yield GeometryFault("sleeve", key, "negative", "give its axial length, or leave it out")
    if sleeve.length > 0.0 and sleeve.chamfer_left + sleeve.chamfer_right >= sleeve.length:
        key = "chamfer_left" if sleeve.chamfer_left >= sleeve.chamfer_right else "chamfer_right"
        problem = f"the chamfers leave nothing of the {size(sleeve.length)} long sleeve"
        yield GeometryFault("sleeve", key, problem, "give shorter chamfers")
    for end in ENDS:
        depth = sleeve.chamfer_depth(end)
        if depth is None or not (sleeve.outside and sleeve.bore):
            continue
        outside, bore = at_end(sleeve.outside, end), at_end(sleeve.bore, end)
        wall = 0.5 * (outside.least_diameter - bore.diameter)
        if 0.0 < wall <= depth:
            problem = f"the chamfer is {size(depth)} deep, and the wall there {size(wall)}"
            advice = "give a smaller angle to the axis, or a shorter chamfer"
            yield GeometryFault("sleeve", f"chamfer_{end}_angle", problem, advice)


def _thread_faults(zone: BoreZone, thread: Thread) -> Iterator[GeometryFault]:
    if not thread.pitch > 0.0:
        yield GeometryFault("sleeve", "bore", "the thread's pitch is not above zero", "give its pitch")
    elif thread.pitch > zone.length > 0.0:
        problem = f"the thread's pitch of {size(thread.pitch)} is longer than its zone"
        yield GeometryFault("sleeve", "bore", problem, "give the pitch of one turn")
    if not 0.0 < thread.minor < thread.major:
        problem = (
            f"the thread's minor diameter {size(thread.minor)} is not below "
            f"its major diameter {size(thread.major)}"
        )
        yield GeometryFault("sleeve", "bore", problem, "the minor diameter is the one at the crests")


def _stations(outer: tuple[Land, ...], inner: tuple[Land, ...]) -> Iterator[tuple[float, float, float]]:
    """Yield (z, outer diameter, inner diameter) at both ends of every stretch that two lands share.

    Diameters are linear in between, so the extremes of their difference are at these ends.
    """
    for o in outer:
        for i in inner:
            start, end = max(o.z_start, i.z_start), min(o.z_end, i.z_end)
            if start < end:
                for z in (start, end):
                    yield z, float(o.diameter_at(z)), float(i.diameter_at(z))


def _interferences(shell: Shell, sleeve: Sleeve) -> Iterator[tuple[float, float]]:
    """Yield (diametral interference, bore diameter), mm, along the sleeve between its chamfers."""
    left, right = sleeve.z_start + sleeve.chamfer_left, sleeve.z_end - sleeve.chamfer_right
    contact = tuple(_clipped(land, left, right) for land in sleeve.outside)
    for _, outside, bore in _stations(tuple(c for c in contact if c is not None), shell.bore):
        yield outside - bore, bore


def _clipped(land: Land, left: float, right: float) -> Land | None:
    start, end = max(land.z_start, left), min(land.z_end, right)
    if start >= end:
        return None
    d_start, d_end = float(land.diameter_at(start)), float(land.diameter_at(end))
    return Land(start, end, d_start, d_end, land.plus_minus)
