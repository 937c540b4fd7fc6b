"""Meshes of a case, with the solvers and the stress recovery on each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from hoopwright import fem
from hoopwright.case.load_cases import service_loads
from hoopwright.case.model import Case
from hoopwright.clamp_edges import clamp_edges
from hoopwright.cup_load import CupLoads, engagement_ends, levers
from hoopwright.entry import entry_side
from hoopwright.fem import (
    FitSolver,
    FrictionSolver,
    Linearised,
    MeshedJoint,
    Moment,
    PressFit,
    Resolution,
    StressRecovery,
    Way,
)
from hoopwright.fem.condensed_seat import SeatLoad
from hoopwright.fem.friction import FrictionFit
from hoopwright.fem.mesh_joint import contact_ends
from hoopwright.fem.stress import ClassificationLines
from hoopwright.geometry.joint import Joint, Segment
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.materials import Material
from hoopwright.state import FrictionPath, State, paths_to_rest

BODIES = ("sleeve", "shell")

MAX_NODES = 24_000
"""Nodes allowed in one mesh. A crank shell takes 1,500."""
MAX_REFINED_NODES = 12_000
"""Nodes allowed in a mesh that is refined to settle a margin: a run then stays below 1 GB and about 10 s,
service loads included (measured on random cases)."""


def elastic(material: Material) -> fem.Elastic:
    """Elastic constants and thermal expansion of a material, as the finite elements take them."""
    effective = material.effective_rise if material.expansions else None
    return fem.Elastic(material.young_modulus, material.poisson_ratio, material.expansion, effective)


HARMONICS, HARMONICS_PER_ROW = 12, 3
"""Of the loads on the finest mesh: at least these, however few its rows; coarser meshes have fewer."""
NEVER_TOUCHES = 10.0
"""Radial gap, mm, that nothing closes."""
CORNER_REACH, END_REACH = 1.0, 0.25
"""Walls within which surface stress is not judged: of a corner, and of a face in which both bodies end,
where the shear of friction stops at once."""
CORNER_STEP = 0.02
"""Step of an outline, as a share of the wall, from which on it is a corner."""


def usual_resolution(case: Case) -> Resolution:
    """The resolution of the finest mesh that a case asks for: with more rows go more harmonics."""
    rows = case.mesh.elements_through_wall
    return Resolution(elements_through_wall=rows, harmonics=max(HARMONICS, HARMONICS_PER_ROW * rows))


RESERVE = 0.02
"""Share of its pull by which friction must hold a single cup harder than it pulls, on the coarsest mesh, to
hold it on every mesh."""
LOCKED_STEP = 0.1
"""Share of a pull by which it is raised to find what the joint gives way by."""


class Discretisation:
    """One mesh of the case, with its contact solvers and stress recovery.

    pair: shell and sleeve as assembled, or at a position on the way in. load_edges: z, mm, where loads
    begin and end. blank: the same of the joint as it is pressed, where the sleeve is finished later.
    """

    def __init__(
        self,
        case: Case,
        pair: Joint,
        resolution: Resolution,
        *,
        load_edges: Sequence[float] = (),
        blank: Discretisation | None = None,
    ) -> None:
        self._blank = blank
        materials = {"shell": elastic(case.shell_material), "sleeve": elastic(case.sleeve_material)}
        self.load_edges = tuple(load_edges)
        self.meshed_joint: MeshedJoint = fem.mesh_joint(pair, materials, resolution, load_edges=load_edges)
        self.solver = FitSolver(self.meshed_joint.model, self.meshed_joint.interface)
        self.friction = FrictionSolver(self.meshed_joint.model, self.meshed_joint.interface)
        self._cups = CupLoads(case, self.friction)
        self.smoothing = case.smoothing_loss_mm
        self._case = case
        self._pushed_in = Way(1 if entry_side(case) == "left" else -1)
        self._moments: dict[tuple[float, FrictionPath], Moment] = {}
        self._along_faces: dict[str, np.ndarray] = {}

    @property
    def nodes(self) -> int:
        """Number of nodes."""
        return int(self.meshed_joint.model.mesh.nodes.shape[1])

    @property
    def recovery(self) -> StressRecovery:
        """Stress recovery on this mesh."""
        return self.meshed_joint.recovery

    @cached_property
    def profile(self) -> np.ndarray:
        """Likely radial interference at the contact pairs, (pairs,), mm, smoothing loss deducted."""
        return self.meshed_joint.radial_interference(smoothing=self.smoothing)

    def radial_interference(self, shift: float) -> np.ndarray:
        """Radial interference at the contact pairs, (pairs,), mm, at a shift of the diametral one, mm."""
        return self.profile + fem.radial(shift)

    def press(self, state: State) -> PressFit | FrictionFit:
        """The fit in a state."""
        if state.path is not None:
            return self.friction.fit(self.moment(state.shift, state.path))
        interference, rise = self.radial_interference(state.shift), state.temperature_rise
        if not state.tension:
            return self.solver.press(interference, stuck=False, temperature_rise=rise)
        load = self.cups(state.tension)
        return self.friction.fit(
            self.friction.without_friction(interference, temperature_rise=rise, load=load)
        )

    def pairs_of(self, seats: Sequence[bool]) -> np.ndarray:
        """The contact pairs of some of the seats, (pairs,) bool. seats: whether each is one of them."""
        share = self.meshed_joint.interface.seat_share
        return np.asarray(share[np.array(seats, dtype=bool)].sum(axis=0) > 0.0)

    def frictionless_force(
        self, shift: float, temperature_rise: float, tension: float, touching: np.ndarray
    ) -> float:
        """∫ p dA without friction, N, where only some of the pairs, (pairs,) bool, may touch, which also
        hold the pull of a single cup, evenly."""
        interference = np.where(touching, self.radial_interference(shift), -NEVER_TOUCHES)
        return self.friction.without_friction(
            interference, temperature_rise=temperature_rise, load=self._cups.held(tension, touching)
        ).normal_force

    def cups(self, tension: float) -> SeatLoad:
        """The load of tightened cups that pull the sleeve with a tension, N."""
        return self._cups.of(tension)

    def carries(self, state: State) -> bool:
        """Whether friction carries the pull of a single cup in a state on its path, with some to spare; not
        where no equilibrium is found."""
        path = state.path
        if path is None or not state.tension or not self._case.draws_sleeve:
            return True
        harder = (one._replace(tension=(1.0 + RESERVE) * one.tension) for one in path.clamped)
        try:
            self.moment(state.shift, replace(path, clamped=tuple(harder)))
        except fem.SolveError:
            return False
        return True

    def locked_pull(self, tension: float, temperature_rise: float) -> float:
        """Pull of two cups, N, that were tightened on the bench to `tension`, at another temperature.

        A cup is taken as rigid but for its expansion, by which its flange and its thread move apart. The
        seat slides freely, which leaves temperature the most to change.
        """
        case, bench = self._case, self._case.press.temperature_rise_K
        cup = (case.cups.material if case.cups else None) or case.sleeve_material
        expands = levers(case) * (cup.free_strain(temperature_rise) - cup.free_strain(bench))
        more = max(LOCKED_STEP * tension, 1.0)
        before = self._apart(tension, bench)
        now, pulled = (self._apart(pull, temperature_rise) for pull in (tension, tension + more))
        return tension + (before - expands - now) * more / (pulled - now)

    def _apart(self, tension: float, temperature_rise: float) -> float:
        """How far the load of the cups has moved along itself, mm: the threads outwards and the flanges
        inwards, both sides together."""
        moment = self.friction.without_friction(
            self.profile, temperature_rise=temperature_rise, load=self.cups(tension)
        )
        return 2.0 * np.pi * float(self._cups.along @ self.friction.fit(moment).displacement.ravel())

    def moment(self, shift: float, path: FrictionPath) -> Moment:
        """The end of a friction path, from the end of what it has in common with another."""
        if (shift, path) not in self._moments:
            self._moments[shift, path] = self._follow(shift, path)
        return self._moments[shift, path]

    def _follow(self, shift: float, path: FrictionPath) -> Moment:
        interference = self.radial_interference(shift)
        if self._blank is not None and path in paths_to_rest(self._case):
            return self._finished(self._blank, shift, path)
        if path.slipped_in and not path.warmed and not path.clamped:
            return self.friction.shrunk(
                interference, friction=path.friction, temperature_rise=path.pressed_at
            )
        if not path.let_go:
            return self.friction.slide(
                interference,
                friction=path.pushed_with,
                way=self._pushed_in,
                temperature_rise=path.pressed_at,
            )
        return self.friction.follow(
            self.moment(shift, _before(path)),
            interference,
            self.friction.warmed(path.temperature_rise) + self.cups(path.tension),
            friction=path.friction,
        )

    def _finished(self, blank: Discretisation, shift: float, path: FrictionPath) -> Moment:
        """The joint at rest on the bench with its sleeve finished, from what the blank has left in it."""
        pressed, load = blank.moment(shift, path), self.friction.warmed(path.temperature_rise)
        before = self.friction.carried_over(pressed, blank.meshed_joint.interface.z, load)
        interference = self.radial_interference(shift)
        return self.friction.follow(before, interference, load, friction=path.friction, steps=1)

    def sliding_normal_forces(
        self, shift: float, temperature_rise: float, friction: float, tension: float = 0.0
    ) -> tuple[np.ndarray, np.ndarray]:
        """∫ p dA of every seat, (seats,), N, while an axial force drags the assembled sleeve out, in either
        direction.

        Of the ways a force may act, pulled out of a shell that is held where the sleeve comes out is the
        worst: pulling makes the sleeve thinner, and the shell, squeezed between friction and what holds it,
        wider.
        """
        share = self.meshed_joint.interface.seat_share
        right, left = (
            self.friction.slide(
                self.radial_interference(shift),
                friction=friction,
                way=Way(direction, pulled=True),
                temperature_rise=temperature_rise,
                load=self.cups(tension),
            ).state.normal
            for direction in (1, -1)
        )
        return 2.0 * np.pi * (share @ right), 2.0 * np.pi * (share @ left)

    def moving_normal_force(self, shift: float, temperature_rise: float, friction: float) -> float:
        """∫ p dA, N, while the assembled sleeve is pushed along: the most of either direction, the shell
        held on either face."""
        return max(
            self.friction.slide(
                self.radial_interference(shift),
                friction=friction,
                way=Way(direction, held_ahead=held_ahead),
                temperature_rise=temperature_rise,
            ).normal_force
            for direction in (1, -1)
            for held_ahead in (False, True)
        )

    def walls(self, displacement: np.ndarray, temperature_rise: float) -> dict[str, Linearised]:
        """Through-wall stress by body: linearised, and in place of it the surface stress where that is
        smooth. displacement: (nodes, 3), mm; temperature_rise: K."""
        materials = self.meshed_joint.model.materials
        rises = {body: materials[body].effective(temperature_rise) for body in BODIES}
        stress = self.recovery.stress(displacement, temperature_rise=rises)
        found = {}
        for body in BODIES:
            wall, share = self.recovery.linearised(stress, body), self.smooth[body][:, None]
            inner = wall.inner + share * (wall.surface_inner - wall.inner)
            outer = wall.outer + share * (wall.surface_outer - wall.outer)
            found[body] = replace(wall, inner=inner, outer=outer)
        return found

    @cached_property
    def smooth(self) -> dict[str, np.ndarray]:
        """Share of the surface stress in what is judged, by body, (lines,): none nearer than one wall to a
        corner or to an end of the cups' threads, where it grows without limit as the mesh is refined."""
        pair = self.meshed_joint.joint
        threads = dict.fromkeys(engagement_ends(self._case), CORNER_REACH)
        return {
            body: surface_share(self.recovery.lines[body], corners(pair, segments) | loaded)
            for body, segments, loaded in (("sleeve", pair.sleeve, threads), ("shell", pair.shell, {}))
        }

    def face(self, name: str) -> np.ndarray:
        """Node numbers along a lengthwise face, sorted by z."""
        if name not in self._along_faces:
            mesh = self.meshed_joint.model.mesh
            nodes = np.unique(mesh.face(name).nodes)
            self._along_faces[name] = nodes[np.argsort(mesh.nodes[1, nodes])]
        return self._along_faces[name]


def _before(path: FrictionPath) -> FrictionPath:
    """The path without its last event."""
    if path.clamped:
        return replace(path, clamped=path.clamped[:-1])
    if path.warmed:
        return replace(path, warmed=path.warmed[:-1])
    if path.friction != path.pushed_with:  # let go while it still slides as it did
        return replace(path, friction=path.pushed_with)
    return replace(path, let_go=False)


def surface_share(lines: ClassificationLines, near: Mapping[float, float]) -> np.ndarray:
    """Share of the surface stress in what is judged, (lines,): none up to some walls from a place, all of
    it from twice that on; a sharp edge would jump from line to line as the mesh changes. near: walls, by z
    of the place, mm."""
    wall, share = lines.outer - lines.inner, np.ones(len(lines.z))
    for z, reach in near.items():
        share = np.minimum(share, np.clip(np.abs(lines.z - z) / (reach * wall) - 1.0, 0.0, 1.0))
    return share


def corners(pair: Joint, segments: Sequence[Segment]) -> dict[float, float]:
    """z, mm, of the corners at a body, and how many walls they reach: where contact ends, farther if one of
    the bodies goes on, and steps of its outline."""
    found = {
        z: END_REACH if all(_ends_at(z, body) for body in (pair.shell, pair.sleeve)) else CORNER_REACH
        for z in contact_ends(pair)
    }
    for one, other in pairwise(segments):
        step = max(abs(one.inner_end - other.inner_start), abs(one.outer_end - other.outer_start))
        if step > CORNER_STEP * min(one.wall, other.wall):
            found[one.z_end] = CORNER_REACH
    return found


def _ends_at(z: float, segments: Sequence[Segment]) -> bool:
    return min(abs(z - segments[0].z_start), abs(z - segments[-1].z_end)) < END_TOLERANCE


def meshes_of(
    case: Case,
    pair: Joint,
    resolution: Resolution,
    max_nodes: int,
    blanks: Sequence[Discretisation] = (),
) -> tuple[Discretisation, ...]:
    """Three, finest first; the coarser ones serve to search, and to estimate the numerical error. blanks:
    the same of the joint as it is pressed, where the sleeve is finished later."""
    coarser = resolution.coarser()
    # a line of every mesh at the ends of what is judged, or else each would judge another stretch
    judged = (z for band in clamp_edges(case, pair).bands for z in band)
    edges = (*service_loads(case.service, case.shell, case.sleeve).edges, *judged)
    blank_of = blanks or (None, None, None)

    def made(size: Resolution, k: int) -> Discretisation:
        return Discretisation(case, pair, size, load_edges=edges, blank=blank_of[k])

    finest = _within_node_limit(made(resolution, 0), max_nodes)
    return finest, made(coarser, 1), made(coarser.coarser(), 2)


def _within_node_limit(mesh: Discretisation, max_nodes: int) -> Discretisation:
    if mesh.nodes > max_nodes:
        raise fem.MeshSizeError(
            f"the mesh would have {mesh.nodes} nodes, more than {max_nodes}; give fewer lands and zones, "
            "thicker walls, shorter parts, or fewer elements_through_wall"
        )
    return mesh
