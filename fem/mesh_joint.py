"""Mesh the joint: both bodies on common mesh lines, refined at the ends of contact, steps and faces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from hoopwright.fem.elastic import Elastic
from hoopwright.fem.grading import Focus, decay_length, graded_lines
from hoopwright.fem.grid import RowSizes, body_grid, check_outline, cone_step
from hoopwright.fem.harmonic_load import HarmonicLoads
from hoopwright.fem.interface import Interface, interface
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.fem.stress import StressRecovery
from hoopwright.fem.validation import (
    check_bodies,
    check_finite,
    check_not_negative,
    check_positive,
    check_whole,
)
from hoopwright.geometry.joint import Joint, Segment
from hoopwright.geometry.stations import distinct

# Contact is taken as continuous over a step in interference below this fraction of the greatest one.
INTERFERENCE_STEP = 0.02
MIN_HARMONICS, MIN_ANGLES = 4, 24
"""Below these a load has no shape left."""
SIZES = ("elements_through_wall", "at_joint", "at_contact_end", "at_step", "at_free_end", "largest")
GROWTHS = ("row_growth", "growth")
"""Fields of a resolution that must be above zero, and those that may be zero, for elements of one size."""


@dataclass(frozen=True)
class Resolution:
    """Element sizes, as fractions of the thinnest wall unless stated otherwise.

    elements_through_wall: rows through the thinnest wall of each body, before refinement towards the
    joint. at_joint: row thickness at the joint; row_growth: its increase per distance from there.
    at_contact_end: element length where contact ends inside a longer body and the pressure is singular.
    at_step: where interference or a profile steps. at_free_end: at end faces. growth: increase of
    element length per distance from those places. largest: greatest element length, as a fraction of
    the shorter decay length √(Rt)/[3(1−ν²)]^¼. harmonics: highest Fourier harmonic of a load; angles:
    number of angles round the axis at which its response is summed, even. Raises ValueError for a size or
    number that is not above zero, a negative growth, an odd number of angles, NaN and infinity.
    """

    elements_through_wall: float = 4
    at_joint: float = 0.003
    row_growth: float = 1.5
    at_contact_end: float = 0.004
    at_step: float = 0.1
    at_free_end: float = 0.04
    growth: float = 0.65
    largest: float = 0.5
    harmonics: int = 12
    angles: int = 72

    def __post_init__(self) -> None:
        for name in SIZES:
            check_positive(name, getattr(self, name))
        for name in GROWTHS:
            check_not_negative(name, getattr(self, name))
        check_whole("harmonics", self.harmonics, 1)
        check_whole("angles", self.angles, 2)
        if self.angles % 2:
            raise ValueError(f"need an even number of angles, got {self.angles}")

    @property
    def rows(self) -> RowSizes:
        return RowSizes(self.at_joint, self.row_growth, 1.0 / self.elements_through_wall)

    def coarser(self) -> Resolution:
        """The coarser mesh for the estimate of numerical error: elements 1.5 times as long."""
        return self.scaled(1.5)

    def scaled(self, factor: float) -> Resolution:
        """All element sizes multiplied by the factor, harmonics divided by it and angles by its root.

        A maximum read off a grid of angles is too low by the square of their spacing. At least two rows
        through a wall, four harmonics and 24 angles remain. Raises ValueError unless the
        factor is finite and above zero.
        """
        check_positive("scale", factor)
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
            harmonics=max(MIN_HARMONICS, round(self.harmonics / factor)),
            angles=max(MIN_ANGLES, 2 * round(0.5 * self.angles / factor**0.5)),
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

    def radial_interference(self, *, smoothing: float = 0.0) -> np.ndarray:
        """Radial interference at the contact pairs, (pairs,), mm, from the lands of the joint.

        smoothing: diametral interference lost as the faces are smoothed, mm.
        """
        seats = self.joint.seats
        start, end = [s.interference_start for s in seats], [s.interference_end for s in seats]
        return self.interface.profile(start, end, seats, smoothing=smoothing)

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
    placed at each that lies inside a body. Raises MeshError where an outline cannot be meshed, or a
    material is missing or belongs to no body; ValueError for an interference or edge that is not finite.
    """
    _check(joint, materials, load_edges)
    outlines = {"sleeve": joint.sleeve, "shell": joint.shell}
    wall = min(s.wall for segments in outlines.values() for s in segments)
    shortest = min(_shortest_decay(segments, materials[name]) for name, segments in outlines.items())
    left, right = joint.ends
    edges = [z for z in load_edges if left < z < right]
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


def _check(joint: Joint, materials: Mapping[str, Elastic], edges: Sequence[float]) -> None:
    outlines = {"sleeve": joint.sleeve, "shell": joint.shell}
    check_bodies("materials", materials, outlines)
    for name, segments in outlines.items():
        check_outline(name, segments)
    for seat in joint.seats:
        for end in (seat.interference_start, seat.interference_end):
            check_finite(f"interference from z = {seat.z_start:g} to {seat.z_end:g} mm", end, "mm")
    for edge in edges:
        check_finite("load edge", edge, "mm")


def _shortest_decay(segments: Sequence[Segment], material: Elastic) -> float:
    return min(
        decay_length(0.5 * (s.inner_start + s.outer_start), s.wall, material.poisson_ratio)
        for s in segments
    )


def _foci(joint: Joint, edges: Sequence[float], wall: float, resolution: Resolution) -> list[Focus]:
    left, right = joint.ends
    foci = [Focus(z, resolution.at_free_end * wall) for z in (left, right)]
    foci += [Focus(z, resolution.at_step * wall) for z in edges]
    foci += [Focus(s.z_start, resolution.at_step * wall) for s in joint.shell[1:]]
    foci += [
        Focus(s.z_start, resolution.at_step * wall)
        for s in joint.sleeve[1:]
        if not joint.shell[0].z_start < s.z_start < joint.shell[-1].z_end
    ]
    foci += [Focus(z, resolution.at_contact_end * wall) for z in contact_ends(joint) if left < z < right]
    return foci


def contact_ends(joint: Joint) -> list[float]:
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
