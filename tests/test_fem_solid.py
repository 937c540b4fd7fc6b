"""Properties of any correct axisymmetric element: rates, rigid motion, equilibrium, surface values."""

import numpy as np
import pytest
from fem_models import ALUMINIUM, STEEL, component, on_face, solve, tube, tube_model

from hoopwright.closed_form.lame import lame_stress
from hoopwright.fem import Elastic, SolveError, StressRecovery
from hoopwright.fem.face_load import face_load
from hoopwright.fem.grid import Grid
from hoopwright.fem.linear_solver import factorise
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.fem.stress import through_wall
from hoopwright.fem.surface_stress import surface_hoop

A, B, P = 10.0, 20.0, 90.0


def lame(r):
    return np.stack(lame_stress(r, a=A, b=B, p_i=P))


def pressurised(rows, material=STEEL):
    model = tube_model(material, A, B, 10.0, columns=2, rows=rows)
    load = face_load(model.mesh, "wall.bore", np.array([P, 0.0, 0.0]))
    stop = component(model, 2, "wall.left")[:1]
    return model, solve(model, load, [component(model, 1), stop])


def errors(rows):
    """Largest stress error at the stress points, and error of the bore displacement, both relative."""
    model, u = pressurised(rows)
    recovery = StressRecovery(model)
    got = np.moveaxis(recovery.stress(u)[..., :2], -1, 0)
    E, nu = STEEL.young_modulus, STEEL.poisson_ratio
    move = P * A / E * ((B**2 + A**2) / (B**2 - A**2) + nu)
    return (
        np.max(np.abs(got - lame(recovery.r))) / P,
        abs(on_face(model, "wall.bore", u[:, 0], 5.0) / move - 1.0),
    )


def test_bore_pressure_gives_the_lame_stress():
    stress, move = errors(4)
    assert stress < 2e-3  # 7e-4 measured
    assert move < 1e-4


def test_stress_converges_at_second_order_or_better_and_displacement_at_third():
    stress, move = np.transpose([errors(n) for n in (4, 8, 16)])
    assert np.log2(stress[1] / stress[2]) > 2.0
    assert np.log2(move[1] / move[2]) > 3.0


def test_surface_stress_is_read_to_a_tenth_of_a_percent_in_a_thick_wall():
    model, u = pressurised(6)
    recovery = StressRecovery(model)
    stress = recovery.stress(u)
    lines = recovery.linearised(stress, "wall")
    nodal = recovery.at_nodes(stress)
    for face, surface, r in (
        ("wall.bore", lines.surface_inner, A),
        ("wall.outside", lines.surface_outer, B),
    ):
        assert surface[:, 1] == pytest.approx(lame(r)[1], rel=1e-3)
        assert on_face(model, face, nodal[:, 1], 5.0) == pytest.approx(lame(r)[1], rel=1e-3)


def test_hoop_stress_from_the_movement_of_a_surface_is_the_lame_stress():
    model, u = pressurised(4)
    for face, r, radial in (("wall.bore", A, -P), ("wall.outside", B, 0.0)):
        _, hoop = surface_hoop(model, face, u, radial)
        assert hoop == pytest.approx(lame(r)[1], rel=2e-4)
    hot, rise = solve(model, model.thermal_load(60.0), [component(model, 1), component(model, 2)[:1]]), 60.0
    _, none = surface_hoop(model, "wall.bore", hot, 0.0, temperature_rise=rise)
    assert np.max(np.abs(none)) < 1e-8


def test_linearised_hoop_stress_is_the_line_integral_of_lame():
    """a 1, b 1.5, p 1: membrane 2.000 and −0.400, hoop bending 0.48391 at the bore, worked out from the
    closed form; line integral as in ASME BPVC VIII-2 Annex 5-A (from memory, not seen)."""
    model = tube_model(STEEL, 10.0, 15.0, 5.0, columns=1, rows=6)
    u = solve(
        model,
        face_load(model.mesh, "wall.bore", np.array([1.0, 0.0, 0.0])),
        [component(model, 1), component(model, 2, "wall.left")[:1]],
    )
    recovery = StressRecovery(model)
    lines = recovery.linearised(recovery.stress(u), "wall")
    assert lines.membrane[:, 1] == pytest.approx(2.000, rel=5e-4)
    assert lines.membrane[:, 0] == pytest.approx(-0.400, rel=2e-3)
    assert lines.inner[:, 1] - lines.membrane[:, 1] == pytest.approx(0.48391, rel=2e-3)
    assert lines.outer[:, 1] == pytest.approx(2 * lines.membrane[:, 1] - lines.inner[:, 1])
    assert lines.r_inner == pytest.approx(10.0)
    assert lines.r_outer == pytest.approx(15.0)


def test_axial_translation_and_rotation_cause_no_strain_in_harmonic_zero():
    model = Model(join(distorted()), {"wall": ALUMINIUM})
    r = model.mesh.nodes[0]
    for move in ([0 * r, 0 * r, 1 + 0 * r], [0 * r, r, 0 * r]):
        assert np.max(np.abs(StressRecovery(model).stress(np.stack(move, axis=1)))) < 1e-8


def test_radial_growth_is_strain_not_rigid_motion():
    model = Model(join(distorted()), {"wall": ALUMINIUM})
    r = model.mesh.nodes[0]
    stress = StressRecovery(model).stress(np.stack([1e-3 * r, 0 * r, 0 * r], axis=1))
    E, nu = ALUMINIUM.young_modulus, ALUMINIUM.poisson_ratio
    assert stress[..., 0] == pytest.approx(1e-3 * E / ((1 + nu) * (1 - 2 * nu)), rel=1e-9)
    assert stress[..., 1] == pytest.approx(stress[..., 0], rel=1e-9)


def distorted():
    """A tube wall divided into skewed quadrilaterals."""
    grid = tube(10.0, 13.0, 9.0, columns=3, rows=2)
    lean = 0.2 * np.sin(2.0 * grid.r) * np.cos(grid.z)
    return Grid(grid.name, grid.r + lean, grid.z + 0.3 * lean, grid.metal)


def test_free_heating_of_a_skewed_mesh_is_free_of_stress():
    model = Model(join(distorted()), {"wall": ALUMINIUM})
    stop = component(model, 2, "wall.left")[:1]
    u = solve(model, model.thermal_load(80.0), [component(model, 1), stop])
    assert np.max(np.abs(StressRecovery(model).stress(u, temperature_rise=80.0))) < 1e-8
    assert u[:, 0] == pytest.approx(23e-6 * 80.0 * model.mesh.nodes[0], rel=1e-9)


def test_face_load_sums_to_traction_times_area_on_every_face():
    """Per radian: p r L on a cylinder, p (b² − a²)/2 on an end; a band loads its own length only."""
    model = tube_model(STEEL, A, B, 10.0, columns=3, rows=2)
    radial = face_load(model.mesh, "wall.bore", np.array([2.0, 0.0, 0.0])).reshape(-1, 3)
    assert radial.sum(axis=0) == pytest.approx([2.0 * A * 10.0, 0.0, 0.0])
    axial = face_load(model.mesh, "wall.right", np.array([0.0, 0.0, 3.0])).reshape(-1, 3)
    assert axial.sum(axis=0) == pytest.approx([0.0, 0.0, 3.0 * 0.5 * (B**2 - A**2)])
    band = face_load(model.mesh, "wall.outside", np.array([0.0, 0.0, 1.0]), start=1.0, end=4.5)
    assert band.sum() == pytest.approx(B * 3.5)
    collar = face_load(model.mesh, "wall.left", np.array([0.0, 0.0, 1.0]), start=12.0, end=16.0)
    assert collar.sum() == pytest.approx(0.5 * (16.0**2 - 12.0**2))


def test_a_body_free_to_move_raises_instead_of_returning_a_result():
    model = tube_model(STEEL, A, B, 10.0, columns=2, rows=2)
    push = face_load(model.mesh, "wall.right", np.array([0.0, 0.0, 1.0]))
    with pytest.raises(SolveError, match="free to move"):
        solve(model, push, [component(model, 1)])


def test_a_matrix_with_an_empty_row_raises():
    from scipy.sparse import csr_matrix

    with pytest.raises(SolveError, match="singular"):
        factorise(csr_matrix(np.diag([1.0, 0.0, 2.0])))


def test_material_rejects_impossible_constants():
    with pytest.raises(ValueError, match="need E > 0"):
        Elastic(0.0, 0.3)
    with pytest.raises(ValueError, match=r"need 0 <= ν < 0\.5"):
        Elastic(1.0, 0.5)


def test_through_wall_weights_reproduce_cubics_and_sum_to_one():
    heights = np.array([0.5, 0.7, 0.4, 0.6])
    bottom = np.concatenate([[0.0], np.cumsum(heights)])
    middle = 0.5 * (bottom[1:] + bottom[:-1])
    points = np.sort(np.concatenate([middle - heights / 12**0.5, middle + heights / 12**0.5]))
    nodes = np.sort(np.concatenate([bottom, middle]))
    weights = through_wall(heights)
    assert weights.sum(axis=1) == pytest.approx(1.0)
    assert weights @ points**3 == pytest.approx(nodes**3, abs=1e-12)
    assert through_wall(np.array([2.0])) @ np.array([1 - 3**-0.5, 1 + 3**-0.5]) == pytest.approx([0, 1, 2])
