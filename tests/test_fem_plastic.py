"""Plastic flow: return mapping, its tangent, Newton's method, and contact."""

import numpy as np
import pytest
from fem_models import (
    ALUMINIUM,
    MATERIALS,
    component,
    fixed_constraint,
    interference_profile,
    sleeved_shell,
    tube_model,
)

from hoopwright.fem import Elastic, FitSolver, Resolution, SolveError, mesh_joint, von_mises
from hoopwright.fem.face_load import face_load
from hoopwright.fem.plastic import History, PlasticBody, Yield
from hoopwright.fem.plastic_newton import solve_step
from hoopwright.fem.plastic_press import PlasticPress
from hoopwright.geometry.land import cylinder

COARSE = Resolution(elements_through_wall=2).scaled(1.5)


def body_of(hardening=0.0, yield_stress=200.0):
    model = tube_model(ALUMINIUM, 20.0, 23.0, 4.0, columns=1, rows=1)
    return PlasticBody(model, {"wall": Yield(yield_stress, hardening)})


def strains(seed=7):
    return 6e-3 * np.random.default_rng(seed).standard_normal((1, 9, 4))


@pytest.mark.parametrize("hardening", [0.0, 3e3])
def test_the_tangent_is_the_derivative_of_the_stress(hardening):
    body = body_of(hardening)
    at, small = strains(), 1e-8
    _, _, before = body.return_map(0.5 * strains(3), body.virgin)
    _, tangent, after = body.return_map(at, before)
    assert np.any(after.equivalent > before.equivalent)
    for j in range(4):
        nudge = small * np.eye(4)[j]
        up, down = (body.return_map(at + sign * nudge, before)[0] for sign in (1.0, -1.0))
        slope = (up - down) / (2.0 * small)
        assert tangent[..., :, j] == pytest.approx(slope, rel=1e-5, abs=1.0)


def test_stress_stays_on_the_yield_surface_and_flow_preserves_volume():
    body = body_of(hardening=2e3)
    deviator, _, after = body.return_map(strains(), body.virgin)
    limit = 200.0 + 2e3 * after.equivalent
    reached = von_mises(np.pad(deviator, ((0, 0), (0, 0), (0, 2))))  # σ_rθ = σ_θz = 0
    assert np.all(reached <= limit * (1.0 + 1e-12))
    flowed = after.equivalent > 0.0
    assert reached[flowed] == pytest.approx(limit[flowed], rel=1e-12)
    assert deviator[..., :3].sum(axis=-1) == pytest.approx(0.0, abs=1e-9)
    assert after.strain[..., :3].sum(axis=-1) == pytest.approx(0.0, abs=1e-16)


def test_equivalent_plastic_strain_is_the_length_of_the_plastic_strain():
    """√(2/3 ε_p : ε_p) on a straight path from virgin metal."""
    body = body_of()
    _, _, h = body.return_map(strains(), body.virgin)
    length = np.sqrt(2.0 / 3.0 * (np.sum(h.strain[..., :3] ** 2, axis=-1) + 0.5 * h.strain[..., 3] ** 2))
    assert h.equivalent == pytest.approx(length, rel=1e-12)


def test_pulled_bar_follows_its_hardening_line_and_springs_back_elastically():
    """Uniaxial: slope EH/(E + H) past yield, E on the way back."""
    E, H, Y = 69e3, 5e3, 200.0
    model = tube_model(Elastic(E, 0.33), 20.0, 23.0, 10.0, columns=2, rows=1)
    body = PlasticBody(model, {"wall": Yield(Y, H)})
    fixed = fixed_constraint(model.size, component(model, 2, "wall.left"))
    end = component(model, 2, "wall.right")[0]
    u, h, strain = np.zeros(model.size), body.virgin, []
    for pull in (150.0, 240.0, 0.0):
        load = face_load(model.mesh, "wall.right", np.array([0.0, 0.0, pull]))
        step = solve_step(body, u, h, load, fixed)
        u, h = step.displacement, step.history
        strain.append(u[end] / 10.0)
    assert strain[0] == pytest.approx(150.0 / E, rel=1e-9)
    assert strain[1] == pytest.approx(Y / E + 40.0 * (E + H) / (E * H), rel=1e-9)
    assert strain[2] == pytest.approx(40.0 / H, rel=1e-9)


def test_newton_converges_quadratically():
    """Digits double: from r_k+1 = C r_k², successive differences of log r are in the ratio 2."""
    model = tube_model(Elastic(210e3, 0.3), 100.0, 200.0, 10.0, columns=1, rows=20)
    body = PlasticBody(model, {"wall": Yield(240.0, 1e3)})
    load = face_load(model.mesh, "wall.bore", np.array([150.0, 0.0, 0.0]))
    step = solve_step(
        body, np.zeros(model.size), body.virgin, load, fixed_constraint(model.size, component(model, 2))
    )
    late = np.diff(np.log(step.residuals[-4:]))
    assert step.residuals[-1] < 1e-11
    assert late[-1] / late[-2] == pytest.approx(2.0, abs=0.2)


def test_a_load_past_the_limit_raises_instead_of_returning_a_result():
    model = tube_model(Elastic(210e3, 0.3), 100.0, 200.0, 10.0, columns=1, rows=10)
    body = PlasticBody(model, {"wall": Yield(240.0)})
    load = face_load(model.mesh, "wall.bore", np.array([200.0, 0.0, 0.0]))
    with pytest.raises(SolveError):
        solve_step(
            body, np.zeros(model.size), body.virgin, load, fixed_constraint(model.size, component(model, 2))
        )


@pytest.fixture(scope="module")
def short_sleeve():
    pair = sleeved_shell(
        width=40.0, outside=44.0, bore=39.0, sleeve_bore=34.9, interference=0.04, start=10.0, end=30.0
    )
    return mesh_joint(pair, MATERIALS, COARSE)


def test_below_yield_the_press_fit_is_the_linear_one(short_sleeve):
    profile = interference_profile(short_sleeve)
    linear = FitSolver(short_sleeve.model, short_sleeve.interface).press(profile, stuck=False)
    limits = {"sleeve": Yield(np.inf), "shell": Yield(1e4)}
    state = PlasticPress(short_sleeve, limits).press([profile])[0]
    assert state.displacement == pytest.approx(linear.displacement, abs=1e-12)
    assert state.pressure == pytest.approx(linear.pressure, rel=1e-8, abs=1e-8)
    assert state.history.equivalent.max() == 0.0


def test_a_yielding_shell_has_less_pressure_than_an_elastic_one_and_stays_larger(short_sleeve):
    profile = 4.0 * interference_profile(short_sleeve)
    linear = FitSolver(short_sleeve.model, short_sleeve.interface).press(profile, stuck=False)
    press = PlasticPress(short_sleeve, {"sleeve": Yield(355.0), "shell": Yield(115.0)})
    state = press.press([profile])[0]
    weight = short_sleeve.interface.weight
    assert state.pressure @ weight < 0.9 * linear.pressure @ weight
    out = press.disassembled(state)
    assert np.all(out.pressure == 0.0)
    outside = np.unique(short_sleeve.model.mesh.face("shell.outside").nodes)
    assert out.displacement[outside, 0].max() > 1e-3
    # Apart and unloaded, the residual stress is self-equilibrated: Newton stops at 1e-9 of the forces of
    # the fit, some thirty times the residual.
    assert np.linalg.norm(press.body.force(out.response)) < 1e-7 * press.body.force_scale(out.response)


def test_many_small_steps_give_the_result_of_one_large_step(short_sleeve):
    """Growing interference loads the wall nearly in proportion, so the path matters little."""
    profile = 4.0 * interference_profile(short_sleeve)
    press = PlasticPress(short_sleeve, {"sleeve": Yield(355.0), "shell": Yield(115.0)})
    weight = short_sleeve.interface.weight
    one = press.press([profile])[0].pressure @ weight
    many = press.press([s * profile for s in np.linspace(0.1, 1.0, 10)])[-1].pressure @ weight
    assert one == pytest.approx(many, rel=2e-3)


def test_pairs_that_do_not_touch_carry_nothing():
    """A land with clearance between two tight ones stays open while the metal yields."""
    turned = (cylinder(0.0, 20.0, 39.150), cylinder(20.0, 40.0, 38.900), cylinder(40.0, 60.0, 39.150))
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=turned)
    meshed_joint = mesh_joint(pair, MATERIALS, COARSE)
    state = PlasticPress(meshed_joint, {"sleeve": Yield(355.0), "shell": Yield(115.0)}).press(
        [interference_profile(meshed_joint)]
    )[0]
    z = meshed_joint.interface.z
    assert state.history.equivalent.max() > 0.0
    assert np.all(state.pressure[(z > 24.0) & (z < 36.0)] == 0.0)
    assert np.all(state.pressure >= 0.0)
    assert state.pressure[(z > 5.0) & (z < 15.0)].min() > 0.0


def test_light_land_beside_a_tight_one_lifts_off():
    """2 µm of interference between two tight lands: the shell, expanded by its neighbours, lifts off."""
    turned = (cylinder(0.0, 25.0, 39.150), cylinder(25.0, 35.0, 39.002), cylinder(35.0, 60.0, 39.150))
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=turned)
    meshed_joint = mesh_joint(pair, MATERIALS, COARSE)
    profile = interference_profile(meshed_joint)
    limits = {"sleeve": Yield(np.inf), "shell": Yield(1e4)}
    state = PlasticPress(meshed_joint, limits).press([profile])[0]
    linear = FitSolver(meshed_joint.model, meshed_joint.interface).press(profile, stuck=False)
    assert np.array_equal(state.closed, linear.closed)
    assert np.any((profile > 0.0) & ~state.closed)


def test_invalid_limits_are_rejected():
    with pytest.raises(ValueError, match="yield stress above 0"):
        Yield(0.0)
    with pytest.raises(ValueError, match="hardening >= 0"):
        Yield(100.0, -1.0)


def test_the_plastic_history_is_immutable():
    body = body_of()
    assert isinstance(body.virgin, History)
    before = body.virgin.equivalent.copy()
    body.return_map(strains(), body.virgin)
    assert np.array_equal(body.virgin.equivalent, before)
