"""Meshes with results as VTU files, for any viewer that reads the VTK format.

The section lies in the plane y = 0, with x the radius and z the axis. The bodies do not share nodes, so the
jump of hoop stress at the interface is preserved.

Section and load cases use the same names. Point data: `displacement_mm` is Cartesian (x, y, z), so that a
viewer can warp by it; in the section x is radial and y circumferential. `total_stress_*_MPa` (cylindrical
components) and `total_equivalent_stress_MPa` (von Mises) are the elastic stress with its peaks, which at a
corner grows without limit as the mesh is refined; no row is judged by that. Cell data:
`judged_equivalent_stress_MPa` is the stress that rows are judged by, in this state, on the elements at bore
and outside of each body, NaN elsewhere; `body`, 1 for the sleeve and 2 for the shell.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import meshio
import numpy as np

from hoopwright import fem
from hoopwright.discretisation import BODIES
from hoopwright.fit import FitSolution
from hoopwright.record.temporary import temporary_folder
from hoopwright.state import State
from hoopwright.study import CaseStudy

STRESS = tuple(f"total_stress_{name}_MPa" for name in ("rr", "tt", "zz", "rz", "rt", "tz"))
"""t stands for θ; in the stress order used throughout."""
EQUIVALENT, JUDGED = "total_equivalent_stress_MPa", "judged_equivalent_stress_MPa"
DISPLACEMENT = "displacement_mm"
GRID = b"<UnstructuredGrid>"

Field = str | float | int


@dataclass(frozen=True)
class MeshResults:
    """Mesh and results of one file. points: (points, 3), mm; kind: meshio cell type; cells: (cells, nodes
    of a cell); at_points, at_cells: data by name; fields: what holds for the file as a whole, by name."""

    points: np.ndarray
    kind: str
    cells: np.ndarray
    at_points: Mapping[str, np.ndarray]
    at_cells: Mapping[str, np.ndarray]
    fields: Mapping[str, Field]


def section_vtu(study: CaseStudy) -> bytes:
    """VTU of the meridian section of both bodies in nine-node quadrilaterals, in the likely fit.

    Besides what every file has, contact_pressure_MPa at the points, NaN away from the interface.

    The node order of fem.mesh is that of VTK's biquadratic quadrilateral: the corners in turn, the
    mid-side nodes from the side between the first two corners on, then the centre.
    """
    solution = study.nominal.finest
    mesh, pairs = solution.mesh.meshed_joint.model.mesh, solution.mesh.meshed_joint.interface
    r, z = mesh.nodes
    stress = solution.mesh.recovery.at_nodes(solution.stress)
    pressure = np.full(len(r), np.nan)
    pressure[pairs.shell] = pressure[pairs.sleeve] = solution.press.pressure
    at_points = {
        DISPLACEMENT: solution.press.displacement,
        **dict(zip(STRESS, stress.T, strict=True)),
        EQUIVALENT: fem.von_mises(stress),
        "contact_pressure_MPa": pressure,
    }
    at_cells = {
        "body": body_ids(solution.mesh.meshed_joint),
        JUDGED: at_walls(solution.mesh.meshed_joint, _judged(solution))[:, 0],
    }
    points, fields = np.stack([r, np.zeros_like(r), z], axis=1), state_fields(study, solution.state)
    return vtu_bytes(MeshResults(points, "quad9", mesh.connectivity.T, at_points, at_cells, fields))


def _judged(solution: FitSolution) -> dict[str, np.ndarray]:
    """Equivalent stress of the walls as it is judged, by body, (2, lines, 1), MPa."""
    walls = ((body, solution.walls[body]) for body in BODIES)
    return {body: fem.von_mises(np.stack([wall.inner, wall.outer]))[..., None] for body, wall in walls}


def state_fields(study: CaseStudy, state: State) -> dict[str, Field]:
    """The case, the bodies and the state of the joint. A friction of 0 is the joint without friction."""
    likely = 1e3 * study.nominal_interference
    return {
        "case_sha256": study.case.sha256,
        **{f"body_{name}": number for number, name in enumerate(BODIES, start=1)},
        "interference_um": likely + 1e3 * state.shift,
        "interference_shift_um": 1e3 * state.shift,
        "temperature_degC": 20.0 + state.temperature_rise,
        "friction": 0.0 if state.path is None else state.path.friction,
        "preload_N": state.tension,
    }


def body_ids(meshed_joint: fem.MeshedJoint) -> np.ndarray:
    """Body number of every element: 1 sleeve, 2 shell."""
    mesh = meshed_joint.model.mesh
    body = np.zeros(mesh.connectivity.shape[1], dtype=np.int32)
    for number, name in enumerate(BODIES, start=1):
        body[mesh.bodies[name].elements] = number
    return body


def at_walls(meshed_joint: fem.MeshedJoint, walls: Mapping[str, np.ndarray]) -> np.ndarray:
    """What is known along the two surfaces of the walls, on the elements there, (elements, angles).

    walls: by body, (2, lines, angles), bore and outside, two lines an element. An element takes the greater
    of its lines, and of the surfaces where it reaches through the wall; the rest is NaN.
    """
    mesh = meshed_joint.model.mesh
    found = np.full((mesh.connectivity.shape[1], next(iter(walls.values())).shape[-1]), np.nan)
    for name, wall in walls.items():
        by_column = np.fmax(wall[:, ::2], wall[:, 1::2])
        for k, cells in enumerate(mesh.bodies[name].cells):
            metal = cells[cells >= 0]
            for element, value in zip((metal[0], metal[-1]), by_column[:, k], strict=True):
                found[element] = np.fmax(found[element], value)
    return found


def vtu_bytes(results: MeshResults) -> bytes:
    """Content of a VTU file. It goes through a temporary file, since meshio writes to paths only.

    Raises OutputError where there is no room for that.
    """
    mesh = meshio.Mesh(
        results.points,
        [(results.kind, results.cells)],
        point_data={k: np.ascontiguousarray(v) for k, v in results.at_points.items()},
        cell_data={k: [np.ascontiguousarray(v)] for k, v in results.at_cells.items()},
    )
    with temporary_folder() as folder:
        path = folder / "mesh.vtu"
        meshio.vtu.write(path, mesh, binary=True)
        head, grid, rest = path.read_bytes().partition(GRID)
    return head + grid + b"\n" + _field_data(results.fields) + rest


def _field_data(fields: Mapping[str, Field]) -> bytes:
    """The element that holds what is true of the whole file; meshio reads it, but does not write it.

    A text is written as the bytes of its UTF-8, since meshio does not read VTK's arrays of strings.
    """
    arrays = []
    for name, value in fields.items():
        if isinstance(value, str):
            kind, numbers = "UInt8", [str(byte) for byte in value.encode("utf-8")]
        elif isinstance(value, float):
            kind, numbers = "Float64", [f"{value:.9g}"]
        else:
            kind, numbers = "Int32", [str(value)]
        arrays.append(
            f'<DataArray type="{kind}" Name="{name}" NumberOfTuples="{len(numbers)}" format="ascii">'
            f"{' '.join(numbers)}</DataArray>"
        )
    return "\n".join(("<FieldData>", *arrays, "</FieldData>", "")).encode("ascii")
