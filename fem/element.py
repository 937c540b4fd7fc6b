"""The nine-node quadrilateral: its shape functions at quadrature points of every element of a mesh."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from skfem import ElementQuad1, ElementQuad2, MeshQuad
from skfem.element import Element
from skfem.quadrature import get_quadrature

GAUSS_3X3, GAUSS_2X2 = 5, 3
"""Degrees that the rules integrate exactly."""


@dataclass(frozen=True)
class Points:
    """Quadrature points of every element. r, z: (elements, points), mm; weight: area, mm². shape:
    (points, 9), alike in all elements. slope_r, slope_z: (elements, points, 9), 1/mm."""

    r: np.ndarray
    z: np.ndarray
    weight: np.ndarray
    shape: np.ndarray
    slope_r: np.ndarray
    slope_z: np.ndarray


def points_of(quads: MeshQuad, degree: int) -> Points:
    """Points in the order (ξ, η): along ξ first, inside to outside, then along η, left to right."""
    weight, shape, slope, corner, corner_slope = _rule(degree)
    corners = quads.p[:, quads.t].transpose(2, 0, 1)  # (elements, 2, 4)
    r, z = np.moveaxis(corners @ corner.T, 1, 0)
    # J[i, j] = ∂x_i/∂ξ_j, each (elements, points)
    (rx, zx), (rn, zn) = (np.moveaxis(corners @ along.T, 1, 0) for along in corner_slope)
    determinant = rx * zn - rn * zx
    x, n = slope
    slope_r = (zn[..., None] * x - zx[..., None] * n) / determinant[..., None]
    slope_z = (rx[..., None] * n - rn[..., None] * x) / determinant[..., None]
    return Points(r, z, np.abs(determinant) * weight, shape, slope_r, slope_z)


def node_positions(quads: MeshQuad, connectivity: np.ndarray) -> np.ndarray:
    """Node coordinates, (2, nodes), mm: corners, and the middles of straight sides and of elements."""
    corner, _ = _evaluated(ElementQuad1(), 4, ElementQuad2().doflocs.T)
    nodes = np.empty((2, connectivity.max() + 1))
    nodes[:, connectivity.T] = quads.p[:, quads.t].swapaxes(1, 2) @ corner.T
    return nodes


@cache
def _rule(degree: int) -> tuple[np.ndarray, ...]:
    """Weights, (points,); values and slopes along ξ and η of the nine functions and the corners' four."""
    places, weights = get_quadrature(ElementQuad2.refdom, degree)
    order = np.lexsort((places[0], places[1]))
    places = places[:, order]
    return (weights[order], *_evaluated(ElementQuad2(), 9, places), *_evaluated(ElementQuad1(), 4, places))


def _evaluated(element: Element, count: int, places: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Values (points, count) and slopes (2, points, count) at places (2, points) of the unit square."""
    found = [element.lbasis(places, k) for k in range(count)]
    return (
        np.stack([value for value, _ in found], axis=-1),
        np.stack([np.asarray(slope) for _, slope in found], axis=-1),
    )
