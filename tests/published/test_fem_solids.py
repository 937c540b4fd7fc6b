"""Axisymmetric elasticity against published benchmarks, loaded by traction or by heat."""

import numpy as np
import pytest
from fem_models import component, on_face, solve, tube_model

from hoopwright.fem import Elastic, StressRecovery
from hoopwright.fem.face_load import face_load
from hoopwright.fem.grading import decay_length
from hoopwright.fem.grid import Grid
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model


def test_nearly_incompressible_cylinder_neither_locks_nor_oscillates():
    """code_aster V3.04.130: a 0.1, b 0.2 m, p 60 MPa, plane strain, ν → 0.5, E 200 GPa. At a: u 6e-5 m,
    σ −60, 100, 20; at b: u 3e-5 m, σ 0, 40, 20 MPa."""
    model = tube_model(Elastic(200e3, 0.4999), 100.0, 200.0, 25.0, columns=2, rows=8)
    load = face_load(model.mesh, "wall.bore", np.array([60.0, 0.0, 0.0]))
    u = solve(model, load, [component(model, 1), component(model, 2, "wall.left", "wall.right")])
    recovery = StressRecovery(model)
    points = recovery.stress(u)
    nodal = recovery.at_nodes(points)
    for face, move, expected in (
        ("wall.bore", 0.06, (-60.0, 100.0, 20.0)),
        ("wall.outside", 0.03, (0.0, 40.0, 20.0)),
    ):
        assert on_face(model, face, u[:, 0], 12.5) == pytest.approx(move, rel=2e-4)
        got = [on_face(model, face, s, 12.5) for s in nodal.T[:3]]
        assert got == pytest.approx(expected, abs=0.06)  # 0.1 % of p
    mean = points[..., :3].mean(axis=-1)
    # Pressure at neighbouring points along z is the same: no checkerboard.
    assert np.ptp(mean.reshape(2, 8, 2, 2), axis=(0, 2)).max() < 1e-3
    assert mean == pytest.approx(20.0, abs=0.05)


def curved_block(fineness):
    """The meridional section of NAFEMS LE11, in metres, as one grid: inner A-C-E-H, outer B-D-F-G-I."""

    def arc(radius, start, end, count):
        angle = np.linspace(start, end, count + 1)
        return radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)

    def straight(start, end, count):
        return np.linspace(start, end, count + 1)

    n = 2 * fineness
    D, E, F, G, H, I_ = (
        (1.2124, 0.7),
        (0.7071, 0.7071),
        (1.1062, 1.045),
        (1.0, 1.39),
        (0.7071, 1.79),
        (1.0, 1.79),
    )
    abreast_of_G = (0.7071, 1.39)
    inner = np.concatenate(
        [
            arc(1.0, 0.0, np.pi / 8, n),
            arc(1.0, np.pi / 8, np.pi / 4, n)[1:],
            straight(E, abreast_of_G, n)[1:],
            straight(abreast_of_G, H, fineness)[1:],
        ]
    )
    outer = np.concatenate(
        [
            arc(1.4, 0.0, np.pi / 6, n),
            straight(D, F, n)[1:],
            straight(F, G, n)[1:],
            straight(G, I_, fineness)[1:],
        ]
    )
    share = np.linspace(0.0, 1.0, n + 1)[None, :, None]
    r, z = np.moveaxis(inner[:, None] * (1 - share) + outer[:, None] * share, -1, 0)
    return Grid("block", r, z, np.ones((len(inner) - 1, n), dtype=bool))


def test_cylinder_taper_sphere_under_heat_matches_nafems_le11():
    """NAFEMS LE11: E 210 GPa, ν 0.3, α 2.3e-4, T = r + z (m), u_z = 0 on both ends, σ_zz −105 MPa at A."""

    def heat(r, z):
        return r + z

    model = Model(join(curved_block(4)), {"block": Elastic(210e3, 0.3, 2.3e-4)})
    u = solve(
        model,
        model.thermal_load(heat),
        [component(model, 1), component(model, 2, "block.left", "block.right")],
    )
    recovery = StressRecovery(model)
    nodal = recovery.at_nodes(recovery.stress(u, temperature_rise=heat))
    at_A = model.mesh.face("block.left").nodes[0, 0]
    assert model.mesh.nodes[:, at_A] == pytest.approx([1.0, 0.0])
    assert nodal[at_A, 2] == pytest.approx(-105.0, rel=0.015)


def half_of_two_spheres(fineness):
    """The meridional quarter of spheres 20 to 30 and 30 to 40 mm that touch all over, as one grid."""
    angle = np.linspace(0.0, np.pi / 2, 4 * fineness + 1)[:, None]
    radius = np.linspace(20.0, 40.0, 2 * fineness + 1)[None, :]
    return Grid(
        "ball",
        radius * np.cos(angle),
        radius * np.sin(angle),
        np.ones((4 * fineness, 2 * fineness), dtype=bool),
    )


def test_a_sphere_inside_another_swells_and_presses_on_it_as_published():
    """code_aster V6.03.173 (problem seen in the validation manual): spheres 20 to 30 and 30 to 40 mm
    in touch all over, E 2000 MPa, ν 0.3, 25 MPa inside. Its figures could not be opened; Lamé's hollow
    sphere gives u 0.2 mm at 20 mm and 0.075 mm at 40 mm, and 4.894 MPa between the two. Our contact is
    between cylinders: they are one body here, which is what touch all over comes to."""
    model = Model(join(half_of_two_spheres(12)), {"ball": Elastic(2000.0, 0.3)})

    def pressed(r, z):
        return 25.0 / 20.0 * np.stack([r, 0 * r, z])

    load = face_load(model.mesh, "ball.bore", pressed)
    r, z = model.mesh.nodes
    on_plane, on_axis = np.flatnonzero(np.abs(z) < 1e-9), np.flatnonzero(np.abs(r) < 1e-9)
    u = solve(model, load, [component(model, 1), 3 * on_plane + 2, 3 * on_axis])
    recovery = StressRecovery(model)
    nodal = recovery.at_nodes(recovery.stress(u))
    for radius, moved in ((20.0, 0.2), (30.0, 0.10396825), (40.0, 0.075)):
        at = np.flatnonzero(np.abs(np.hypot(r, z) - radius) < 1e-6)
        assert np.hypot(u[at, 0], u[at, 2]) == pytest.approx(moved, rel=1e-3)
    (seat,) = np.flatnonzero((np.abs(z) < 1e-9) & (np.abs(r - 30.0) < 1e-6))
    assert nodal[seat, 0] == pytest.approx(-4.8942, rel=0.01)


def test_half_loaded_long_thin_cylinder_bends_as_a_beam_on_elastic_foundation():
    """code_aster V3.03.144 form: pressure on z < 0 only, t/R = 1/60.
    w = p/(8β⁴D) (2 − e^{βz} cos βz) for z <= 0, p/(8β⁴D) e^{−βz} cos βz for z >= 0."""
    R, t, p, nu, E = 300.0, 5.0, 2.0, 0.3, 200e3
    decay = decay_length(R, t, nu)
    length = 8.0 * decay
    model = tube_model(Elastic(E, nu), R - t / 2, R + t / 2, 2 * length, columns=64, rows=2)
    load = face_load(model.mesh, "wall.bore", np.array([p, 0.0, 0.0]), end=length)
    bottom = component(model, 2, "wall.left")[:1]
    u = solve(model, load, [component(model, 1), bottom])
    z = np.linspace(-3.0 * decay, 3.0 * decay, 25)
    wave = np.exp(-np.abs(z) / decay) * np.cos(z / decay)
    expected = 0.5 * p * R**2 / (E * t) * np.where(z <= 0.0, 2.0 - wave, wave)  # 4β⁴D = E t / R²
    got = [on_face(model, "wall.outside", u[:, 0], length + place) for place in z]
    # Thin-shell theory neglects terms of the order t/R.
    assert got == pytest.approx(expected, abs=0.01 * p * R**2 / (E * t))
