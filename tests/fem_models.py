"""Models and small solves that the finite-element tests share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.fem import Elastic, FitSolver, MeshedJoint, PressFit, Resolution, StressRecovery, mesh_joint
from hoopwright.fem.grid import Grid
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.fem.linear_solver import factorise
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.geometry import BoreZone, Land, Shell, Sleeve
from hoopwright.geometry.joint import Joint, joint
from hoopwright.geometry.land import cylinder
from hoopwright.loads.fourier_series import half_cosine
from hoopwright.loads.traction import FourierTraction, traction

STEEL = Elastic(205e3, 0.29, 12e-6)
ALUMINIUM = Elastic(69e3, 0.33, 23e-6)
MATERIALS = {"sleeve": STEEL, "shell": ALUMINIUM}


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
