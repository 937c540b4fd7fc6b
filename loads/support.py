"""Support of the shell in service: tube footprints with balanced reactions, or a clamped band."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hoopwright.geometry.land import Land
from hoopwright.geometry.tubes import Patch, Tube, footprint
from hoopwright.loads.fourier_series import FourierSeries, patch
from hoopwright.loads.traction import MAX_HARMONIC, FourierTraction, resultant, traction

FACE = "shell.outside"


@dataclass(frozen=True)
class ClampedBand:
    """A band of the shell's outside held rigidly (all displacements zero), for comparison. Ends in mm."""

    z_start: float
    z_end: float

    def __post_init__(self) -> None:
        if not self.z_start < self.z_end:
            raise ValueError(f"need z_start < z_end, got {self.z_start} and {self.z_end} mm")


@dataclass(frozen=True)
class TubeSupport:
    """Tubes that support the shell through tractions on their footprints, each divided into `strips`.

    Reactions are found by the name of their tube: raises ValueError for two tubes of one name.
    """

    tubes: tuple[Tube, ...]
    strips: int = 6

    def __post_init__(self) -> None:
        if not self.tubes:
            raise ValueError("at least one tube must support the shell")
        names = [tube.name for tube in self.tubes]
        repeated = next((name for name in names if names.count(name) > 1), None)
        if repeated is not None:
            raise ValueError(f"two tubes are named {repeated!r}; give each tube a name of its own")


@dataclass(frozen=True)
class SupportReaction:
    """The reaction of one tube: tractions on its footprint."""

    tube: Tube
    tractions: tuple[FourierTraction, ...]

    @property
    def name(self) -> str:
        return self.tube.name

    @property
    def z(self) -> float:
        """Where the tube's axis meets the shell's axis, mm."""
        return self.tube.z_centre


Footprints = tuple[tuple[Tube, tuple[Patch, ...]], ...]
"""Every tube with the strips of its footprint."""


def tube_reactions(
    loads: Iterable[FourierTraction],
    support: TubeSupport,
    outside: Sequence[Land],
    *,
    harmonics: int = MAX_HARMONIC,
) -> tuple[SupportReaction, ...]:
    """Reactions of the tubes that balance the resultant force and moment of `loads`, in order of the tubes.

    Every footprint acts as an elastic foundation under a rigid shell: t = k (a + b × (x - x_c)), with k
    the tube's relative stiffness and x_c the area-weighted centre of the footprints on the axis. The six
    components of a and b follow from equilibrium. Only n = 0 and 1 carry a resultant, so truncating the
    series at `harmonics` keeps the balance exact. Raises ValueError when equilibrium cannot be found.
    """
    if harmonics < 1:
        raise ValueError(f"reactions need harmonics 0 and 1 at least, got {harmonics}")
    footprints, centre, length, matrix = _foundation(support, tuple(outside))
    if np.linalg.cond(matrix) > 1e10:
        raise ValueError("the tubes' footprints are too small to support the shell against rotation")
    mode = np.linalg.solve(matrix, -_wrench(loads, centre, length))
    return _reactions(footprints, mode, centre, length, harmonics)


@lru_cache(maxsize=16)
def _foundation(
    support: TubeSupport, outside: tuple[Land, ...]
) -> tuple[Footprints, float, float, np.ndarray]:
    """Footprints of the tubes, x_c, a reference length, and the 6 × 6 stiffness matrix.

    The columns of the matrix are the resultants of the six unit motions, with moments about x_c divided
    by the length, so that all six equations are in newtons. Cached, as it does not depend on the loads.
    """
    footprints = tuple((tube, footprint(tube, outside, strips=support.strips)) for tube in support.tubes)
    centre = _centre(footprints)
    length = max(area.radius for _, areas in footprints for area in areas)
    columns = []
    for mode in np.eye(6):
        reactions = _reactions(footprints, mode, centre, length, 1)
        columns.append(_wrench((t for one in reactions for t in one.tractions), centre, length))
    return footprints, centre, length, np.stack(columns, axis=1)


def _centre(footprints: Footprints) -> float:
    """Centre of the footprints on the axis, z, mm, weighted by area and relative stiffness."""
    strips = [(tube.relative_stiffness, area) for tube, areas in footprints for area in areas]
    weights = [stiffness * area.area for stiffness, area in strips]
    return float(np.average([0.5 * (a.z_start + a.z_end) for _, a in strips], weights=weights))


def _wrench(tractions: Iterable[FourierTraction], centre: float, length: float) -> np.ndarray:
    """Resultant (6,), N: force, and moment about the axis point z = centre divided by length."""
    force, moment = resultant(tractions)
    about = moment - np.cross([0.0, 0.0, centre], force)
    return np.concatenate([force, about / length])


def _reactions(
    footprints: Footprints, mode: np.ndarray, centre: float, length: float, harmonics: int
) -> tuple[SupportReaction, ...]:
    """Reactions to a rigid motion (6,): translation, and rotation about x_c times the reference length."""
    translation, rotation = mode[:3], mode[3:] / length

    def tractions(tube: Tube, areas: tuple[Patch, ...]) -> tuple[FourierTraction, ...]:
        return tuple(
            piece
            for area in areas
            for piece in foundation_tractions(
                tube.relative_stiffness, area, translation, rotation, centre, harmonics
            )
        )

    return tuple(SupportReaction(tube, tractions(tube, areas)) for tube, areas in footprints)


def foundation_tractions(
    stiffness: float,
    area: Patch,
    translation: np.ndarray,
    rotation: np.ndarray,
    centre: float,
    harmonics: int,
) -> tuple[FourierTraction, FourierTraction]:
    """Tractions k (a + b × (x - x_c)) on one patch: a part constant in z and a part linear in z.

    With x - x_c = R e_r + ζ e_z:  b × (x - x_c) = ζ b_θ e_r + (R b_z - ζ b_r) e_θ - R b_θ e_z.
    """
    # one harmonic more than returned: the product with cos θ and sin θ couples n and n + 1
    shape = patch(stiffness, centre=area.centre, half_angle=area.half_angle, harmonics=harmonics + 1)
    products = shape.times_cos(), shape.times_sin()
    along_a, across_a = _polar(products, translation)
    along_b, across_b = _polar(products, rotation)
    size, radius = harmonics + 1, area.radius
    constant = traction(
        FACE,
        level=radius,
        start=area.z_start,
        end=area.z_end,
        radial=along_a.to_length(size),
        hoop=(across_a + shape * (radius * float(rotation[2]))).to_length(size),
        axial=(shape * float(translation[2]) + across_b * -radius).to_length(size),
    )
    linear = traction(
        FACE,
        level=radius,
        start=area.z_start,
        end=area.z_end,
        radial=across_b.to_length(size),
        hoop=(along_b * -1.0).to_length(size),
        factors=(area.z_start - centre, area.z_end - centre),
    )
    return constant, linear


def _polar(
    products: tuple[FourierSeries, FourierSeries], vector: np.ndarray
) -> tuple[FourierSeries, FourierSeries]:
    """A patch times the e_r and e_θ components of a fixed vector.

    products: the patch times cos θ and times sin θ.
    """
    x, y = float(vector[0]), float(vector[1])
    c, s = products
    return c * x + s * y, c * y + s * -x
