"""Mesh the joint: both bodies on common mesh lines, refined at the ends of contact, steps and faces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from hoopwright.fem.elastic import Elastic
from hoopwright.fem.grading import Focus, decay_length, graded_lines
from hoopwright.fem.grid import RowSizes, body_grid, cone_step
from hoopwright.fem.harmonic_load import HarmonicLoads
from hoopwright.fem.interface import Interface, interface
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.fem.stress import StressRecovery
from hoopwright.geometry.joint import Joint, Segment
from hoopwright.geometry.stations import distinct

# Contact is taken as continuous over a step in interference below this fraction of the greatest one.
INTERFERENCE_STEP = 0.02


@dataclass(frozen=True)
class Resolution:
    """Element sizes, as fractions of the thinnest wall unless stated otherwise.

    elements_through_wall: rows through the thinnest wall of each body, before refinement towards the
    joint. at_joint: row thickness at the joint; row_growth: its increase per distance from there.
    at_contact_end: element length where contact ends inside a longer body and the pressure is singular.
    at_step: where interference or a profile steps. at_free_end: at end faces. growth: increase of
    element length per distance from those places. largest: greatest element length, as a fraction of
    the shorter decay length √(Rt)/[3(1−ν²)]^¼.
    """

    elements_through_wall: float = 4
    at_joint: float = 0.003
    row_growth: float = 1.5
    at_contact_end: float = 0.004
    at_step: float = 0.1
    at_free_end: float = 0.04
    growth: float = 0.65
    largest: float = 0.5

    @property
    def rows(self) -> RowSizes:
        return RowSizes(self.at_joint, self.row_growth, 1.0 / self.elements_through_wall)

    def coarser(self) -> Resolution:
        """The coarser mesh for the estimate of numerical error: elements 1.5 times as long."""
        return self.scaled(1.5)

    def scaled(self, factor: float) -> Resolution:
        """All element sizes multiplied by the factor; at least two rows through a wall remain."""
        return replace(
            self,
            elements_through_wall=max(2.0, self.elements_through_wall / factor),
            at_joint=self.at_joint * factor,
            row_growth=self.row_growth * factor,
            at_contact_end=self.at_contact_end * factor,
            at_step=self.at_step * factor,
            at_free_end=self.at_free_end * factor,
            growth=self.growth * factor,
            largest=self.largest * factor,
        )


@dataclass(frozen=True)
class MeshedJoint:
    """The finite-element model of both bodies, the node pairs between them, and their joint."""

    model: Model
    interface: Interface
    joint: Joint

    @cached_property
    def recovery(self) -> StressRecovery:
        """Stress recovery on this mesh."""
        return StressRecovery(self.model)

    @cached_property
    def harmonic_loads(self) -> HarmonicLoads:
        """Nodal loads of tractions on this mesh."""
        return HarmonicLoads(self.model.mesh)


def mesh_joint(
    joint: Joint,
    materials: Mapping[str, Elastic],
    resolution: Resolution,
    *,
    load_edges: Sequence[float] = (),
) -> MeshedJoint:
    """Mesh shell and sleeve on common mesh lines, so that their nodes match along the seats.

    materials: keys "shell" and "sleeve". load_edges: z, mm, where loads begin and end; a mesh line is
    placed at each. Raises MeshError where the outline cannot be meshed.
    """
    outlines = {"sleeve": joint.sleeve, "shell": joint.shell}
    wall = min(s.wall for segments in outlines.values() for s in segments)
    shortest = min(_shortest_decay(segments, materials[name]) for name, segments in outlines.items())
    edges = [z for z in load_edges if joint.shell[0].z_start < z < joint.shell[-1].z_end]
    ends = [z for segments in outlines.values() for s in segments for z in (s.z_start, s.z_end)]
    breaks = distinct(ends + edges)
    lines = graded_lines(
        breaks,
        _foci(joint, edges, wall, resolution),
        largest=resolution.largest * shortest,
        growth=resolution.growth,
    )
    seat_step = min(cone_step(segments) for segments in outlines.values())
    grids = [
        body_grid(name, segments, lines, sizes=resolution.rows, seat_step=seat_step)
        for name, segments in outlines.items()
    ]
    mesh = join(*grids)
    return MeshedJoint(Model(mesh, dict(materials)), interface(mesh, joint.seats), joint)


def _shortest_decay(segments: Sequence[Segment], material: Elastic) -> float:
    return min(
        decay_length(0.5 * (s.inner_start + s.outer_start), s.wall, material.poisson_ratio)
        for s in segments
    )


def _foci(joint: Joint, edges: Sequence[float], wall: float, resolution: Resolution) -> list[Focus]:
    left = min(joint.shell[0].z_start, joint.sleeve[0].z_start)
    right = max(joint.shell[-1].z_end, joint.sleeve[-1].z_end)
    foci = [Focus(z, resolution.at_free_end * wall) for z in (left, right)]
    foci += [Focus(z, resolution.at_step * wall) for z in edges]
    foci += [Focus(s.z_start, resolution.at_step * wall) for s in joint.shell[1:]]
    foci += [
        Focus(s.z_start, resolution.at_step * wall)
        for s in joint.sleeve[1:]
        if not joint.shell[0].z_start < s.z_start < joint.shell[-1].z_end
    ]
    foci += [Focus(z, resolution.at_contact_end * wall) for z in _contact_ends(joint) if left < z < right]
    return foci


def _contact_ends(joint: Joint) -> list[float]:
    """z, mm, where contact may end: the ends of each continuous run of seats, and steps in interference
    within a run, where the looser side lifts off over a short length beside the step."""
    starts = {s.z_start: s.interference_start for s in joint.seats}
    ends = {s.z_end: s.interference_end for s in joint.seats}
    greatest = max((abs(x) for x in (*starts.values(), *ends.values())), default=0.0)

    def jumps(z: float, here: float, others: Mapping[float, float]) -> bool:
        met = [there for at, there in others.items() if abs(at - z) < 1e-6]
        return not met or abs(met[0] - here) > INTERFERENCE_STEP * greatest

    found = [z for z, here in starts.items() if jumps(z, here, ends)]
    found += [z for z, here in ends.items() if jumps(z, here, starts)]
    return sorted(set(found))
