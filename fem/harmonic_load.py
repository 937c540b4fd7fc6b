"""Consistent nodal forces of tractions that vary with θ, harmonic by harmonic.

    t(θ, s) = f(s) Σ_n (c_n cos nθ + d_n sin nθ)   →   F_n = ∫ N f ds · (coefficients of n)

The cosine family of harmonic n is loaded by the cosine terms of t_r and t_z and the sine term of t_θ;
the sine family by the sine terms of t_r and t_z and minus the cosine term of t_θ, as its u_θ ~ −cos nθ.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.errors import MeshError
from hoopwright.fem.face_load import FaceBasis, FaceQuadrature
from hoopwright.fem.mesh import Mesh
from hoopwright.fem.strain import COMPONENTS, TH, Z
from hoopwright.loads.traction import FourierTraction

FAMILIES = 2
NEGLIGIBLE = 1e-13  # fraction of a traction's largest coefficient; below it a coefficient is rounding
COVERAGE_TOLERANCE = 1e-6  # fraction of a loaded band that may lie off the face before it is an error


@lru_cache(maxsize=4096)
def coefficients(t: FourierTraction) -> np.ndarray:
    """Amplitudes of a traction at unit factor, (harmonics, families, components), MPa.

    The array is cached and shared by all meshes and harmonics: do not modify it.
    """
    cosine = np.array([t.radial_cos, t.hoop_sin, t.axial_cos])
    sine = np.array([t.radial_sin, np.negative(t.hoop_cos), t.axial_sin])
    return np.stack([cosine, sine]).transpose(2, 0, 1)


@dataclass(frozen=True)
class CaseLoads:
    """Load cases on one mesh, grouped by loaded band.

    harmonics: every n at which some traction has a coefficient, ascending. amplitude: (harmonics, bands,
    cases, families, components), MPa. force_weights, moment_weights: (nodes, bands), ∫ N f dA, mm² per
    radian, see _band_weights.
    """

    harmonics: tuple[int, ...]
    amplitude: np.ndarray
    force_weights: csr_matrix
    moment_weights: csr_matrix

    def nodal(self, n: int) -> np.ndarray:
        """Nodal forces of harmonic n, (cases, families, nodes, components), N per radian."""
        _, bands, *rest = self.amplitude.shape
        force = np.zeros((self.force_weights.shape[0], *rest))
        if n < len(self.amplitude) and bands:
            lever = TH if n == 0 else Z
            amplitude = self.amplitude[n]
            force[:] = (self.force_weights @ amplitude.reshape(bands, -1)).reshape(force.shape)
            turning = self.moment_weights @ amplitude[..., lever].reshape(bands, -1)
            force[..., lever] = turning.reshape(force.shape[:-1])
        return np.moveaxis(force, 0, -2)


@dataclass
class HarmonicLoads:
    """Converts load cases to nodal forces on one mesh; the weights of each loaded band are cached."""

    mesh: Mesh
    _weights: dict[tuple, tuple[csr_matrix, csr_matrix]] = field(default_factory=dict)

    def assemble(self, cases: Sequence[Sequence[FourierTraction]]) -> CaseLoads:
        """Group the cases by loaded band, so that the forces of a harmonic take two matrix products.

        Raises MeshError for an unknown face or a band that extends beyond its face.
        """
        acting = [(case, t, coefficients(t)) for case, given in enumerate(cases) for t in given]
        acting = [(case, t, c) for case, t, c in acting if np.any(c)]
        terms = max((len(c) for *_, c in acting), default=0)
        bands = {_key(t): t for _, t, _ in acting}
        band_index = {key: k for k, key in enumerate(bands)}
        amplitude = np.zeros((terms, len(bands), len(cases), FAMILIES, COMPONENTS))
        present: set[int] = set()
        for case, t, c in acting:
            amplitude[: len(c), band_index[_key(t)], case] += c
            size = np.max(np.abs(c), axis=(1, 2))
            present |= set(np.flatnonzero(size > NEGLIGIBLE * np.max(size)).tolist())
        key = tuple(bands)
        if key not in self._weights:
            self._weights[key] = _band_weights(self.mesh, list(bands.values()))
        return CaseLoads(tuple(sorted(present)), amplitude, *self._weights[key])


def _key(t: FourierTraction) -> tuple:
    """Cache key: everything the nodal weights of a traction depend on."""
    return t.face, t.level, t.start, t.end, t.factor_start, t.factor_end


def _band_weights(mesh: Mesh, bands: Sequence[FourierTraction]) -> tuple[csr_matrix, csr_matrix]:
    """Nodal weights ∫ N f dA of every band, (nodes, bands), mm² per radian, for force and for moment.

    A traction is stated on a cylinder of radius `level`, but the mesh may carry it at another radius (a
    thread's load acts on the pitch cylinder, its structural bore is the root). Integrating level · dz
    preserves forces; level² / r · dz preserves the torque of n = 0 hoop traction and the bending moment
    of n >= 1 axial traction.
    """
    shape = mesh.nodes.shape[1], len(bands)
    force, moment = csr_matrix(shape), csr_matrix(shape)
    for name in dict.fromkeys(t.face for t in bands):
        column = np.array([k for k, t in enumerate(bands) if t.face == name])
        on_face = [bands[k] for k in column]
        at = FaceBasis(mesh, mesh.face(name)).quadrature(
            np.array([t.start for t in on_face]), np.array([t.end for t in on_face])
        )
        measure, lever = _measures(at, on_face)
        points = np.arange(len(at.step)), column[at.part]
        size = len(at.step), len(bands)
        force = force + at.shape.T @ csr_matrix((measure, points), shape=size)
        moment = moment + at.shape.T @ csr_matrix((measure * lever, points), shape=size)
    return force, moment


def _measures(at: FaceQuadrature, bands: Sequence[FourierTraction]) -> tuple[np.ndarray, np.ndarray]:
    """f dA at the points, mm² per radian, and the lever of a moment there, (points,) each.

    bands: those of the parts, all on one face. Raises MeshError for one that extends beyond its face.
    """
    measure, lever = at.step.copy(), np.ones_like(at.step)
    edges = np.searchsorted(at.part, np.arange(len(bands) + 1))
    for t, first, last in zip(bands, edges[:-1], edges[1:], strict=True):
        here = slice(first, last)
        missing = 1.0 - float(at.step[here].sum()) / (t.end - t.start)
        if abs(missing) > COVERAGE_TOLERANCE:
            raise MeshError(
                f"load on {t.face} from {t.start:g} to {t.end:g} mm reaches beyond the face: "
                f"{100 * missing:.3g} % of it lies off the face"
            )
        r, z = at.r[here], at.z[here]
        measure[here] *= t.factor(r if t.on_end_face else z) * (r if t.on_end_face else t.level)
        if not t.on_end_face:
            lever[here] = t.level / r
    return measure, lever
