"""Service load cases all round: fit and load together on a mesh turned about the axis.

Eight-node bricks on the corners of the section's elements, one layer per angle of the service grid; the
values at the nodes are those of the harmonic sums, so the coarser bricks only show them.
"""

from __future__ import annotations

import numpy as np

import fem
from fem import FitSolver
from fem.round import SWAPPED_STRESS, over_angles
from hoopwright.record.names import safe_name
from hoopwright.record.vtu import STRESS, as_vtu, bodies_of
from hoopwright.service.study import ServiceState
from hoopwright.study import CaseStudy


def revolved_vtus(study: CaseStudy) -> dict[str, bytes]:
    """A file per load case, by name; empty where the case gives no loads. Stuck joint, nominal fit.

    Raises fem.SolveError where the fit cannot be solved on the mesh of the loads.
    """
    service = study.service
    if service is None or not service.cases:
        return {}
    state = service.states["stuck"][0]
    fit_move, fit_stress = _fit(study, state)
    move, stress = _moves(state, len(fit_move)), _at_nodes(state)
    used, cells, points = _bricks(state)
    files: dict[str, bytes] = {}
    for k, case in enumerate(service.cases):
        u = move[k] + fit_move[:, None]
        s = stress[k] + fit_stress[:, None]
        data = {
            "displacement_mm": _cartesian(u[used], state.theta),
            **dict(zip(STRESS, s[used].reshape(-1, 6).T, strict=True)),
            "equivalent_stress_MPa": fem.von_mises(s[used]).reshape(-1),
        }
        body = np.tile(bodies_of(state.assembly), len(state.theta))
        name = f"service/{safe_name(case.name, fallback='load')}.vtu"
        while name in files:
            name = name.replace(".vtu", "-.vtu")
        files[name] = as_vtu(points, "hexahedron", cells, data, body)
    return files


def _fit(study: CaseStudy, state: ServiceState) -> tuple[np.ndarray, np.ndarray]:
    """Displacement (nodes, 3) and stress (nodes, 6) of the nominal fit on the mesh of the loads."""
    pairs, seats = state.assembly.interface, state.assembly.joint.seats
    profile = 0.5 * pairs.profile([s.interference_start for s in seats],
                                  [s.interference_end for s in seats], seats)
    profile -= 0.5 * study.case.fit.smoothing_loss_mm
    rise = study.case.fit.temperature_rise_K
    press = FitSolver(state.assembly.model, pairs).press(profile, stuck=True, temperature_rise=rise)
    recovery = state.response.recovery
    return press.displacement, recovery.at_nodes(recovery.stress(press.displacement, temperature_rise=rise))


def _moves(state: ServiceState, nodes: int) -> np.ndarray:
    """Displacement of the loads, and of an out-of-round bore, (cases, nodes, angles, 3), mm."""
    everywhere = np.arange(nodes)
    total = state.response.displacement_at(everywhere, state.theta)
    if state.standing is not None:
        total = total + state.standing.displacement_at(everywhere, state.theta)
    return total


def _at_nodes(state: ServiceState) -> np.ndarray:
    """Stress of the loads, and of an out-of-round bore, at nodes and angles, (cases, nodes, angles, 6)."""
    total = _summed(state, state.response.stress, state.response.harmonics)
    if state.standing is not None:
        total = total + _summed(state, state.standing.stress, state.standing.harmonics)
    return total


def _summed(state: ServiceState, stress: np.ndarray, harmonics: tuple[int, ...]) -> np.ndarray:
    carried = np.array([[[state.response.recovery.at_nodes(s) for s in family] for family in case]
                        for case in stress])
    return over_angles(harmonics, carried, state.theta, SWAPPED_STRESS)


def _bricks(state: ServiceState) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Corner nodes used; cells (bricks, 8); points (corners · angles, 3), the angle running fastest."""
    mesh, theta = state.assembly.model.mesh, state.theta
    used, flat = np.unique(mesh.connectivity[:4], return_inverse=True)
    quads = flat.reshape(4, -1).T * len(theta)
    here = np.arange(len(theta))
    after = (here + 1) % len(theta)
    # a cell's corners run with θ pointing away, so the far layer comes first for a volume above zero
    cells = np.concatenate([np.hstack([quads + b, quads + a]) for a, b in zip(here, after, strict=True)])
    r, z = mesh.nodes[:, used]
    points = np.stack([np.outer(r, np.cos(theta)), np.outer(r, np.sin(theta)),
                       np.outer(z, np.ones_like(theta))], axis=-1)
    return used, cells, points.reshape(-1, 3)


def _cartesian(move: np.ndarray, theta: np.ndarray) -> np.ndarray:
    """(nodes, angles, r θ z) to (nodes · angles, x y z)."""
    radial, round_, along = np.moveaxis(move, -1, 0)
    x = radial * np.cos(theta) - round_ * np.sin(theta)
    y = radial * np.sin(theta) + round_ * np.cos(theta)
    return np.stack([x, y, along], axis=-1).reshape(-1, 3)
