"""From the outlines of a joint to a mesh graded for what happens in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fem.elastic import Elastic
from fem.grading import Focus, decay_length, graded_lines
from fem.grid import body_grid
from fem.interface import Interface, interface
from fem.mesh import join
from fem.stiffness import Model
from geometry.joint import Joint, Segment


@dataclass(frozen=True)
class Resolution:
    """How fine the mesh is. Lengths along z are shares of the thinnest wall or the decay length.

    elements_through_wall: rows in the thinnest wall of each body. at_contact_end: where a contact
    ends inside a longer body and pressure is singular. at_step: where interference or a profile
    steps. at_free_end: at end faces. growth: rise of element length per length away from those
    places. largest: share of the shorter decay length √(Rt)/[3(1−ν²)]^¼.
    """

    elements_through_wall: int = 4
    at_contact_end: float = 0.01
    at_step: float = 0.15
    at_free_end: float = 0.2
    growth: float = 0.4
    largest: float = 0.5

    def coarser(self) -> Resolution:
        """The second discretisation, from which the numerical error is judged: a fraction 2/3."""
        return self.scaled(1.5)

    def scaled(self, factor: float) -> Resolution:
        """Every element longer by the factor; at least two rows through a wall."""
        return replace(
            self,
            elements_through_wall=max(2, round(self.elements_through_wall / factor)),
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
    grids = [
        body_grid(name, segments, lines, elements_through_wall=resolution.elements_through_wall)
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
    """Ends of unbroken runs of seats."""
    starts = np.array([s.z_start for s in joint.seats])
    ends = np.array([s.z_end for s in joint.seats])
    return [z for z in starts if not np.any(np.abs(ends - z) < 1e-6)] + [
        z for z in ends if not np.any(np.abs(starts - z) < 1e-6)]
