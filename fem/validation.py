"""Checks of what a caller hands to the solvers: one error that names the argument and says what was given.

NaN is refused here because no comparison in the solvers catches it: a contact pair with NaN interference is
neither pulled nor overlapping, and would come back as open, with no pressure.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from numbers import Integral

import numpy as np

from hoopwright.fem.errors import MeshError
from hoopwright.loads.traction import FourierTraction


def check_finite(what: str, value: float, unit: str = "") -> None:
    """Raise ValueError unless the value is a finite number."""
    if not -math.inf < value < math.inf:
        raise ValueError(f"need a finite {what}, got {_with(value, unit)}")


def check_positive(what: str, value: float, unit: str = "") -> None:
    """Raise ValueError unless the value is finite and above zero."""
    if not 0.0 < value < math.inf:
        raise ValueError(f"need {what} > 0 and finite, got {_with(value, unit)}")


def check_not_negative(what: str, value: float, unit: str = "") -> None:
    """Raise ValueError unless the value is finite and zero or above."""
    if not 0.0 <= value < math.inf:
        raise ValueError(f"need {what} >= 0 and finite, got {_with(value, unit)}")


def check_whole(what: str, value: int, minimum: int) -> None:
    """Raise ValueError unless the value is a whole number, and no less than the minimum."""
    if not (isinstance(value, Integral) and value >= minimum):
        raise ValueError(f"need {what} to be a whole number >= {minimum}, got {value}")


def at_pairs(what: str, values: np.ndarray | Sequence[float], pairs: int) -> np.ndarray:
    """The values as an array of floats, (pairs,).

    Raises ValueError where there is not one for each contact pair, or one is NaN or infinite.
    """
    found = np.asarray(values, dtype=float)
    if found.shape != (pairs,):
        given = f"{len(found)} values" if found.ndim == 1 else f"an array of shape {found.shape}"
        raise ValueError(f"{what}: got {given} for {pairs} contact pairs")
    finite = np.isfinite(found)
    if not finite.all():
        pair = int(np.argmin(finite))
        raise ValueError(f"{what}: need finite values, got {found[pair]} mm at contact pair {pair}")
    return found


def check_closed(closed: np.ndarray, pairs: int) -> None:
    """Raise ValueError unless `closed` says of each contact pair whether it is in contact."""
    given = np.asarray(closed)
    if given.dtype != bool or given.shape != (pairs,):
        raise ValueError(
            f"closed: need True or False for each of {pairs} contact pairs, "
            f"got {given.dtype} of shape {given.shape}"
        )


def check_bodies(what: str, given: Iterable[str], bodies: Iterable[str]) -> None:
    """Raise MeshError unless every body, and nothing else, is given its data."""
    if set(given) != set(bodies):
        raise MeshError(f"{what} for {_listed(given)}, but the bodies are {_listed(bodies)}")


def check_load_cases(cases: Sequence[Sequence[FourierTraction]]) -> None:
    """Raise ValueError for no load case, a traction outside a load case, or one with NaN or inf."""
    if not len(cases):
        raise ValueError("no load case given")
    for number, tractions in enumerate(cases, start=1):
        if isinstance(tractions, FourierTraction):
            raise ValueError(f"load case {number} is a single traction: give each load case as a sequence")
        for t in tractions:
            if not math.isfinite(_total(t)):
                raise ValueError(f"load case {number}: a value of the traction on {t.face} is not finite")


def check_lobes(
    lobes: Mapping[int, tuple[np.ndarray, np.ndarray]], pairs: int
) -> dict[int, tuple[np.ndarray, np.ndarray]]:
    """Cosine and sine amplitudes as arrays of floats, (pairs,) each, by harmonic.

    Raises ValueError where there is no harmonic, n is not a whole number >= 0, or an amplitude is unfit.
    """
    if not lobes:
        raise ValueError("no lobe given")
    found = {}
    for n, amplitudes in lobes.items():
        check_whole("the harmonic of a lobe", n, 0)
        if len(amplitudes) != 2:
            raise ValueError(f"lobe n = {n}: need a cosine and a sine amplitude, got {len(amplitudes)}")
        cosine, sine = amplitudes
        found[n] = (
            at_pairs(f"cosine amplitude of lobe n = {n}", cosine, pairs),
            at_pairs(f"sine amplitude of lobe n = {n}", sine, pairs),
        )
    return found


def _with(value: float, unit: str) -> str:
    return f"{value} {unit}".rstrip()


def _listed(names: Iterable[str]) -> str:
    return ", ".join(sorted(names)) or "none"


def _total(t: FourierTraction) -> float:
    """A sum that is NaN or infinite where any number of the traction is."""
    coefficients = (
        sum(t.radial_cos)
        + sum(t.radial_sin)
        + sum(t.hoop_cos)
        + sum(t.hoop_sin)
        + sum(t.axial_cos)
        + sum(t.axial_sin)
    )
    return coefficients + t.level + t.start + t.end + t.factor_start + t.factor_end
