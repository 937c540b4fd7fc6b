"""From the outlines of a joint to a mesh graded for what happens in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from fem.elastic import Elastic
from fem.grading import Focus, decay_length, graded_lines
from fem.grid import RowSizes, body_grid, cone_step
from fem.interface import Interface, interface
from fem.mesh import join
from fem.stiffness import Model
from geometry.joint import Joint, Segment

# A step of interference by less than this share of the greatest leaves contact unbroken.
STEP = 0.02


@dataclass(frozen=True)
class Resolution:
    """How fine the mesh is. Lengths along z are shares of the thinnest wall or the decay length.

    elements_through_wall: rows in the thinnest wall of each body, before they close in on the joint,
    where they are at_joint thick and grow by row_growth. at_contact_end: where a contact
    ends inside a longer body and pressure is singular. at_step: where interference or a profile
    steps. at_free_end: at end faces. growth: rise of element length per length away from those
    places. largest: share of the shorter decay length √(Rt)/[3(1−ν²)]^¼.
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
        """The second discretisation, from which the numerical error is judged: a fraction 2/3."""
        return self.scaled(1.5)

    def scaled(self, factor: float) -> Resolution:
        """Every element longer by the factor; at least two rows through a wall."""
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
class Assembly:
    """A model of both bodies and the pairs of nodes between them."""

    model: Model
    interface: Interface
    joint: Joint


def draw(
    joint: Joint,
    materials: Mapping[str, Elastic],
    resolution: Resolution,
    *,
    load_edges: Sequence[float] = (),
) -> Assembly:
    """Mesh shell and sleeve on common stations. materials: keys "shell" and "sleeve".

    load_edges: z, mm, where loads begin and end; the mesh gets a line there.
    Raises MeshError where the outline cannot be meshed.
    """
    outlines = {"sleeve": joint.sleeve, "shell": joint.shell}
    wall = min(s.wall for segments in outlines.values() for s in segments)
    shortest = min(
        _shortest_decay(segments, materials[name]) for name, segments in outlines.items()
    )
    edges = [z for z in load_edges if joint.shell[0].z_start < z < joint.shell[-1].z_end]
    ends = [z for segments in outlines.values() for s in segments for z in (s.z_start, s.z_end)]
    breaks = _merged(ends + edges)
    lines = graded_lines(
        breaks, _foci(joint, edges, wall, resolution),
        largest=resolution.largest * shortest, growth=resolution.growth,
    )
    seat_step = min(cone_step(segments) for segments in outlines.values())
    grids = [
        body_grid(name, segments, lines, sizes=resolution.rows, seat_step=seat_step)
        for name, segments in outlines.items()
    ]
    mesh = join(*grids)
    return Assembly(Model(mesh, dict(materials)), interface(mesh, joint.seats), joint)


def _shortest_decay(segments: Sequence[Segment], material: Elastic) -> float:
    return min(
        decay_length(0.5 * (s.inner_start + s.outer_start), s.wall, material.poisson_ratio)
        for s in segments
    )


def _merged(values: Sequence[float], tolerance: float = 1e-6) -> list[float]:
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > tolerance:
            kept.append(value)
    return kept


def _foci(joint: Joint, edges: Sequence[float], wall: float, resolution: Resolution) -> list[Focus]:
    left = min(joint.shell[0].z_start, joint.sleeve[0].z_start)
    right = max(joint.shell[-1].z_end, joint.sleeve[-1].z_end)
    foci = [Focus(z, resolution.at_free_end * wall) for z in (left, right)]
    foci += [Focus(z, resolution.at_step * wall) for z in edges]
    foci += [Focus(s.z_start, resolution.at_step * wall) for s in joint.shell[1:]]
    foci += [Focus(s.z_start, resolution.at_step * wall) for s in joint.sleeve[1:]
             if not joint.shell[0].z_start < s.z_start < joint.shell[-1].z_end]
    foci += [Focus(z, resolution.at_contact_end * wall) for z in _contact_ends(joint)
             if left < z < right]
    return foci


def _contact_ends(joint: Joint) -> list[float]:
    """Ends of unbroken runs of seats, and steps of interference inside a run: next to a step the looser
    side stands clear of the other body over a short stretch, so contact ends there too."""
    starts = {s.z_start: s.interference_start for s in joint.seats}
    ends = {s.z_end: s.interference_end for s in joint.seats}
    most = max((abs(x) for x in (*starts.values(), *ends.values())), default=0.0)

    def jumps(z: float, here: float, others: Mapping[float, float]) -> bool:
        met = [there for at, there in others.items() if abs(at - z) < 1e-6]
        return not met or abs(met[0] - here) > STEP * most

    found = [z for z, here in starts.items() if jumps(z, here, ends)]
    found += [z for z, here in ends.items() if jumps(z, here, starts)]
    return sorted(set(found))
