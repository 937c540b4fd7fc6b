"""The press fit of a case, solved on three meshes, frictionless and stuck, at any interference."""

from __future__ import annotations

import copy
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np

import fem
from fem import Assembly, FitSolver, Linearised, PressFit, Recovery, Resolution
from fem.linear import Superposition
from fem.strain import R
from fem.surface import surface_hoop
from geometry.joint import Joint, joint
from hoopwright.case.load_cases import loads_of
from hoopwright.case.model import Case
from hoopwright.estimate import PEAK, Estimate, Kind, from_meshes
from hoopwright.interference import (
    EffectiveInterference,
    effective_interference,
    mean_interference,
)
from hoopwright.materials import Material

BODIES = ("sleeve", "shell")

MOST_NODES = 24_000
"""Of one mesh: a whole run then stays below 1 GB (38 KB a node measured). A crank shell takes 1,500."""
WALL_STRESSES = ("membrane", "inner", "outer", "surface_inner", "surface_outer")
TITLE = {"sleeve": "sleeve", "shell": "shell"}


def elastic(material: Material) -> fem.Elastic:
    """The part of a material that the finite elements need."""
    return fem.Elastic(material.young_modulus, material.poisson_ratio, material.expansion)


class Discretisation:
    """One mesh of the case with its contact solver and its stress recovery."""

    def __init__(self, case: Case, pair: Joint, resolution: Resolution) -> None:
        materials = {"shell": elastic(case.shell_material), "sleeve": elastic(case.sleeve_material)}
        edges = loads_of(case.service, case.shell, case.sleeve).edges
        self.assembly: Assembly = fem.draw(pair, materials, resolution, load_edges=edges)
        self.solver = FitSolver(self.assembly.model, self.assembly.interface)
        self.recovery = Recovery(self.assembly.model)
        self.smoothing = case.fit.smoothing_loss_mm

    @cached_property
    def profile(self) -> np.ndarray:
        """Likely effective radial interference at the contact pairs, mm: sizes less smoothing."""
        seats = self.assembly.joint.seats
        along = self.assembly.interface.profile(
            [s.interference_start for s in seats], [s.interference_end for s in seats], seats)
        return 0.5 * (along - self.smoothing)

    def walls(self, displacement: np.ndarray, temperature_rise: float) -> dict[str, Linearised]:
        """Linearised through-wall stress by body, of a displacement (nodes, 3), mm, and a rise, K."""
        flat = self._wall_stress(np.append(displacement, temperature_rise))
        found, start = {}, 0
        for body in BODIES:
            lines = self.recovery.lines[body]
            shape = len(WALL_STRESSES), len(lines.z), 6
            stresses = flat[start:start + math.prod(shape)].reshape(shape)
            found[body] = Linearised(lines.z, lines.inner, lines.outer, *stresses)
            start += math.prod(shape)
        return found

    @cached_property
    def _wall_stress(self) -> Superposition:
        """Fits at many interferences are sums of few: so is their stress."""
        def read(moved: np.ndarray) -> np.ndarray:
            stress = self.recovery.stress(moved[:-1].reshape(-1, 3), temperature_rise=float(moved[-1]))
            walls = [self.recovery.linearised(stress, body) for body in BODIES]
            return np.concatenate([getattr(w, name).ravel() for w in walls for name in WALL_STRESSES])

        return Superposition(read)

    def face(self, name: str) -> np.ndarray:
        """Node numbers along a lengthwise face, in order of z."""
        nodes = np.unique(self.assembly.model.mesh.face(name).nodes)
        return nodes[np.argsort(self.assembly.model.mesh.nodes[1, nodes])]


@dataclass(frozen=True)
class Peak:
    """A governing value of a field and where it sits: body, surface, r and z in mm."""

    value: float
    body: str
    surface: str
    r: float
    z: float


@dataclass(frozen=True)
class FitState:
    """One solved press fit on one mesh, and what is read off it."""

    mesh: Discretisation
    press: PressFit
    temperature_rise: float

    @cached_property
    def stress(self) -> np.ndarray:
        """Stress at the 2 × 2 points of every element, (elements, 4, 6), MPa."""
        return self.mesh.recovery.stress(
            self.press.displacement, temperature_rise=self.temperature_rise)

    @cached_property
    def walls(self) -> dict[str, Linearised]:
        """Linearised through-wall stress by body."""
        return self.mesh.walls(self.press.displacement, self.temperature_rise)

    @cached_property
    def normal_force(self) -> float:
        """∫ p dA over the whole contact, N: friction carries μ times this."""
        pairs = self.mesh.assembly.interface
        return float(2.0 * np.pi * np.sum(self.press.pressure * pairs.weight))

    @cached_property
    def mean_pressure(self) -> float:
        """Contact pressure averaged over the seats, MPa."""
        weight = self.mesh.assembly.interface.weight
        return float(np.sum(self.press.pressure * weight) / np.sum(weight))

    @cached_property
    def friction_torque_arm(self) -> float:
        """∫ p r dA over the whole contact, N·mm: friction carries μ times this in torque."""
        pairs = self.mesh.assembly.interface
        return float(2.0 * np.pi * np.sum(self.press.pressure * pairs.weight * pairs.r))

    def equivalent_peak(self, body: str) -> Peak:
        """Greatest von Mises stress, membrane + bending, on either surface of the wall."""
        wall = self.walls[body]
        inner, outer = fem.von_mises(wall.inner), fem.von_mises(wall.outer)
        at_bore = inner.max() >= outer.max()
        field, radius = (inner, wall.r_inner) if at_bore else (outer, wall.r_outer)
        k = int(np.argmax(field))
        return Peak(float(field[k]), body, "bore" if at_bore else "outside",
                    float(radius[k]), float(wall.z[k]))

    def face_hoop(self, face: str) -> tuple[np.ndarray, np.ndarray]:
        """Hoop stress along a face such as "shell.bore": z in mm and stress in MPa."""
        pairs, model = self.mesh.assembly.interface, self.mesh.assembly.model
        at_node = np.zeros(model.mesh.nodes.shape[1])
        at_node[pairs.shell] = at_node[pairs.sleeve] = self.press.pressure
        pressure = at_node[model.mesh.face(face).nodes[:, 1]]
        return surface_hoop(model, face, self.press.displacement, -pressure,
                            temperature_rise=self.temperature_rise)

    def radial_move(self, face: str, z: np.ndarray) -> np.ndarray:
        """Radial displacement of a lengthwise face at z, mm, outward positive."""
        nodes = self.mesh.face(face)
        return np.interp(z, self.mesh.assembly.model.mesh.nodes[1, nodes],
                         self.press.displacement[nodes, R])


@dataclass(frozen=True)
class Bracket:
    """The same fit on the meshes of a study, finest first, without friction and fully stuck.

    Real friction lies between the two; each check takes the worse.
    """

    free: tuple[FitState, ...]
    stuck: tuple[FitState, ...]

    def estimates(
        self, read: Callable[[FitState], float], kind: Kind = PEAK
    ) -> tuple[Estimate, Estimate]:
        """A quantity frictionless and stuck, each with its numerical error."""
        return tuple(from_meshes(*map(read, states), kind=kind)  # type: ignore[return-value]
                     for states in (self.free, self.stuck))

    def greatest(
        self, read: Callable[[FitState], float], kind: Kind = PEAK
    ) -> tuple[Estimate, FitState]:
        """The larger of the two, and the fine state it comes from."""
        free, stuck = self.estimates(read, kind)
        return (free, self.free[0]) if free.value >= stuck.value else (stuck, self.stuck[0])

    def least(
        self, read: Callable[[FitState], float], kind: Kind = PEAK
    ) -> tuple[Estimate, FitState]:
        """The smaller of the two, and the fine state it comes from."""
        free, stuck = self.estimates(read, kind)
        return (free, self.free[0]) if free.value <= stuck.value else (stuck, self.stuck[0])


def _bounded(mesh: Discretisation, most: int) -> Discretisation:
    if (nodes := mesh.assembly.model.mesh.nodes.shape[1]) > most:
        raise fem.MeshSizeError(
            f"the mesh would have {nodes} nodes, more than {most}; give fewer lands and zones, "
            "thicker walls, shorter parts, or fewer elements_through_wall")
    return mesh


class FitStudy:
    """All press fits of one case: meshes once, then a contact solve per interference asked for.

    most_nodes: of one mesh. Raises fem.MeshSizeError beyond it.
    """

    def __init__(self, case: Case, resolution: Resolution, *, most_nodes: int = MOST_NODES) -> None:
        self.case = case
        self.resolution = resolution
        self.joint = joint(case.shell, case.sleeve)
        self.fine = _bounded(Discretisation(case, self.joint, resolution), most_nodes)
        self.coarse = Discretisation(case, self.joint, resolution.coarser())
        self.coarsest = Discretisation(case, self.joint, resolution.coarser().coarser())
        self._used = 3
        self._solved: dict[tuple[float, float], Bracket] = {}

    @property
    def meshes(self) -> tuple[Discretisation, ...]:
        """Finest first; the others say how wrong its numbers may be."""
        return (self.fine, self.coarse, self.coarsest)[:self._used]

    def alone(self) -> Self:
        """The same study on the finest mesh: values without numerical error, where many fits are read and
        their errors are not."""
        other = copy.copy(self)
        other._used = 1
        other._solved = {key: Bracket(b.free[:1], b.stuck[:1]) for key, b in self._solved.items()}
        return other

    @cached_property
    def nominal_interference(self) -> float:
        """Likely effective interference, diametral, mm, averaged along the seats."""
        return mean_interference(self.interference.seats)

    @cached_property
    def interference(self) -> EffectiveInterference:
        """Of every seat, with its errors."""
        return effective_interference(self.case, self.joint)

    @cached_property
    def spread(self) -> float:
        """Half-width of the 95 % interval of the diametral interference, mm: of the worst seat."""
        return self.interference.errors.half_width()

    def at(self, shift: float, temperature_rise: float | None = None) -> Bracket:
        """The fit with every diametral interference changed by shift, mm. Solved once, then kept.

        temperature_rise: K above 20 °C; the case's own temperature of the fit when None.
        """
        rise = self.case.fit.temperature_rise_K if temperature_rise is None else temperature_rise
        key = (round(shift, 9), rise)
        if key not in self._solved:
            free, stuck = (tuple(self._solve(mesh, shift, rise, held) for mesh in self.meshes)
                           for held in (False, True))
            self._solved[key] = Bracket(free, stuck)
        return self._solved[key]

    @property
    def least(self) -> Bracket:
        return self.at(-self.spread)

    @property
    def nominal(self) -> Bracket:
        return self.at(0.0)

    @property
    def greatest(self) -> Bracket:
        return self.at(self.spread)

    def stations(self, count: int = 13) -> np.ndarray:
        """Evenly spaced z along the sleeve, mm, ends included, for values reported along z."""
        return np.linspace(self.case.sleeve.z_start, self.case.sleeve.z_end, count)

    @staticmethod
    def _solve(mesh: Discretisation, shift: float, rise: float, stuck: bool) -> FitState:
        press = mesh.solver.press(mesh.profile + 0.5 * shift, stuck=stuck, temperature_rise=rise)
        return FitState(mesh, press, rise)
