"""One mesh of both bodies, with separate nodes on either side of the interface and named faces."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np
from skfem import Basis, ElementQuad2, ElementVector, MappingIsoparametric, MeshQuad
from skfem.assembly import Dofs
from skfem.quadrature import get_quadrature

from hoopwright.fem.errors import MeshError
from hoopwright.fem.grid import Grid
from hoopwright.fem.strain import COMPONENTS

GAUSS_3X3, GAUSS_2X2 = 5, 3
"""Degrees that the rules integrate exactly."""


@lru_cache
def _rule(degree: int) -> tuple[np.ndarray, np.ndarray]:
    """Places and weights of a Gauss rule, along r first: the library promises no order."""
    places, weights = get_quadrature(ElementQuad2.refdom, degree)
    order = np.lexsort((places[0], places[1]))
    return places[:, order], weights[order]


class _Mapping(MappingIsoparametric):
    """The library's mapping, which inverts its Jacobian for each of the nine functions of a basis; here it
    is inverted once for all of them, which are asked for at the same points."""

    def __init__(self, quads: MeshQuad) -> None:
        super().__init__(quads, quads.elem(), quads.bndelem)
        self._last: tuple[np.ndarray, np.ndarray] | None = None

    def invDF(self, X: np.ndarray, tind: np.ndarray | None = None) -> np.ndarray:  # the library's own name
        if tind is not None:
            return np.asarray(super().invDF(X, tind))
        if self._last is None or self._last[0] is not X:
            self._last = X, np.asarray(super().invDF(X))
        return self._last[1]


FACETS = {"left": 0, "outside": 1, "right": 2, "bore": 3}
"""Local facet of a quadrilateral whose corners are (inner, left), (outer, left), (outer, right), (inner,
right)."""


@dataclass(frozen=True)
class Face:
    """A named chain of element sides, from left to right, or from the inside outwards.

    elements: (sides,); nodes: (sides, 3), corner, mid-side, corner.
    """

    name: str
    elements: np.ndarray
    nodes: np.ndarray

    @property
    def along(self) -> int:
        """The coordinate that runs along the face: z of a cylindrical face, r of an end face."""
        return 0 if self.name.endswith((".left", ".right")) else 1


@dataclass(frozen=True)
class Body:
    """One body's part of the mesh.

    cells: (columns, rows), element number, or -1 where there is no metal. lines: z of the mesh lines, mm.
    """

    name: str
    cells: np.ndarray
    lines: np.ndarray

    @property
    def elements(self) -> np.ndarray:
        return self.cells[self.cells >= 0]


@dataclass(frozen=True)
class Mesh:
    """Mesh of nine-node quadrilaterals in the meridian plane: x[0] = r, x[1] = z, mm.

    quads: its subdomains are the bodies, its boundaries the faces, by name. bodies: the same as grids.
    """

    quads: MeshQuad
    bodies: dict[str, Body]
    _faces: dict[str, Face] = field(default_factory=dict, repr=False, compare=False)
    _body_nodes: dict[str, np.ndarray] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def gauss_3x3(self) -> Basis:
        """Basis of one displacement component at 3 × 3 points."""
        other = self.gauss_2x2
        return Basis(
            self.quads,
            other.elem,
            mapping=other.mapping,
            dofs=other.dofs,
            quadrature=_rule(GAUSS_3X3),
            disable_doflocs=True,  # they are those of the other
        )

    @cached_property
    def gauss_2x2(self) -> Basis:
        """Basis of one displacement component at 2 × 2 points: inner left, outer left, inner right, outer
        right."""
        return Basis(self.quads, ElementQuad2(), mapping=_Mapping(self.quads), quadrature=_rule(GAUSS_2X2))

    @cached_property
    def nodes(self) -> np.ndarray:
        """Node coordinates, (2, nodes), mm: corners, and the middles of sides and of elements."""
        return np.asarray(self.gauss_2x2.doflocs)

    @cached_property
    def connectivity(self) -> np.ndarray:
        """Node numbers of every element, (9, elements)."""
        return np.asarray(self.gauss_2x2.dofs.element_dofs)

    @cached_property
    def dofs(self) -> np.ndarray:
        """Unknown numbers of every element, (elements, 27): three per node, in the order r, θ, z."""
        return np.ascontiguousarray(
            Dofs(self.quads, ElementVector(ElementQuad2(), COMPONENTS)).element_dofs.T
        )

    @property
    def faces(self) -> dict[str, Face]:
        """All faces by name."""
        return {name: self.face(name) for name in self.quads.boundaries}

    def face(self, name: str) -> Face:
        """A face by name, found when it is first asked for. Raises MeshError where there is none."""
        if name not in self._faces:
            facets = self.quads.boundaries.get(name)
            if facets is None:
                raise MeshError(
                    f"no face named {name!r}; there are {', '.join(sorted(self.quads.boundaries))}"
                )
            self._faces[name] = self._face(name, facets)
        return self._faces[name]

    def _face(self, name: str, facets: np.ndarray) -> Face:
        facets = np.asarray(facets)
        corners = self.quads.facets[:, facets]
        middle = self.gauss_2x2.dofs.facet_dofs[0, facets]
        face = Face(name, self.quads.f2t[0, facets], np.stack([corners[0], middle, corners[1]], axis=1))
        place = self.nodes[face.along, face.nodes]
        nodes = np.where((place[:, :1] > place[:, 2:]), face.nodes[:, ::-1], face.nodes)
        order = np.argsort(place[:, 1])
        return Face(name, face.elements[order], nodes[order])

    def body_nodes(self, name: str) -> np.ndarray:
        """Node numbers of one body, ascending."""
        if name not in self._body_nodes:
            in_body = np.zeros(self.nodes.shape[1], dtype=bool)
            in_body[self.connectivity[:, self.bodies[name].elements]] = True
            self._body_nodes[name] = np.flatnonzero(in_body)
        return self._body_nodes[name]


def join(*grids: Grid) -> Mesh:
    """Combine the grids into one mesh; no nodes are shared between grids.

    Raises MeshError for an inverted element, or a grid without elements.
    """
    points: list[np.ndarray] = []
    quads: list[np.ndarray] = []
    bodies: dict[str, Body] = {}
    for grid in grids:
        offset = sum(len(p) for p in points)
        cell_offset = sum(len(q) for q in quads)
        number, corners = _cells(grid)
        if not len(corners):
            raise MeshError(f"{grid.name}: the grid has no elements")
        used, renumbered = np.unique(corners, return_inverse=True)
        flat = np.stack([grid.r.ravel(), grid.z.ravel()], axis=1)
        points.append(flat[used])
        quads.append(renumbered.reshape(corners.shape) + offset)
        cells = np.where(number >= 0, number + cell_offset, -1)
        bodies[grid.name] = Body(grid.name, cells, grid.z[:, 0])
    mesh = MeshQuad(
        np.ascontiguousarray(np.concatenate(points).T), np.ascontiguousarray(np.concatenate(quads).T)
    )
    _check_orientation(mesh)
    boundaries: dict[str, np.ndarray] = {}
    for grid in grids:
        boundaries |= _boundaries(grid, bodies[grid.name], mesh)
    subdomains = {name: body.elements for name, body in bodies.items()}
    return Mesh(mesh.with_subdomains(subdomains).with_boundaries(boundaries), bodies)


def _cells(grid: Grid) -> tuple[np.ndarray, np.ndarray]:
    """Element numbers on the grid and corner vertices (elements, 4), counter-clockwise in (r, z)."""
    columns, rows = grid.metal.shape
    vertex = np.arange((columns + 1) * (rows + 1)).reshape(columns + 1, rows + 1)
    corners = np.stack([vertex[:-1, :-1], vertex[:-1, 1:], vertex[1:, 1:], vertex[1:, :-1]], axis=-1)[
        grid.metal
    ]
    number = np.full(grid.metal.shape, -1)
    number[grid.metal] = np.arange(len(corners))
    return number, corners


def _check_orientation(mesh: MeshQuad) -> None:
    p, t = mesh.p, mesh.t
    for k in range(4):
        a, b, c = p[:, t[k]], p[:, t[(k + 1) % 4]], p[:, t[(k - 1) % 4]]
        area = (b - a)[0] * (c - a)[1] - (b - a)[1] * (c - a)[0]
        if not np.all(area > 0.0):
            r, z = a[:, np.argmin(area)]
            raise MeshError(f"inverted element near r = {r:g}, z = {z:g} mm")


def _boundaries(grid: Grid, body: Body, quads: MeshQuad) -> dict[str, np.ndarray]:
    """Facets of the four faces of a body, by name."""
    column = np.arange(len(body.cells))
    elements = {
        "bore": body.cells[column, grid.first_row],
        "outside": body.cells[column, grid.last_row],
        "left": body.cells[0][body.cells[0] >= 0],
        "right": body.cells[-1][body.cells[-1] >= 0],
    }
    return {f"{body.name}.{name}": quads.t2f[FACETS[name], found] for name, found in elements.items()}
