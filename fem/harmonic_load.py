"""Nodal forces of tractions that vary round the bodies, harmonic by harmonic.

    t(θ, s) = f(s) Σ_n (c_n cos nθ + d_n sin nθ)   →   F_n = ∫ N f ds · (coefficients of n)

The cosine family of harmonic n is pushed by the cosine parts of t_r and t_z and the sine part of
t_θ; the sine family by the sine parts and minus the cosine part, since its u_θ goes as −cos nθ.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from scipy.sparse import csr_matrix

from fem.errors import MeshError
from fem.mesh import Mesh
from fem.strain import COMPONENTS, TH, Z
from fem.traction import POINTS, WEIGHTS, loaded_sides, side_shapes
from loads.traction import FourierTraction

FAMILIES = 2
COSINE, SINE = 0, 1
NOTHING = 1e-13  # of a traction's largest coefficient: rounding of a cosine that should be zero
COVERED = 1e-6  # share of a loaded stretch that may miss the face before it is called a fault


@lru_cache(maxsize=4096)
def coefficients(t: FourierTraction) -> np.ndarray:
    """Amplitudes (harmonics, families, components) of a traction at factor one, MPa. Do not modify them:
    they are kept, since every harmonic of every mesh asks for them again."""
    cosine = np.array([t.radial_cos, t.hoop_sin, t.axial_cos])
    sine = np.array([t.radial_sin, np.negative(t.hoop_cos), t.axial_sin])
    return np.stack([cosine, sine]).transpose(2, 0, 1)


@dataclass(frozen=True)
class CaseLoads:
    """Load cases on one mesh. harmonics: every n at which some traction is not nothing, rising.

    amplitude: (harmonics, bands, cases, families, components), MPa. plain, levered: (nodes, bands),
    ∫ N f dA, mm² per radian, see _band_weights.
    """

    harmonics: tuple[int, ...]
    amplitude: np.ndarray
    plain: csr_matrix
    levered: csr_matrix

    def nodal(self, n: int) -> np.ndarray:
        """Forces of harmonic n, (cases, families, nodes, components), N per radian."""
        _, bands, *rest = self.amplitude.shape
        force = np.zeros((self.plain.shape[0], *rest))
        if n < len(self.amplitude) and bands:
            lever = TH if n == 0 else Z
            amplitude = self.amplitude[n]
            force[:] = (self.plain @ amplitude.reshape(bands, -1)).reshape(force.shape)
            turning = self.levered @ amplitude[..., lever].reshape(bands, -1)
            force[..., lever] = turning.reshape(force.shape[:-1])
        return np.moveaxis(force, 0, -2)


@dataclass
class HarmonicLoads:
    """Turns load cases into nodal forces on one mesh; remembers the bands it has met."""

    mesh: Mesh
    _bands: dict[tuple, tuple[np.ndarray, np.ndarray, np.ndarray]] = field(default_factory=dict)

    def of(self, cases: Sequence[Sequence[FourierTraction]]) -> CaseLoads:
        """The cases gathered by band, so that a harmonic takes two products.

        Raises MeshError for a face that is not there or a band that reaches beyond its face.
        """
        acting = [(case, t, coefficients(t)) for case, given in enumerate(cases) for t in given]
        acting = [(case, t, c) for case, t, c in acting if np.any(c)]
        most = max((len(c) for *_, c in acting), default=0)
        bands = {_key(t): t for _, t, _ in acting}
        place = {key: k for k, key in enumerate(bands)}
        amplitude = np.zeros((most, len(bands), len(cases), FAMILIES, COMPONENTS))
        found: set[int] = set()
        for case, t, c in acting:
            amplitude[:len(c), place[_key(t)], case] += c
            size = np.max(np.abs(c), axis=(1, 2))
            found |= set(np.flatnonzero(size > NOTHING * np.max(size)).tolist())
        weights = [self._band(t) for t in bands.values()]
        return CaseLoads(tuple(sorted(found)), amplitude, *self._matrices(weights))

    def _matrices(
        self, weights: list[tuple[np.ndarray, np.ndarray, np.ndarray]]
    ) -> tuple[csr_matrix, csr_matrix]:
        shape = self.mesh.nodes.shape[1], len(weights)
        if not weights:
            return csr_matrix(shape), csr_matrix(shape)
        row = np.concatenate([nodes for nodes, *_ in weights])
        column = np.repeat(np.arange(len(weights)), [len(nodes) for nodes, *_ in weights])
        plain, levered = (np.concatenate([w[k] for w in weights]) for k in (1, 2))
        return csr_matrix((plain, (row, column)), shape), csr_matrix((levered, (row, column)), shape)

    def _band(self, t: FourierTraction) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        key = _key(t)
        if key not in self._bands:
            self._bands[key] = _band_weights(self.mesh, t)
        return self._bands[key]


def _key(t: FourierTraction) -> tuple:
    """What the nodal weights of a traction depend on."""
    return t.face, t.level, t.start, t.end, t.factor_start, t.factor_end


def _band_weights(mesh: Mesh, t: FourierTraction) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Nodes of a face and ∫ N f dA on them, mm² per radian, plain and with the lever put right.

    A traction is stated on a cylinder of radius `level`, the mesh may carry it at another radius (a
    thread's load acts on the pitch cylinder, its structural bore is the root). Forces are kept by
    integrating level · dz; the torque of n = 0 hoop traction and the bending moment of n >= 1 axial
    traction are kept by level² / r · dz.
    """
    face = mesh.face(t.face)
    first, span, low, high = loaded_sides(mesh, face, t.start, t.end)
    used = high > low
    along = 0 if t.on_end_face else 1
    missing = 1.0 - float(np.sum(((high - low) * span[along])[used])) / (t.end - t.start)
    if abs(missing) > COVERED:
        raise MeshError(
            f"load on {t.face} from {t.start:g} to {t.end:g} mm reaches beyond the face: "
            f"{100 * missing:.3g} % of it falls on nothing"
        )
    first, span, low, high = first[:, used], span[:, used], low[used], high[used]
    s = low[:, None] + (high - low)[:, None] * POINTS
    r, z = first[:, :, None] + span[:, :, None] * s
    measure = (high - low)[:, None] * WEIGHTS * span[along][:, None]
    measure = measure * (r if t.on_end_face else t.level)
    measure = measure * t.factor(r if t.on_end_face else z)
    shape = side_shapes(s)
    plain = np.einsum("snp,sp->sn", shape, measure)
    levered = plain if t.on_end_face else np.einsum("snp,sp->sn", shape, measure * t.level / r)
    nodes, place = np.unique(face.nodes[used], return_inverse=True)
    place = place.ravel()
    return (nodes, np.bincount(place, plain.ravel()), np.bincount(place, levered.ravel()))
