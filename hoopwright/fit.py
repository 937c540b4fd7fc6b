"""Press fits of a case at any interference, each solved on three meshes, frictionless and stuck."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright import fem
from hoopwright.case.load_cases import service_loads
from hoopwright.case.model import Case
from hoopwright.estimate import PEAK, Estimate, QuantityKind, from_meshes
from hoopwright.fem import FitSolver, Linearised, MeshedJoint, PressFit, Resolution, StressRecovery
from hoopwright.fem.linear_solver import Superposition
from hoopwright.fem.mesh_joint import MIN_HARMONICS
from hoopwright.fem.strain import R
from hoopwright.fem.surface_stress import surface_hoop
from hoopwright.geometry.joint import Joint, joint
from hoopwright.interference import (
    EffectiveInterference,
    effective_interference,
    mean_interference,
)
from hoopwright.materials import Material

BODIES = ("sleeve", "shell")

MAX_NODES = 24_000
"""Nodes allowed in one mesh: a whole run then stays below 1 GB (38 KB a node, measured). A crank shell
takes 1,500."""
WALL_STRESSES = ("membrane", "inner", "outer", "surface_inner", "surface_outer")


def elastic(material: Material) -> fem.Elastic:
    """Elastic constants and thermal expansion of a material, as the finite elements take them."""
    return fem.Elastic(material.young_modulus, material.poisson_ratio, material.expansion)


HARMONICS_PER_ROW = 3


def usual_resolution(case: Case) -> Resolution:
    """The resolution of the finest mesh that a case asks for: with more rows go more harmonics."""
    rows = case.mesh.elements_through_wall
    return Resolution(elements_through_wall=rows, harmonics=max(MIN_HARMONICS, HARMONICS_PER_ROW * rows))


class Discretisation:
    """One mesh of the case, with its contact solver and stress recovery."""

    def __init__(self, case: Case, pair: Joint, resolution: Resolution) -> None:
        materials = {"shell": elastic(case.shell_material), "sleeve": elastic(case.sleeve_material)}
        edges = service_loads(case.service, case.shell, case.sleeve).edges
        self.meshed_joint: MeshedJoint = fem.mesh_joint(pair, materials, resolution, load_edges=edges)
        self.solver = FitSolver(self.meshed_joint.model, self.meshed_joint.interface)
        self.smoothing = case.fit.smoothing_loss_mm

    @property
    def recovery(self) -> StressRecovery:
        """Stress recovery on this mesh."""
        return self.meshed_joint.recovery

    @cached_property
    def profile(self) -> np.ndarray:
        """Likely radial interference at the contact pairs, (pairs,), mm, smoothing loss deducted."""
        return self.meshed_joint.radial_interference(smoothing=self.smoothing)

    def walls(self, displacement: np.ndarray, temperature_rise: float) -> dict[str, Linearised]:
        """Linearised through-wall stress by body. displacement: (nodes, 3), mm; temperature_rise: K."""
        flat = self._wall_stress(np.append(displacement, temperature_rise))
        found, start = {}, 0
        for body in BODIES:
            lines = self.recovery.lines[body]
            shape = len(WALL_STRESSES), len(lines.z), 6
            stresses = flat[start : start + math.prod(shape)].reshape(shape)
            found[body] = Linearised(lines.z, lines.inner, lines.outer, *stresses)
            start += math.prod(shape)
        return found

    @cached_property
    def _wall_stress(self) -> Superposition:
        """Wall stress as a linear map: fits at many interferences are combinations of a few solutions, and
        so are their stresses."""

        def read(moved: np.ndarray) -> np.ndarray:
            stress = self.recovery.stress(moved[:-1].reshape(-1, 3), temperature_rise=float(moved[-1]))
            walls = [self.recovery.linearised(stress, body) for body in BODIES]
            return np.concatenate([getattr(w, name).ravel() for w in walls for name in WALL_STRESSES])

        return Superposition(read)

    def face(self, name: str) -> np.ndarray:
        """Node numbers along a lengthwise face, sorted by z."""
        nodes = np.unique(self.meshed_joint.model.mesh.face(name).nodes)
        return nodes[np.argsort(self.meshed_joint.model.mesh.nodes[1, nodes])]


@dataclass(frozen=True)
class Peak:
    """The governing value of a field and its location: body, surface, r and z in mm."""

    value: float
    body: str
    surface: str
    r: float
    z: float


@dataclass(frozen=True)
class FitSolution:
    """One press fit solved on one mesh, with the quantities derived from it."""

    mesh: Discretisation
    press: PressFit
    temperature_rise: float

    @cached_property
    def stress(self) -> np.ndarray:
        """Stress at the 2 × 2 points of every element, (elements, 4, 6), MPa."""
        return self.mesh.recovery.stress(self.press.displacement, temperature_rise=self.temperature_rise)

    @cached_property
    def walls(self) -> dict[str, Linearised]:
        """Linearised through-wall stress by body."""
        return self.mesh.walls(self.press.displacement, self.temperature_rise)

    @cached_property
    def normal_force(self) -> float:
        """∫ p dA over the whole contact, N; friction carries μ times this force."""
        pairs = self.mesh.meshed_joint.interface
        return float(2.0 * np.pi * np.sum(self.press.pressure * pairs.weight))

    @cached_property
    def mean_pressure(self) -> float:
        """Area-weighted mean contact pressure over the seats, MPa."""
        weight = self.mesh.meshed_joint.interface.weight
        return float(np.sum(self.press.pressure * weight) / np.sum(weight))

    @cached_property
    def friction_torque_arm(self) -> float:
        """∫ p r dA over the whole contact, N·mm; friction carries μ times this torque."""
        pairs = self.mesh.meshed_joint.interface
        return float(2.0 * np.pi * np.sum(self.press.pressure * pairs.weight * pairs.r))

    def equivalent_peak(self, body: str) -> Peak:
        """Greatest von Mises stress (membrane + bending) on either surface of the wall of a body."""
        wall = self.walls[body]
        inner, outer = fem.von_mises(wall.inner), fem.von_mises(wall.outer)
        at_bore = inner.max() >= outer.max()
        field, radius = (inner, wall.r_inner) if at_bore else (outer, wall.r_outer)
        k = int(np.argmax(field))
        return Peak(
            float(field[k]), body, "bore" if at_bore else "outside", float(radius[k]), float(wall.z[k])
        )

    def face_hoop(self, face: str) -> tuple[np.ndarray, np.ndarray]:
        """Hoop stress along a face such as "shell.bore", as (z in mm, stress in MPa)."""
        pairs, model = self.mesh.meshed_joint.interface, self.mesh.meshed_joint.model
        at_node = np.zeros(model.mesh.nodes.shape[1])
        at_node[pairs.shell] = at_node[pairs.sleeve] = self.press.pressure
        pressure = at_node[model.mesh.face(face).nodes[:, 1]]
        return surface_hoop(
            model, face, self.press.displacement, -pressure, temperature_rise=self.temperature_rise
        )

    def radial_displacement(self, face: str, z: np.ndarray) -> np.ndarray:
        """Radial displacement of a lengthwise face, interpolated at z, mm; outward is positive."""
        nodes = self.mesh.face(face)
        return np.interp(
            z, self.mesh.meshed_joint.model.mesh.nodes[1, nodes], self.press.displacement[nodes, R]
        )


@dataclass(frozen=True)
class Bracket:
    """The same fit frictionless and fully stuck, each on all meshes of a study, finest first.

    Real friction lies between the two, and each check takes the worse.
    """

    free: tuple[FitSolution, ...]
    stuck: tuple[FitSolution, ...]

    def estimates(
        self, read: Callable[[FitSolution], float], kind: QuantityKind = PEAK
    ) -> tuple[Estimate, Estimate]:
        """A quantity of the frictionless and of the stuck fit, each with its numerical error."""
        return tuple(
            from_meshes(*map(read, solutions), kind=kind)  # type: ignore[return-value]
            for solutions in (self.free, self.stuck)
        )

    def greatest(
        self, read: Callable[[FitSolution], float], kind: QuantityKind = PEAK
    ) -> tuple[Estimate, FitSolution]:
        """The larger of the two values, and the finest-mesh solution it comes from."""
        free, stuck = self.estimates(read, kind)
        return (free, self.free[0]) if free.value >= stuck.value else (stuck, self.stuck[0])

    def least(
        self, read: Callable[[FitSolution], float], kind: QuantityKind = PEAK
    ) -> tuple[Estimate, FitSolution]:
        """The smaller of the two values, and the finest-mesh solution it comes from."""
        free, stuck = self.estimates(read, kind)
        return (free, self.free[0]) if free.value <= stuck.value else (stuck, self.stuck[0])


FitKey = tuple[float, float]
"""Shift of the diametral interference, mm, and temperature rise, K."""


def _meshes(
    case: Case, pair: Joint, resolution: Resolution, max_nodes: int
) -> tuple[Discretisation, Discretisation, Discretisation]:
    """Finest first; the coarser ones serve to estimate the numerical error."""
    coarser = resolution.coarser()
    return (
        _within_node_limit(Discretisation(case, pair, resolution), max_nodes),
        Discretisation(case, pair, coarser),
        Discretisation(case, pair, coarser.coarser()),
    )


def _within_node_limit(mesh: Discretisation, max_nodes: int) -> Discretisation:
    if (nodes := mesh.meshed_joint.model.mesh.nodes.shape[1]) > max_nodes:
        raise fem.MeshSizeError(
            f"the mesh would have {nodes} nodes, more than {max_nodes}; give fewer lands and zones, "
            "thicker walls, shorter parts, or fewer elements_through_wall"
        )
    return mesh


class FitStudy:
    """Press fits of one case: the meshes are built once, and each interference is solved on first request.

    max_nodes: limit on the nodes of the finest mesh; raises fem.MeshSizeError beyond it. meshes: to use,
    finest first, instead of three of the resolution and coarser. solved: fits on these meshes that are
    known already, by interference and temperature.
    """

    def __init__(
        self,
        case: Case,
        resolution: Resolution,
        *,
        max_nodes: int = MAX_NODES,
        meshes: tuple[Discretisation, ...] = (),
        solved: Mapping[FitKey, Bracket] | None = None,
    ) -> None:
        self.case = case
        self.resolution = resolution
        self.joint = joint(case.shell, case.sleeve)
        self.meshes = meshes or _meshes(case, self.joint, resolution, max_nodes)
        self._solved: dict[FitKey, Bracket] = dict(solved or {})

    @property
    def fine(self) -> Discretisation:
        return self.meshes[0]

    @property
    def coarse(self) -> Discretisation:
        return self.meshes[1]

    def finest_only(self) -> FitStudy:
        """This study on its finest mesh alone, whose values carry no numerical error: it saves time where
        many fits are solved and their errors are not needed."""
        return FitStudy(self.case, self.resolution, meshes=self.meshes[:1], solved=self._solved_on_finest())

    def _solved_on_finest(self) -> dict[FitKey, Bracket]:
        return {key: Bracket(b.free[:1], b.stuck[:1]) for key, b in self._solved.items()}

    @cached_property
    def nominal_interference(self) -> float:
        """Likely effective diametral interference, averaged along the seats, mm."""
        return mean_interference(self.interference.seats)

    @cached_property
    def interference(self) -> EffectiveInterference:
        """Effective interference of every seat, with its errors."""
        return effective_interference(self.case, self.joint)

    @cached_property
    def interference_half_width(self) -> float:
        """Half-width of the 95 % interval of the diametral interference of the least certain seat, mm."""
        return self.interference.errors.half_width()

    def at(self, shift: float, temperature_rise: float | None = None) -> Bracket:
        """The fit with every diametral interference changed by `shift`, mm; solved once, then cached.

        temperature_rise: K above 20 °C; None stands for the case's [fit] temperature.
        """
        rise = self.case.fit.temperature_rise_K if temperature_rise is None else temperature_rise
        key = (round(shift, 9), rise)
        if key not in self._solved:
            free, stuck = (
                tuple(self._solve(mesh, shift, rise, held) for mesh in self.meshes)
                for held in (False, True)
            )
            self._solved[key] = Bracket(free, stuck)
        return self._solved[key]

    @property
    def least(self) -> Bracket:
        """The fit at the lower end of the 95 % interval of the interference."""
        return self.at(-self.interference_half_width)

    @property
    def nominal(self) -> Bracket:
        """The fit at the likely interference."""
        return self.at(0.0)

    @property
    def greatest(self) -> Bracket:
        """The fit at the upper end of the 95 % interval of the interference."""
        return self.at(self.interference_half_width)

    def stations(self, count: int = 13) -> np.ndarray:
        """Evenly spaced z along the sleeve, ends included, mm, at which values are reported."""
        return np.linspace(self.case.sleeve.z_start, self.case.sleeve.z_end, count)

    @staticmethod
    def _solve(mesh: Discretisation, shift: float, rise: float, stuck: bool) -> FitSolution:
        press = mesh.solver.press(mesh.profile + fem.radial(shift), stuck=stuck, temperature_rise=rise)
        return FitSolution(mesh, press, rise)
