"""Finite elements for two bodies of revolution, one pressed into the other.

The package covers meshing, weak forms, contact and stress recovery, and knows nothing of files, unit
conversion or what the part is for. Lengths in mm, forces in N, stresses in MPa, temperatures in K;
x[0] = r, x[1] = z.
"""

from hoopwright.fem.contact import FitSolver, PressFit
from hoopwright.fem.elastic import Elastic, von_mises
from hoopwright.fem.errors import MeshError, MeshSizeError, SolveError
from hoopwright.fem.mesh_joint import MeshedJoint, Resolution, mesh_joint
from hoopwright.fem.stress import Linearised, StressRecovery

__all__ = [
    "Elastic",
    "FitSolver",
    "Linearised",
    "MeshError",
    "MeshSizeError",
    "MeshedJoint",
    "PressFit",
    "Resolution",
    "SolveError",
    "StressRecovery",
    "mesh_joint",
    "von_mises",
]
