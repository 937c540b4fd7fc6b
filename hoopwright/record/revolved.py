"""Service load cases in three dimensions: the fit of the section file plus a load, on the section mesh
revolved about the axis.

Eight-node bricks on the corner nodes of the section's elements, one layer per angle of the service grid.
Nodal values are those of the Fourier sums, so the linear bricks affect their display only.
"""

from __future__ import annotations

import numpy as np

from hoopwright import fem
from hoopwright.discretisation import BODIES
from hoopwright.fem import FitSolver
from hoopwright.fem.fourier_sum import ANTISYMMETRIC_STRESS, fourier_sum
from hoopwright.record.file_set import load_files
from hoopwright.record.vtu import (
    DISPLACEMENT,
    EQUIVALENT,
    JUDGED,
    STRESS,
    Field,
    MeshResults,
    at_walls,
    body_ids,
    state_fields,
    vtu_bytes,
)
from hoopwright.service.study import ServiceSolution, fit_surfaces
from hoopwright.study import CaseStudy


def revolved_vtus(study: CaseStudy) -> dict[str, bytes]:
    """VTU files by path, one per load case: the fit of the section file, and the load on a stuck joint;
    empty without service loads.

    Raises fem.SolveError where the fit cannot be solved on the mesh of the loads.
    """
    service = study.service
    if service is None or not service.cases:
        return {}
    solution = service.solutions["stuck"][0]
    fit_move, fit_stress = _fit(study, solution)
    move, stress = _displacements(solution, len(fit_move)), _at_nodes(solution)
    judged = _judged(study, solution)
    used, cells, points = _bricks(solution)
    body = np.tile(body_ids(solution.meshed_joint), len(solution.theta))
    files: dict[str, bytes] = {}
    for k, name in enumerate(load_files([case.name for case in service.cases])):
        u = move[k] + fit_move[:, None]
        s = stress[k] + fit_stress[:, None]
        at_points = {
            DISPLACEMENT: _cartesian(u[used], solution.theta),
            **dict(zip(STRESS, s[used].reshape(-1, 6).T, strict=True)),
            EQUIVALENT: fem.von_mises(s[used]).reshape(-1),
        }
        at_cells = {"body": body, JUDGED: judged[k]}
        fields = _fields(study, solution, k)
        files[name] = vtu_bytes(MeshResults(points, "hexahedron", cells, at_points, at_cells, fields))
    return files


def _fields(study: CaseStudy, solution: ServiceSolution, k: int) -> dict[str, Field]:
    """The state of the fit, the load case, and how the joint carries it."""
    case = solution.instants.cases[k]
    turned = {} if case.turning is None else {"load_angle_deg": float(np.degrees(case.shown_angle))}
    state = state_fields(study, study.nominal.state)
    return {**state, "load_case": case.name, "joint": solution.joint_condition, **turned}


def _judged(study: CaseStudy, solution: ServiceSolution) -> np.ndarray:
    """Equivalent stress as it is judged, (cases, bricks), MPa: the greater of the two angles of a brick.
    NaN away from bore and outside, and beside the edges of a clamp."""
    fit, walls = study.nominal.finest, dict[str, np.ndarray]()
    for body in BODIES:
        stress = solution.response.linearised_at(body, solution.theta)
        if solution.static is not None:
            stress = stress + solution.static.linearised_at(body, solution.theta)
        walls[body] = fem.von_mises(stress + fit_surfaces(fit, body)[:, :, None])
        walls[body][:, :, solution.edges.beside(fit.walls[body].z)] = np.nan
    found = []
    for k in range(len(solution.instants.cases)):
        at = at_walls(solution.meshed_joint, {body: wall[k] for body, wall in walls.items()})
        found.append(np.fmax(at, np.roll(at, -1, axis=1)).T.ravel())
    return np.array(found)


def _fit(study: CaseStudy, solution: ServiceSolution) -> tuple[np.ndarray, np.ndarray]:
    """Displacement (nodes, 3) and stress (nodes, 6) of the fit of the section file on the mesh of the
    loads."""
    meshed_joint, rise = solution.meshed_joint, study.case.fit.temperature_rise_K
    profile = meshed_joint.radial_interference(smoothing=study.case.smoothing_loss_mm)
    solver = FitSolver(meshed_joint.model, meshed_joint.interface)
    press = solver.press(profile, stuck=False, temperature_rise=rise)
    recovery = solution.response.recovery
    return press.displacement, recovery.at_nodes(recovery.stress(press.displacement, temperature_rise=rise))


def _displacements(solution: ServiceSolution, nodes: int) -> np.ndarray:
    """Displacement due to the loads and an out-of-round bore, (cases, nodes, angles, 3), mm."""
    everywhere = np.arange(nodes)
    total = solution.response.displacement_at(everywhere, solution.theta)
    if solution.static is not None:
        total = total + solution.static.displacement_at(everywhere, solution.theta)
    return total


def _at_nodes(solution: ServiceSolution) -> np.ndarray:
    """Nodal stress due to the loads and an out-of-round bore, (cases, nodes, angles, 6), MPa."""
    total = _sum_harmonics(solution, solution.response.stress, solution.response.harmonics)
    if solution.static is not None:
        total = total + _sum_harmonics(solution, solution.static.stress, solution.static.harmonics)
    return total


def _sum_harmonics(solution: ServiceSolution, stress: np.ndarray, harmonics: tuple[int, ...]) -> np.ndarray:
    """Fourier sum of the harmonics' stress, taken from element points to nodes."""
    nodal = np.array(
        [[[solution.response.recovery.at_nodes(s) for s in family] for family in case] for case in stress]
    )
    return fourier_sum(harmonics, nodal, solution.theta, ANTISYMMETRIC_STRESS)


def _bricks(solution: ServiceSolution) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Corner nodes of the section; cells (bricks, 8); points (corners · angles, 3), angle index fastest."""
    mesh, theta = solution.meshed_joint.model.mesh, solution.theta
    used, flat = np.unique(mesh.connectivity[:4], return_inverse=True)
    quads = flat.reshape(4, -1).T * len(theta)
    this_angle = np.arange(len(theta))
    next_angle = (this_angle + 1) % len(theta)
    # the right-hand normal of a cell's corners is -θ, so the layer at the larger angle comes first
    cells = np.concatenate(
        [np.hstack([quads + b, quads + a]) for a, b in zip(this_angle, next_angle, strict=True)]
    )
    r, z = mesh.nodes[:, used]
    points = np.stack(
        [np.outer(r, np.cos(theta)), np.outer(r, np.sin(theta)), np.outer(z, np.ones_like(theta))], axis=-1
    )
    return used, cells, points.reshape(-1, 3)


def _cartesian(move: np.ndarray, theta: np.ndarray) -> np.ndarray:
    """Displacement in Cartesian components: (nodes, angles, (r, θ, z)) to (nodes · angles, (x, y, z))."""
    radial, circumferential, axial = np.moveaxis(move, -1, 0)
    x = radial * np.cos(theta) - circumferential * np.sin(theta)
    y = radial * np.sin(theta) + circumferential * np.cos(theta)
    return np.stack([x, y, axial], axis=-1).reshape(-1, 3)
