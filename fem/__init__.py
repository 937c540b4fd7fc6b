"""Finite elements for two bodies of revolution, one pressed into the other.

Knows meshes, weak forms, contact and stress; knows nothing of files, units or what the part is for.
Lengths mm, force N, stress MPa, temperature K; x[0] = r, x[1] = z.
"""

from fem.contact import FitSolver, PressFit
from fem.draw import Assembly, Resolution, draw
from fem.elastic import Elastic, von_mises
from fem.errors import MeshError, MeshSizeError, SolveError
from fem.stress import Linearised, Recovery

__all__ = [
    "Assembly", "Elastic", "FitSolver", "Linearised", "MeshError", "MeshSizeError",
    "PressFit", "Recovery", "Resolution", "SolveError", "draw", "von_mises",
]
