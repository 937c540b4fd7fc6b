"""Meshes with results as VTU, for any viewer that reads the format of VTK.

The section lies in the plane y = 0: x is the radius, z the axis, as in the rest of the tool. Bodies keep
their own nodes, so that the jump of hoop stress at the interface stays a jump.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import meshio
import numpy as np

import fem
from hoopwright.fit import BODIES, FitState

STRESS = tuple(f"stress_{name}_MPa" for name in ("rr", "tt", "zz", "rz", "rt", "tz"))
"""t stands for the angle θ; the order is that of the tool."""
LARGEST_READ = 512 * 1024**2


class VtuError(Exception):
    """A file that cannot be read as VTU: one line."""


def section_vtu(state: FitState) -> bytes:
    """Both bodies with nine-node quadrilaterals and, at their nodes: displacement_mm (radial, round,
    axial), the stress components, equivalent_stress_MPa (von Mises), and contact_pressure_MPa, not a
    number away from the interface. Cells carry `body`: 1 sleeve, 2 shell.

    The nodes of fem.mesh come in the order that VTK asks of its biquadratic quadrilateral: corners round
    the cell, middles of the sides from the first to the second corner on, the middle.
    """
    mesh, pairs = state.mesh.assembly.model.mesh, state.mesh.assembly.interface
    r, z = mesh.nodes
    stress = state.mesh.recovery.at_nodes(state.stress)
    pressure = np.full(len(r), np.nan)
    pressure[pairs.shell] = pressure[pairs.sleeve] = state.press.pressure
    data = {
        "displacement_mm": state.press.displacement,
        **dict(zip(STRESS, stress.T, strict=True)),
        "equivalent_stress_MPa": fem.von_mises(stress),
        "contact_pressure_MPa": pressure,
    }
    points = np.stack([r, np.zeros_like(r), z], axis=1)
    return as_vtu(points, "quad9", mesh.connectivity.T, data, bodies_of(state.mesh.assembly))


def bodies_of(assembly: fem.Assembly) -> np.ndarray:
    """Number of the body of every element."""
    mesh = assembly.model.mesh
    body = np.zeros(mesh.connectivity.shape[1], dtype=np.int32)
    for number, name in enumerate(BODIES, start=1):
        body[mesh.bodies[name].elements] = number
    return body


def as_vtu(
    points: np.ndarray, kind: str, cells: np.ndarray, data: dict[str, np.ndarray], body: np.ndarray
) -> bytes:
    """The bytes of a VTU file; meshio writes to paths only."""
    contiguous = {k: np.ascontiguousarray(v) for k, v in data.items()}
    mesh = meshio.Mesh(points, [(kind, cells)], point_data=contiguous, cell_data={"body": [body]})
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "mesh.vtu"
        meshio.vtu.write(path, mesh, binary=True)
        return path.read_bytes()


def read_vtu(path: Path) -> meshio.Mesh:
    """Raises VtuError for whatever the file holds; meshio itself ends the process on some."""
    try:
        if path.stat().st_size > LARGEST_READ:
            raise VtuError(f"{path}: larger than {LARGEST_READ // 1024**2} MB")
        return meshio.vtu.read(path)
    except OSError as error:
        raise VtuError(f"{path}: cannot be read: {error.strerror or error}") from None
    except (SystemExit, Exception) as error:
        if isinstance(error, VtuError):
            raise
        raise VtuError(f"{path}: not a VTU file that can be read") from None
