"""One mesh of both bodies, with separate nodes on either side of the interface and named faces."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from skfem import ElementQuad2, MeshQuad
from skfem.assembly import Dofs

from hoopwright.fem.element import node_positions
from hoopwright.fem.errors import MeshError
from hoopwright.fem.grid import Grid

# Local nodes along each side of the nine-node quadrilateral whose corners are (inner, left), (outer, left),
# (outer, right), (inner, right): from left to right, or from the inside outwards.
SIDES = {"inner": (0, 7, 3), "outer": (1, 5, 2), "left": (0, 4, 1), "right": (3, 6, 2)}


@dataclass(frozen=True)
class Face:
    """A named chain of element sides. elements: (sides,); nodes: (sides, 3), corner, mid-side, corner."""

    name: str
    elements: np.ndarray
    nodes: np.ndarray


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

    nodes: (2, N); connectivity: (9, elements); bodies and faces by name.
    """

    quads: MeshQuad
    bodies: dict[str, Body]
    faces: dict[str, Face]

    @cached_property
    def nodes(self) -> np.ndarray:
        return node_positions(self.quads, self.connectivity)

    @cached_property
    def connectivity(self) -> np.ndarray:
        return Dofs(self.quads, ElementQuad2()).element_dofs

    def face(self, name: str) -> Face:
        if name not in self.faces:
            raise MeshError(f"no face named {name!r}; there are {', '.join(sorted(self.faces))}")
        return self.faces[name]

    def body_nodes(self, name: str) -> np.ndarray:
        """Node numbers of one body, ascending."""
        return np.unique(self.connectivity[:, self.bodies[name].elements])


def join(*grids: Grid) -> Mesh:
    """Combine the grids into one mesh; no nodes are shared between grids.

    Raises MeshError for an inverted element.
    """
    points: list[np.ndarray] = []
    quads: list[np.ndarray] = []
    bodies: dict[str, Body] = {}
    for grid in grids:
        offset = sum(len(p) for p in points)
        cell_offset = sum(len(q) for q in quads)
        number, corners = _cells(grid)
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
    faces: dict[str, Face] = {}
    joined = Mesh(mesh, bodies, faces)
    for grid in grids:
        for face in _faces(grid, bodies[grid.name], joined.connectivity):
            faces[face.name] = face
    return joined


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


def _faces(grid: Grid, body: Body, nodes: np.ndarray) -> list[Face]:
    column = np.arange(len(body.cells))
    inner = body.cells[column, grid.first_row]
    outer = body.cells[column, grid.last_row]
    left = body.cells[0][body.cells[0] >= 0]
    right = body.cells[-1][body.cells[-1] >= 0]
    named = {
        "bore": ("inner", inner),
        "outside": ("outer", outer),
        "left": ("left", left),
        "right": ("right", right),
    }
    return [
        Face(f"{body.name}.{name}", elements, nodes[list(SIDES[side])][:, elements].T)
        for name, (side, elements) in named.items()
    ]
