"""Stress at a cylindrical surface from the surface displacement and the traction on it.

    ε_θθ = u_r/r − αΔT,   ε_zz = ∂u_z/∂z − αΔT
    σ_θθ = E/(1 − ν²) (ε_θθ + ν ε_zz) + ν/(1 − ν) σ_rr

σ_rr is known there: minus the pressure. This is more accurate than extrapolating interior stress to the
surface, because displacements converge faster than their derivatives. Source: Hooke's law.
"""

from __future__ import annotations

import numpy as np

from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import R, Z


def surface_hoop(
    model: Model,
    face: str,
    displacement: np.ndarray,
    radial_stress: np.ndarray | float,
    *,
    temperature_rise: float = 0.0,
) -> tuple[np.ndarray, np.ndarray]:
    """Position z, mm, and hoop stress, MPa, (sides,) each, at mid-side of a cylindrical face.

    face: e.g. "shell.bore". displacement: (nodes, 3), mm, n = 0. radial_stress: σ_rr on the face at the
    same points, (sides,) or one number, MPa. temperature_rise: K.
    """
    nodes = model.mesh.face(face).nodes
    material = model.materials[face.split(".")[0]]
    E, nu = material.young_modulus, material.poisson_ratio
    free = material.expansion * material.effective(temperature_rise)
    z = model.mesh.nodes[1, nodes]
    hoop = displacement[nodes[:, 1], R] / model.mesh.nodes[0, nodes[:, 1]] - free
    axial = (displacement[nodes[:, 2], Z] - displacement[nodes[:, 0], Z]) / (z[:, 2] - z[:, 0]) - free
    stress = E / (1.0 - nu**2) * (hoop + nu * axial) + nu / (1.0 - nu) * np.asarray(radial_stress)
    return z[:, 1], stress
