"""Yielding of the flange or the shoulder that the sleeve is pushed home against, under what pushes it.

    bearing of its face   σ = F / A
    its root              σ = √(σ_b² + 3 τ²),   τ = F / (π d t),   σ_b = 6 F e / (π d t²)

The face bears evenly, and the root takes all of F on strips that do not help each other round the ring,
with the lever e from the middle of the face: statics, and more than a ring bends. The grip is not
counted, and the stress of the fit, which limits itself, is not added.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, pi, sqrt
from typing import Literal

from hoopwright.case.model import Case
from hoopwright.checks.ends_crush import sleeve_face
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, not_in_the_case, row_of, worst_of
from hoopwright.checks.seat_demands import net_axial
from hoopwright.checks.sleeve_loads import cup_moves, stated_demand
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.geometry.land import End, at_end, opposite
from hoopwright.geometry.stop import is_stopped, shoulder_at
from hoopwright.strength import Allowable, allowable

ID, TITLE, UNIT = "stop_yields", "flange or shoulder yields", "MPa"
STAGES: tuple[Stage, ...] = ("pressed", "cups", "in use")
ENDS: tuple[End, ...] = ("left", "right")
Part = Literal["face", "root"]


@dataclass(frozen=True)
class StopFace:
    """A flange or a shoulder, in mm.

    towards: where it keeps the sleeve from moving. z: of its face. inner, outer: diameters of the ring that
    bears. root: diameter at which it joins the body it is part of; depth: along the axis there.
    """

    kind: Literal["flange", "shoulder"]
    towards: End
    body: str
    z: float
    inner: float
    outer: float
    root: float
    depth: float

    @property
    def area(self) -> float:
        """mm²."""
        return 0.25 * pi * max(self.outer**2 - self.inner**2, 0.0)

    @property
    def lever(self) -> float:
        """From the root to the middle of the ring that bears, mm."""
        return abs(0.25 * (self.inner + self.outer) - 0.5 * self.root)

    def stress(self, part: Part, force: float) -> float:
        """Mean stress of the face, or equivalent stress of the root, under a force, N, MPa."""
        if part == "face":
            return force / self.area if self.area else inf
        shear = force / (pi * self.root * self.depth)
        bending = 6.0 * force * self.lever / (pi * self.root * self.depth**2)
        return sqrt(bending**2 + 3.0 * shear**2)


@dataclass(frozen=True)
class StopLoad:
    """What pushes the sleeve onto a stop, N. stated: by [demand]; load: of a load case; pull: of a cup."""

    stated: float = 0.0
    load: float = 0.0
    pull: float = 0.0
    load_case: str = ""

    @property
    def force(self) -> float:
        return self.stated + self.load + self.pull

    @property
    def what(self) -> str:
        """Whatever has a share in it, in words."""
        shares = (
            (self.load, f"'{self.load_case}'"),
            (self.stated, "[demand]"),
            (self.pull, "the pull of a cup"),
        )
        return " and ".join(name for share, name in shares if share)


def stop_yields(evidence: Evidence) -> Margin:
    """Face and root of every stop under what pushes the sleeve onto it, in both bodies, against yield."""
    faces = [face for end in ENDS for face in stop_faces(evidence, end)]
    if not faces:
        return not_in_the_case(ID, TITLE, UNIT, "pressed", "the sleeve has no stop")
    cells = [
        worst_of(found)
        for stage in STAGES
        if (found := [cell for face in faces for cell in _cells(evidence, stage, face)])
    ]
    return row_of(cells) if cells else _asked(evidence, faces[0])


def stop_faces(evidence: Evidence, towards: End) -> Iterator[StopFace]:
    """The stops that keep the sleeve from moving towards an end."""
    case = evidence.case
    shell, sleeve = case.shell, case.sleeve
    if not is_stopped(shell, sleeve, towards):
        return
    if sleeve.flange_end == opposite(towards):
        end = sleeve.flange_end
        z = 0.0 if end == "left" else shell.width
        bore, outside = (float(at_end(lands, end).diameter_at(z)) for lands in (shell.bore, shell.outside))
        root = float(at_end(sleeve.outside, end).diameter_at(z))
        outer = min(sleeve.flange_diameter, outside)
        yield StopFace("flange", towards, "sleeve", z, bore, outer, root, sleeve.flange_thickness)
    land = shoulder_at(shell, sleeve, towards)
    if land is not None:
        z = sleeve.z_end if towards == "right" else sleeve.z_start
        inner, outer = sleeve_face(evidence, towards)
        root = max(float(bore.diameter_at(z)) for bore in shell.bore if bore.z_start <= z <= bore.z_end)
        inner = max(inner, float(land.diameter_at(z)))
        yield StopFace("shoulder", towards, "shell", z, inner, min(outer, root), root, land.length)


def worst_push(evidence: Evidence, stage: Stage, towards: End) -> StopLoad | None:
    """The load of a stage that pushes the sleeve hardest towards an end; None where none does."""
    loads = [load for load in _pushes(evidence, stage, towards) if load.force > 0.0]
    return max(loads, key=lambda load: load.force, default=None)


def _pushes(evidence: Evidence, stage: Stage, towards: End) -> Iterator[StopLoad]:
    case, demand = evidence.case, stated_demand(evidence.case)
    stated = 0.0 if demand is None else abs(demand.axial)
    if stage == "pressed":
        yield StopLoad(stated)
    elif stage == "cups":
        yield from _cup_pulls(case, towards)
    elif evidence.is_in_use or case.cups:
        pulls = list(_cup_pulls(case, towards))
        alone = case.cups is not None and len(case.cups.sides) == 1  # two pull against each other
        pull = max((load.pull for load in pulls), default=0.0) if alone else 0.0
        yield StopLoad(stated, pull=pull)
        service = evidence.study.service
        for one in service.cases if service else ():
            along = net_axial(one)
            pushing = along if towards == "right" else -along
            yield StopLoad(stated, max(pushing, 0.0), pull, one.name)


def _cup_pulls(case: Case, towards: End) -> Iterator[StopLoad]:
    """The pull of every cup on that side, which draws the sleeve towards it."""
    for load in cup_moves(case):
        if load.cup is not None and load.cup.side == towards and load.axial:
            yield StopLoad(pull=load.axial)


def _cells(evidence: Evidence, stage: Stage, face: StopFace) -> Iterator[Margin]:
    load = worst_push(evidence, stage, face.towards)
    if load is None:
        return
    rises = (evidence.bench,) if stage == "pressed" else evidence.rises
    for rise in rises:
        for part, body in parts_of(face):
            yield _cell(evidence, stage, face, part, body, load, rise)


def parts_of(face: StopFace) -> tuple[tuple[Part, str], ...]:
    """What of a stop may give way, and in which body."""
    return ("root", face.body), ("face", "sleeve"), ("face", "shell")


def metal_of(case: Case, stage: Stage, face: StopFace, part: Part, body: str, rise: float) -> Allowable:
    """What a part of a stop stands at a temperature, K above 20 °C."""
    z = face.z if body == "shell" else None
    direction: Literal["axial", "any"] = "axial" if part == "face" else "any"
    return allowable(case, body, stage, z=z, direction=direction, rise=rise)


def _cell(
    evidence: Evidence,
    stage: Stage,
    face: StopFace,
    part: Part,
    body: str,
    load: StopLoad,
    rise: float,
) -> Margin:
    metal = metal_of(evidence.case, stage, face, part, body, rise)
    ring = f"even over the ring of {face.area:.0f} mm² ({face.area / 25.4**2:.2g} in²) that bears"
    how = (
        ring
        if part == "face"
        else f"shear and bending of its root, Ø {Units().both(face.root, 'mm')}, {ring}"
    )
    at = 0.25 * (face.inner + face.outer) if part == "face" else 0.5 * face.root
    return Margin(
        id=ID,
        title=TITLE,
        demand=Estimate(face.stress(part, load.force)),
        capacity=Estimate(metal.value),
        unit=UNIT,
        factor=evidence.case.factors.yielding,
        where=Location(body, at, face.z),
        basis=f"{load.what} onto the {face.kind}, {how}, the grip not counted; against {metal.text}",
        doubt=metal.doubt,
        stage=stage,
        when=When(rise, load_case=load.load_case),
    )


def _asked(evidence: Evidence, face: StopFace) -> Margin:
    """The row of a stop that nothing is said to push the sleeve onto."""
    return Margin(
        id=ID,
        title=TITLE,
        demand=None,
        capacity=None,
        unit=UNIT,
        factor=evidence.case.factors.yielding,
        where=Location(face.body, 0.5 * face.root, face.z),
        basis=f"what pushes the sleeve onto the {face.kind}",
        note="give [demand] axial_force or a service load along the axis to have this judged",
    )
