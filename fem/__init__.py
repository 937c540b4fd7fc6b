"""Finite elements for two bodies of revolution, one pressed into the other.

The package covers meshing, weak forms, contact and stress recovery, and knows nothing of files, unit
conversion or what the part is for. Lengths in mm, forces in N, stresses in MPa, temperatures in K;
x[0] = r, x[1] = z. Geometry is stated in diameters; the solvers take the radial interference at the contact
pairs, half of the diametral one (`MeshedJoint.radial_interference`, `radial`).

`mesh_joint` makes the model. `FitSolver` solves the press fit, frictionless or stuck, `FrictionSolver` the
fit with Coulomb friction while the sleeve is pushed in and through what comes after, `PlasticPress` the fit
past yield, and `ServiceSolver` loads that vary round the axis. Each refuses what it cannot take with a
ValueError, of which MeshError is one, before it solves; a solve that does not converge raises SolveError,
of which SlidesError is one: an axial load that friction cannot carry.

The contact pressure of a sleeve pressed into a shell with 0.040 mm of interference, along z:

    import matplotlib.pyplot as plt
    from hoopwright.fem import Elastic, FitSolver, Resolution, mesh_joint
    from hoopwright.geometry import BoreZone, Shell, Sleeve, cylinder, joint

    shell = Shell(73.0, outside=(cylinder(0.0, 73.0, 44.0),), bore=(cylinder(0.0, 73.0, 39.0),))
    sleeve = Sleeve(0.0, 73.0, outside=(cylinder(0.0, 73.0, 39.04),), bore=(BoreZone(0.0, 73.0, 34.9),))
    materials = {"shell": Elastic(69e3, 0.33), "sleeve": Elastic(205e3, 0.29)}
    meshed = mesh_joint(joint(shell, sleeve), materials, Resolution())
    solver = FitSolver(meshed.model, meshed.interface)
    fit = solver.press(meshed.radial_interference(), stuck=False)
    plt.plot(meshed.interface.z, fit.pressure)
    plt.xlabel("z, mm")
    plt.ylabel("contact pressure, MPa")
    plt.show()
"""

from hoopwright.fem.contact import FitSolver, PressFit
from hoopwright.fem.coulomb import SlidesError
from hoopwright.fem.elastic import Elastic, von_mises
from hoopwright.fem.errors import MeshError, MeshSizeError, SolveError
from hoopwright.fem.fourier_sum import HarmonicResponse
from hoopwright.fem.friction import FrictionFit, FrictionSolver, Moment, Way
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.fem.interface import Interface, radial
from hoopwright.fem.mesh import Mesh
from hoopwright.fem.mesh_joint import MeshedJoint, Resolution, mesh_joint
from hoopwright.fem.plastic import Yield
from hoopwright.fem.plastic_press import PlasticFit, PlasticPress
from hoopwright.fem.stiffness import Model
from hoopwright.fem.stress import Linearised, StressRecovery

__all__ = [
    "Elastic",
    "FitSolver",
    "FrictionFit",
    "FrictionSolver",
    "HarmonicResponse",
    "Interface",
    "Linearised",
    "Mesh",
    "MeshError",
    "MeshSizeError",
    "MeshedJoint",
    "Model",
    "Moment",
    "PlasticFit",
    "PlasticPress",
    "PressFit",
    "Resolution",
    "ServiceSolver",
    "SlidesError",
    "SolveError",
    "StressRecovery",
    "Way",
    "Yield",
    "mesh_joint",
    "radial",
    "von_mises",
]
