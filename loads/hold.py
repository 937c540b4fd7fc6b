"""What holds the shell while the loads act."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from geometry.land import Land
from geometry.tubes import Patch, Tube, footprint
from loads.series import Series, patch
from loads.traction import HARMONICS, FourierTraction, resultant, traction

FACE = "shell.outside"


@dataclass(frozen=True)
class ClampedBand:
    """A band of the shell's outside held still (all displacements zero), for comparison. mm."""

    z_start: float
    z_end: float

    def __post_init__(self) -> None:
        if not self.z_start < self.z_end:
            raise ValueError(f"need z_start < z_end, got {self.z_start} and {self.z_end} mm")


@dataclass(frozen=True)
class TubeHold:
    """Tubes that hold the shell by tractions on their footprints, strips of `strips` each."""

    tubes: tuple[Tube, ...]
    strips: int = 6

    def __post_init__(self) -> None:
        if not self.tubes:
            raise ValueError("at least one tube must hold the shell")


def tube_reactions(
    loads: Iterable[FourierTraction],
    hold: TubeHold,
    outside: Sequence[Land],
    *,
    harmonics: int = HARMONICS,
) -> tuple[FourierTraction, ...]:
    """Tractions on the footprints that bring force and moment of `loads` to zero.

    Every footprint acts as an elastic bed under a rigid shell: t = k (a + b × (x - x_c)), k the
    tube's relative stiffness, x_c on the axis amid the footprints. The six numbers a and b follow
    from equilibrium. Only n = 0 and 1 carry a resultant, so cutting the series at `harmonics`
    leaves the balance exact. Raises ValueError when equilibrium cannot be found.
    """
    if harmonics < 1:
        raise ValueError(f"reactions need harmonics 0 and 1 at least, got {harmonics}")
    beds, centre, length, matrix = _footprints(hold, tuple(outside))
    if np.linalg.cond(matrix) > 1e10:
        raise ValueError("the tubes' footprints are too small to hold the shell against turning")
    mode = np.linalg.solve(matrix, -_six(loads, centre, length))
    return _field(beds, mode, centre, length, harmonics)


@lru_cache(maxsize=16)
def _footprints(
    hold: TubeHold, outside: tuple[Land, ...]
) -> tuple[tuple[tuple[float, Patch], ...], float, float, np.ndarray]:
    """Stiffness and patch of every footprint, x_c, a length, and what the six motions bring forth:
    moments about x_c, over the length, so that all six equations are in newtons. The same for every
    load that one set of tubes holds."""
    beds = tuple(
        (tube.relative_stiffness, area)
        for tube in hold.tubes
        for area in footprint(tube, outside, strips=hold.strips)
    )
    centre = _centre(beds)
    length = max(area.radius for _, area in beds)
    columns = [_six(_field(beds, mode, centre, length, 1), centre, length) for mode in np.eye(6)]
    return beds, centre, length, np.stack(columns, axis=1)


def _centre(beds: Sequence[tuple[float, Patch]]) -> float:
    weights = [k * area.area for k, area in beds]
    return float(np.average([0.5 * (a.z_start + a.z_end) for _, a in beds], weights=weights))


def _six(tractions: Iterable[FourierTraction], centre: float, length: float) -> np.ndarray:
    """Force and (moment about the axis point z = centre) / length, N."""
    force, moment = resultant(tractions)
    about = moment - np.cross([0.0, 0.0, centre], force)
    return np.concatenate([force, about / length])


def _field(
    beds: Sequence[tuple[float, Patch]],
    mode: np.ndarray,
    centre: float,
    length: float,
    harmonics: int,
) -> tuple[FourierTraction, ...]:
    shift, turn = mode[:3], mode[3:] / length
    return tuple(
        piece for stiffness, area in beds for piece in bed(stiffness, area, shift, turn, centre, harmonics)
    )


def bed(
    stiffness: float,
    area: Patch,
    shift: np.ndarray,
    turn: np.ndarray,
    centre: float,
    harmonics: int,
) -> tuple[FourierTraction, FourierTraction]:
    """k (a + b × (x - x_c)) on one patch, split into what is constant and what is linear in z.

    With x - x_c = R e_r + ζ e_z:  b × (x - x_c) = ζ b_θ e_r + (R b_z - ζ b_r) e_θ - R b_θ e_z.
    """
    # one harmonic more than kept: the product with cos θ and sin θ reaches one down
    shape = patch(stiffness, centre=area.centre, half_angle=area.half_angle, harmonics=harmonics + 1)
    products = shape.times_cos(), shape.times_sin()
    along_a, across_a = _polar(products, shift)
    along_b, across_b = _polar(products, turn)
    size, radius = harmonics + 1, area.radius
    constant = traction(
        FACE,
        level=radius,
        start=area.z_start,
        end=area.z_end,
        radial=along_a.to_length(size),
        hoop=(across_a + shape * (radius * float(turn[2]))).to_length(size),
        axial=(shape * float(shift[2]) + across_b * -radius).to_length(size),
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


def _polar(products: tuple[Series, Series], vector: np.ndarray) -> tuple[Series, Series]:
    """A patch times the components of a fixed vector along e_r and e_θ. products: the patch times cos θ
    and sin θ."""
    x, y = float(vector[0]), float(vector[1])
    c, s = products
    return c * x + s * y, c * y + s * -x
