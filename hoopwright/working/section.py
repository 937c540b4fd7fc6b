"""A cut across the joint: its radii, and what the loads on one side of it come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, sin
from typing import NamedTuple

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.geometry.joint import Joint, Segment
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.loads.cases import LoadCase
from hoopwright.loads.traction import FourierTraction, beyond, resultant
from hoopwright.working.closing import given_property
from hoopwright.working.sheet import Sheet

STATICS = "[service], statics"


class Point(NamedTuple):
    """A point of the wall: body, radius and z, mm, and angle, rad."""

    body: str
    radius: float
    z: float
    theta: float


class Acting(NamedTuple):
    """A load case that acts; angle: of a load that goes round, rad, else None. name: in words."""

    case: LoadCase
    angle: float | None
    name: str


@dataclass(frozen=True)
class Wrench:
    """What the wall carries across a cut: force, N, and moment about the axis there, N·mm, each (x, y, z),
    that what lies to the right of it passes on to the left."""

    force: np.ndarray
    moment: np.ndarray


def section_wrench(acting: Acting, z: float) -> Wrench | None:
    """Forces across the plane z, mm, under a load. None inside a clamped band, where nothing but the
    clamp's own, unknown traction balances it."""
    case, angle, _ = acting
    clamp = case.clamped
    if clamp is not None and clamp.z_start <= z <= clamp.z_end:
        return None
    way = -1 if clamp is not None and z < clamp.z_start else 1
    if case.turning is None or angle is None:
        force, moment = _about(case.loads_and_reactions, z, way)
    else:
        c, s = cos(angle), sin(angle)
        parts = (case.turning.along_x, case.turning.along_y, case.turning.standing)
        (fx, mx), (fy, my), (fs, ms) = (_about(part, z, way) for part in parts)
        force, moment = c * fx + s * fy + fs, c * mx + s * my + ms
    return Wrench(way * force, way * moment)


def _about(tractions: Sequence[FourierTraction], z: float, way: int) -> tuple[np.ndarray, np.ndarray]:
    force, moment = resultant(beyond(tractions, z, way))
    return force, moment - np.cross([0.0, 0.0, z], force)


def add_radii(sheet: Sheet, evidence: Evidence, z: float) -> None:
    """Lines for the radii of both bodies at z, mm: r_1 bore, r_2 seat, r_3 outside; where there is no
    sleeve, r_1 is the bore of the shell as well."""
    bore, seat, outside = radii_at(evidence.study.joint, z)
    inside = "[shell] bore_diameter" if bore == seat else "[sleeve] bore_diameter"
    for symbol, value, meaning, key in (
        ("r_1", bore, "radius of the bore", inside),
        ("r_2", seat, "radius of the seat", "[shell] bore_diameter or readings"),
        ("r_3", outside, "radius of the outside", "[shell] outside_diameter"),
    ):
        sheet.case(symbol, value, "mm", f"{meaning} at z = {z:.1f} mm", key)
    given_property(sheet, "E_s", evidence.case.sleeve_material, "young_modulus")
    given_property(sheet, "E_h", evidence.case.shell_material, "young_modulus")


def radii_at(joint: Joint, z: float) -> tuple[float, float, float]:
    """Radius of bore, seat and outside at z, mm, where there is a shell."""
    shell, sleeve = _at(joint.shell, z), _at(joint.sleeve, z)
    assert shell is not None
    seat, outside = shell
    return (seat if sleeve is None else sleeve[0]), seat, outside


def in_shell(evidence: Evidence, z: float) -> bool:
    """Whether z, mm, lies in the shell, and not where the sleeve stands proud of it."""
    return -END_TOLERANCE <= z <= evidence.case.shell.width + END_TOLERANCE


def _at(segments: Sequence[Segment], z: float) -> tuple[float, float] | None:
    """Inner and outer radius of a body at z, mm; None where it is not."""
    for one in segments:
        if one.z_start - 1e-9 <= z <= one.z_end + 1e-9:
            share = (z - one.z_start) / (one.z_end - one.z_start)
            return (
                one.inner_start + share * (one.inner_end - one.inner_start),
                one.outer_start + share * (one.outer_end - one.outer_start),
            )
    return None


def young_of(body: str) -> str:
    """The symbol of Young's modulus of a body, as in `add_radii`."""
    return "E_h" if body == "shell" else "E_s"
