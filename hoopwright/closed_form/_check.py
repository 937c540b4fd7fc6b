"""Range checks on the arguments of the formulae, at the cost of one numpy comparison each."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Real: TypeAlias = float | NDArray[np.float64]
"""A number or an array of numbers."""

Elastic: TypeAlias = tuple[Real, Real]
"""(Young's modulus in MPa, Poisson's ratio)."""

PLANE_STRESS = "plane stress"
PLANE_STRAIN = "plane strain"


def show(value: Any) -> str:
    """Format a number, or the range that an array covers, for an error message."""
    array = np.asarray(value, dtype=float)
    if array.ndim == 0:
        return f"{float(array):g}"
    return f"{array.min():g} to {array.max():g}"


def require_positive(**values: Real) -> None:
    """Raise ValueError unless every value is finite and above zero."""
    for name, value in values.items():
        if not np.all(np.greater(value, 0.0) & np.isfinite(value)):
            raise ValueError(f"{name} must be above 0, got {show(value)}")


def require_not_negative(**values: Real) -> None:
    """Raise ValueError unless every value is finite and at least zero."""
    for name, value in values.items():
        if not np.all(np.greater_equal(value, 0.0) & np.isfinite(value)):
            raise ValueError(f"{name} must not be below 0, got {show(value)}")


def require_increasing(*, bore_may_be_zero: bool = False, **radii: Real) -> None:
    """Raise ValueError unless the radii, in mm, increase in the order given.

    The first must be above zero, or at least zero where `bore_may_be_zero`.
    """
    names, values = list(radii), list(radii.values())
    first_in_range = np.greater_equal if bore_may_be_zero else np.greater
    in_order = bool(np.all(first_in_range(values[0], 0.0)))
    for inner, outer in zip(values[:-1], values[1:], strict=True):
        in_order = in_order and bool(np.all(np.less(inner, outer) & np.isfinite(outer)))
    if not in_order:
        got = ", ".join(f"{name} = {show(radii[name])} mm" for name in names)
        first = "0 <=" if bore_may_be_zero else "0 <"
        raise ValueError(f"need {first} {' < '.join(names)}, got {got}")


def require_elastic(name: str, material: Elastic) -> None:
    """Raise ValueError unless E > 0 and 0 <= ν < 0.5."""
    E, nu = material
    if not np.all(np.greater(E, 0.0) & np.isfinite(E)):
        raise ValueError(f"{name}: Young's modulus must be above 0 MPa, got {show(E)}")
    if not np.all(np.greater_equal(nu, 0.0) & np.less(nu, 0.5)):
        raise ValueError(f"{name}: Poisson's ratio must be in [0, 0.5), got {show(nu)}")


def effective_elastic(material: Elastic, condition: str) -> Elastic:
    """Equivalent (E, ν) that turns a plane-stress formula into one for `condition`.

    In plane strain they are E/(1 - ν²) and ν/(1 - ν). Raises ValueError for any other condition.
    """
    if condition == PLANE_STRESS:
        return material
    if condition == PLANE_STRAIN:
        E, nu = material
        return E / (1.0 - nu**2), nu / (1.0 - nu)
    raise ValueError(f"condition must be 'plane stress' or 'plane strain', got {condition!r}")


def require_inside(r: Real, inner: Real, outer: Real) -> None:
    """Raise ValueError where r lies outside the wall by more than 1e-9 of the outer radius."""
    slack = 1e-9 * np.asarray(outer)
    if not np.all((np.asarray(r) >= inner - slack) & (np.asarray(r) <= outer + slack)):
        raise ValueError(f"r = {show(r)} mm leaves the wall {show(inner)} to {show(outer)} mm")
