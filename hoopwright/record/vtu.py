"""Meshes with results as VTU files, for any viewer that reads the VTK format.

The section lies in the plane y = 0, with x the radius and z the axis. The bodies do not share nodes, so the
jump of hoop stress at the interface is preserved.
"""

from __future__ import annotations

import meshio
import numpy as np

from hoopwright import fem
from hoopwright.discretisation import BODIES
from hoopwright.fit import FitSolution
from hoopwright.record.temporary import temporary_folder

STRESS = tuple(f"stress_{name}_MPa" for name in ("rr", "tt", "zz", "rz", "rt", "tz"))
"""t stands for θ; in the stress order used throughout."""


def section_vtu(solution: FitSolution) -> bytes:
    """VTU of the meridian section of both bodies, in nine-node quadrilaterals.

    Point data: displacement_mm (radial, circumferential, axial), the stress components,
    equivalent_stress_MPa (von Mises), and contact_pressure_MPa, NaN away from the interface. Cell data:
    `body`, 1 for the sleeve and 2 for the shell.

    The node order of fem.mesh is that of VTK's biquadratic quadrilateral: the corners in turn, the
    mid-side nodes from the side between the first two corners on, then the centre.
    """
    mesh, pairs = solution.mesh.meshed_joint.model.mesh, solution.mesh.meshed_joint.interface
    r, z = mesh.nodes
    stress = solution.mesh.recovery.at_nodes(solution.stress)
    pressure = np.full(len(r), np.nan)
    pressure[pairs.shell] = pressure[pairs.sleeve] = solution.press.pressure
    data = {
        "displacement_mm": solution.press.displacement,
        **dict(zip(STRESS, stress.T, strict=True)),
        "equivalent_stress_MPa": fem.von_mises(stress),
        "contact_pressure_MPa": pressure,
    }
    points = np.stack([r, np.zeros_like(r), z], axis=1)
    return vtu_bytes(points, "quad9", mesh.connectivity.T, data, body_ids(solution.mesh.meshed_joint))


def body_ids(meshed_joint: fem.MeshedJoint) -> np.ndarray:
    """Body number of every element: 1 sleeve, 2 shell."""
    mesh = meshed_joint.model.mesh
    body = np.zeros(mesh.connectivity.shape[1], dtype=np.int32)
    for number, name in enumerate(BODIES, start=1):
        body[mesh.bodies[name].elements] = number
    return body


def vtu_bytes(
    points: np.ndarray, kind: str, cells: np.ndarray, data: dict[str, np.ndarray], body: np.ndarray
) -> bytes:
    """Content of a VTU file. It goes through a temporary file, since meshio writes to paths only.

    points: (points, 3), mm; kind: meshio cell type; cells: (cells, nodes of a cell); data: point data by
    name; body: (cells,). Raises OutputError where there is no room for that.
    """
    contiguous = {k: np.ascontiguousarray(v) for k, v in data.items()}
    mesh = meshio.Mesh(points, [(kind, cells)], point_data=contiguous, cell_data={"body": [body]})
    with temporary_folder() as folder:
        path = folder / "mesh.vtu"
        meshio.vtu.write(path, mesh, binary=True)
        return path.read_bytes()
