"""Models and small solves that the finite-element tests share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import pi

import numpy as np
from scipy.sparse import csr_matrix, identity

from hoopwright.fem import (
    Elastic,
    FitSolver,
    FrictionSolver,
    MeshedJoint,
    Moment,
    PressFit,
    Resolution,
    StressRecovery,
    Way,
    mesh_joint,
    von_mises,
)
from hoopwright.fem.condensed_seat import SeatLoad
from hoopwright.fem.face_load import face_load
from hoopwright.fem.grid import Grid
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.fem.linear_solver import factorise
from hoopwright.fem.mesh import join
from hoopwright.fem.plastic_newton import Constraint
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import COMPONENTS, TH
from hoopwright.geometry import BoreZone, Land, Shell, Sleeve
from hoopwright.geometry.joint import Joint, joint
from hoopwright.geometry.land import cylinder
from hoopwright.loads.fourier_series import half_cosine
from hoopwright.loads.traction import FourierTraction, traction

STEEL = Elastic(205e3, 0.29, 12e-6)
ALUMINIUM = Elastic(69e3, 0.33, 23e-6)
MATERIALS = {"sleeve": STEEL, "shell": ALUMINIUM}
COARSE = Resolution(elements_through_wall=2).scaled(1.5)
PUSHED = Way(1)
EVERY_WAY = tuple(Way(*given) for given in product((1, -1), (False, True), (False, True)))


def sleeved_shell(
    *,
    width: float,
    outside: float,
    bore: float,
    sleeve_bore: float,
    interference: float = 0.0,
    start: float = 0.0,
    end: float | None = None,
    turned: tuple[Land, ...] | None = None,
) -> Joint:
    """A plain shell and a plain sleeve, diameters and interference in mm.

    turned: lands of the sleeve's outside, when it is not one plain cylinder.
    """
    end = width if end is None else end
    turned = turned or (cylinder(start, end, bore + interference),)
    shell = Shell(width, (cylinder(0.0, width, outside),), (cylinder(0.0, width, bore),))
    return joint(shell, Sleeve(start, end, turned, (BoreZone(start, end, sleeve_bore),)))


def crank_shell(*, start: float = 0.0, end: float = 73.0, interference: float = 0.040) -> Joint:
    """An aluminium shell 44/39 mm with a steel sleeve bored 34.9 mm."""
    return sleeved_shell(
        width=73.0,
        outside=44.0,
        bore=39.0,
        sleeve_bore=34.9,
        interference=interference,
        start=start,
        end=end,
    )


def random_joint(rng: np.random.Generator) -> Joint:
    """A crank shell with a sleeve of one to four lands: tight, tapered, clear or relieved.

    At least one is tight by 40 µm, none by more than 60 µm.
    """
    start, end = rng.choice([0.0, 8.0]), rng.choice([65.0, 73.0])
    cuts = np.linspace(start, end, rng.integers(2, 6))
    cuts[1:-1] += rng.uniform(-3.0, 3.0, len(cuts) - 2)
    ends = [(0.040, 0.040)]
    for kind in rng.choice(["tight", "tapered", "clear", "relieved"], len(cuts) - 2):
        tight, loose = rng.uniform(0.020, 0.060), rng.uniform(-0.010, 0.020)
        step = {"tight": (tight, tight), "tapered": (tight, loose), "clear": (-0.01, -0.01)}
        ends.append(step.get(kind, (-0.6, -0.6)))
    rng.shuffle(ends)
    turned = tuple(
        Land(a, b, 39.0 + x, 39.0 + y) for a, b, (x, y) in zip(cuts[:-1], cuts[1:], ends, strict=True)
    )
    return sleeved_shell(
        width=73.0, outside=44.0, bore=39.0, sleeve_bore=34.9, start=start, end=end, turned=turned
    )


@dataclass(frozen=True)
class Pressed:
    """A solved press fit and the results that the tests read from it."""

    meshed_joint: MeshedJoint
    fit: PressFit
    temperature_rise: float = 0.0

    @property
    def mean_pressure(self) -> float:
        weight = self.meshed_joint.interface.weight
        return float(self.fit.pressure @ weight / weight.sum())

    @cached_property
    def recovery(self) -> StressRecovery:
        return StressRecovery(self.meshed_joint.model)

    @cached_property
    def stress(self) -> np.ndarray:
        return self.recovery.stress(self.fit.displacement, temperature_rise=self.temperature_rise)

    def moved(self, face: str, z: float) -> float:
        """Radial displacement of a face at z, mm."""
        return float(on_face(self.meshed_joint.model, face, self.fit.displacement[:, 0], z))

    def surface(self, face: str, z: float) -> np.ndarray:
        """Stress at a face at z, (6,), MPa."""
        nodal = self.recovery.at_nodes(self.stress)
        return np.array([on_face(self.meshed_joint.model, face, s, z) for s in nodal.T])


def on_face(model: Model, face: str, values: np.ndarray, z: float) -> float:
    """Interpolate nodal values along a cylindrical face."""
    nodes = np.unique(model.mesh.face(face).nodes)
    nodes = nodes[np.argsort(model.mesh.nodes[1, nodes])]
    return float(np.interp(z, model.mesh.nodes[1, nodes], values[nodes]))


def interference_profile(meshed_joint: MeshedJoint) -> np.ndarray:
    """Radial interference at the contact pairs, mm, from the lands of the joint."""
    return meshed_joint.radial_interference()


def press(
    pair: Joint,
    materials: dict[str, Elastic],
    resolution: Resolution | None = None,
    *,
    stuck: bool = False,
    ends_held: bool = False,
    temperature_rise: float = 0.0,
) -> Pressed:
    meshed_joint = mesh_joint(pair, materials, resolution or Resolution())
    solver = FitSolver(meshed_joint.model, meshed_joint.interface, ends_held=ends_held)
    fit = solver.press(interference_profile(meshed_joint), stuck=stuck, temperature_rise=temperature_rise)
    return Pressed(meshed_joint, fit, temperature_rise)


def tube(
    inner: float,
    outer: float,
    length: float,
    *,
    columns: int,
    rows: int,
    start: float = 0.0,
    name: str = "wall",
) -> Grid:
    """A plain tube divided into equal elements; radii and length in mm."""
    r = np.broadcast_to(np.linspace(inner, outer, rows + 1), (columns + 1, rows + 1))
    z = np.repeat(np.linspace(start, start + length, columns + 1)[:, None], rows + 1, axis=1)
    return Grid(name, r, z, np.ones((columns, rows), dtype=bool))


def tube_model(material: Elastic, *grid_args: float, columns: int, rows: int) -> Model:
    return Model(join(tube(*grid_args, columns=columns, rows=rows)), {"wall": material})


def component(model: Model, which: int, *faces: str) -> np.ndarray:
    """Unknowns of one displacement component on faces, or everywhere if no face is named."""
    if not faces:
        return np.arange(which, model.size, 3)
    return np.unique(np.concatenate([3 * model.mesh.face(f).nodes.ravel() + which for f in faces]))


def fixed_constraint(size: int, fixed: np.ndarray) -> Constraint:
    """A constraint that fixes the given unknowns, and always u_θ, and ties nothing."""
    free = np.ones(size, dtype=bool)
    free[fixed] = False
    free[TH::COMPONENTS] = False
    return Constraint(csr_matrix(identity(size)), np.flatnonzero(free), np.zeros_like)


def solve(model: Model, load: np.ndarray, fixed: Sequence[np.ndarray], *, n: int = 0) -> np.ndarray:
    """Displacement (nodes, 3) of one harmonic with the `fixed` unknowns at zero."""
    free = np.setdiff1d(np.arange(model.size), np.concatenate(fixed))
    u = np.zeros(model.size)
    u[free] = factorise(model.stiffness.at(n)[free][:, free]).solve(load[free])
    return u.reshape(-1, 3)


def clamped_crank_shell(resolution: Resolution | None = None) -> ServiceSolver:
    """The crank shell with its full-length sleeve, clamped on the outside between 20 and 53 mm."""
    meshed_joint = mesh_joint(
        crank_shell(), MATERIALS, resolution or Resolution(), load_edges=(11.0, 20.0, 53.0, 62.0)
    )
    return ServiceSolver(meshed_joint, joined_everywhere(meshed_joint), clamped=(20.0, 53.0))


def joined_everywhere(meshed_joint: MeshedJoint) -> np.ndarray:
    return np.ones(len(meshed_joint.interface.z), dtype=bool)


def bearing_pushes(
    harmonics: int = 12, *, turned: float = 0.0, factor: float = 1.0
) -> tuple[FourierTraction, ...]:
    """Half-cosine pressure of 10 MPa at both ends of the bore, in opposite directions."""
    return tuple(
        traction(
            "sleeve.bore",
            level=17.45,
            start=start,
            end=end,
            radial=half_cosine(10.0 * factor, towards=towards, harmonics=harmonics),
        ).rotated(turned)
        for start, end, towards in ((0.0, 11.0, 0.0), (62.0, 73.0, np.pi))
    )


@dataclass(frozen=True)
class FrictionPress:
    """A meshed joint and the solver of its friction paths."""

    meshed_joint: MeshedJoint
    solver: FrictionSolver
    radial_interference: np.ndarray

    def slid(self, friction: float, way: Way = PUSHED) -> Moment:
        return self.solver.slide(self.radial_interference, friction=friction, way=way)

    def then(self, before: Moment, load: SeatLoad, friction: float, *, steps: int = 4) -> Moment:
        return self.solver.follow(before, self.radial_interference, load, friction=friction, steps=steps)

    def let_go(self, friction: float, way: Way = PUSHED) -> Moment:
        return self.then(self.slid(friction, way), self.solver.no_load, friction)

    def free(self, rise: float = 0.0) -> Moment:
        return self.solver.without_friction(self.radial_interference, temperature_rise=rise)

    def path(
        self, friction: float, rises: Sequence[float], *, way: Way = PUSHED, steps: int = 4
    ) -> Iterator[Moment]:
        """Yield the fit as the sleeve slides, once it is let go, and at each temperature rise in turn."""
        moment = self.slid(friction, way)
        yield moment
        for rise in (0.0, *rises):
            moment = self.then(moment, self.solver.warmed(rise), friction, steps=steps)
            yield moment

    def pulled_with(self, newtons: float) -> SeatLoad:
        """A force along +z on the sleeve's right face, held by the shell's."""
        faces = [
            face_load(self.meshed_joint.model.mesh, f, np.array([0.0, 0.0, 1.0]))
            for f in ("sleeve.right", "shell.right")
        ]
        on_sleeve, on_shell = (face * newtons / (2.0 * pi * face.sum()) for face in faces)
        return self.solver.seat.load(on_sleeve - on_shell)

    def peaks(self, moment: Moment, rise: float = 0.0) -> list[float]:
        """Greatest von Mises stress of membrane + bending, MPa, in sleeve and shell, line by line.

        No line is averaged with its neighbours, as `StressRecovery.linearised` does.
        """
        recovery = self.meshed_joint.recovery
        stress = recovery.stress(self.solver.fit(moment).displacement, temperature_rise=rise)
        stress, peaks = stress.reshape(-1, 6), []
        for body in ("sleeve", "shell"):
            membrane, bending = (
                w @ stress for w in (recovery.lines[body].mean, recovery.lines[body].linear)
            )
            peaks.append(max(von_mises(membrane + s * bending).max() for s in (1.0, -1.0)))
        return peaks

    @cached_property
    def touching(self) -> float:
        """Greatest contact pressure without friction, MPa."""
        return float(self.solver.fit(self.free()).pressure.max())


def friction_press(
    pair: Joint, materials: dict[str, Elastic] | None = None, resolution: Resolution = COARSE
) -> FrictionPress:
    meshed_joint = mesh_joint(pair, materials or MATERIALS, resolution)
    solver = FrictionSolver(meshed_joint.model, meshed_joint.interface)
    return FrictionPress(meshed_joint, solver, meshed_joint.radial_interference())
