"""Properties of thread and fatigue formulae, without any reference number."""

import numpy as np
import pytest
from reference.fatigue import (
    SNConstants,
    crossland_stress,
    goodman_utilisation,
    sines_stress,
    sqrt_j2,
    swt_amplitude,
    walker_amplitude,
)
from scipy.optimize import minimize

from hoopwright.closed_form.fatigue import deviator, hydrostatic, sqrt_j2_amplitude
from hoopwright.closed_form.fatigue_life import sn_cycles, sn_strength
from hoopwright.closed_form.thread import (
    basic_pitch_diameter,
    external_shear_area,
    internal_shear_area,
    loosening_torque,
    preload_from_torque,
    stripping_force,
    tightening_torque,
)

SCREW = {
    "pitch": 25.4 / 24.0,
    "pitch_diameter": 34.2,
    "thread_friction": 0.15,
    "face_friction": 0.12,
    "face_mean_diameter": 40.0,
}
CURVE = SNConstants(9.65, 2.85, 0.41, 61.3)


def test_without_friction_the_work_of_the_torque_is_preload_times_pitch():
    torque = tightening_torque(preload=1000.0, pitch=1.0, pitch_diameter=34.35, thread_friction=0.0)
    assert 2.0 * np.pi * torque == pytest.approx(1000.0 * 1.0)


def test_without_friction_a_screw_returns_its_tightening_torque():
    plain = {"preload": 1000.0, "pitch": 1.0, "pitch_diameter": 34.35, "thread_friction": 0.0}
    assert loosening_torque(**plain) == pytest.approx(-tightening_torque(**plain))


def test_torque_and_preload_are_inverses():
    torque = tightening_torque(preload=9000.0, **SCREW)
    assert preload_from_torque(torque=torque, **SCREW) == pytest.approx(9000.0)


def test_a_flange_adds_its_friction_at_its_mean_radius():
    bare = SCREW | {"face_friction": 0.0}
    extra = tightening_torque(preload=9000.0, **SCREW) - tightening_torque(preload=9000.0, **bare)
    assert extra == pytest.approx(9000.0 * 0.12 * 20.0)
    extra = loosening_torque(preload=9000.0, **SCREW) - loosening_torque(preload=9000.0, **bare)
    assert extra == pytest.approx(9000.0 * 0.12 * 20.0)


def test_friction_of_a_v_thread_exceeds_a_square_thread_by_its_flank_angle():
    # In the flat limit (tiny pitch) the torque is F μ r/cos α.
    flat = {"preload": 1.0, "pitch": 1e-9, "pitch_diameter": 2.0, "thread_friction": 0.2}
    square = tightening_torque(**flat, flank_angle_deg=0.0)
    assert tightening_torque(**flat) / square == pytest.approx(1.0 / np.cos(np.pi / 6.0))


def test_a_thread_sheared_at_its_pitch_line_is_half_tooth_half_gap():
    pitch_line = {"engagement": 10.0, "pitch": 1.0}
    half = np.pi * 34.35 * 10.0 / 2.0
    internal = internal_shear_area(**pitch_line, external_major_min=34.35, internal_pitch_max=34.35)
    external = external_shear_area(**pitch_line, internal_minor_max=34.35, external_pitch_min=34.35)
    assert internal == pytest.approx(half)
    assert external == pytest.approx(half)
    assert stripping_force(shear_area=internal, shear_strength=2.0) == pytest.approx(2.0 * half)


def test_threads_that_do_not_overlap_are_rejected():
    with pytest.raises(ValueError, match="overlap"):
        internal_shear_area(engagement=5.0, pitch=1.0, external_major_min=33.0, internal_pitch_max=34.4)


def test_m8_has_its_listed_basic_pitch_diameter():
    # 7.188 mm in every table of metric coarse threads.
    assert round(float(basic_pitch_diameter(major=8.0, pitch=1.25)), 3) == 7.188


def turned(stress, angle):
    """Stress components after a rotation of the axes about z."""
    rr, tt, zz, rz, rt, tz = stress
    tensor = np.array([[rr, rt, rz], [rt, tt, tz], [rz, tz, zz]])
    c, s = np.cos(angle), np.sin(angle)
    q = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])
    m = q @ tensor @ q.T
    return np.array([m[0, 0], m[1, 1], m[2, 2], m[0, 2], m[0, 1], m[1, 2]])


def test_invariants_do_not_change_when_the_axes_turn():
    stress = np.array([80.0, -30.0, 55.0, 12.0, -25.0, 40.0])
    assert sqrt_j2(turned(stress, 0.7)) == pytest.approx(sqrt_j2(stress))
    assert hydrostatic(turned(stress, 0.7)) == pytest.approx(hydrostatic(stress))


def test_sqrt_j2_times_root_three_is_von_mises():
    x, y, z, xz, xy, yz = stress = [80.0, -30.0, 55.0, 12.0, -25.0, 40.0]
    squares = (x - y) ** 2 + (y - z) ** 2 + (z - x) ** 2
    mises = np.sqrt(squares / 2.0 + 3.0 * (xz**2 + xy**2 + yz**2))
    assert sqrt_j2(stress) * np.sqrt(3.0) == pytest.approx(mises)


def test_a_proportional_history_has_half_its_range_as_amplitude():
    phase = np.sin(np.linspace(0.0, 2.0 * np.pi, 73))
    axial = 40.0 + 100.0 * phase
    history = np.zeros((73, 6))
    history[:, 2] = axial
    assert sqrt_j2_amplitude(history) == pytest.approx((axial.max() - axial.min()) / 2 / np.sqrt(3))


def test_a_circular_stress_path_has_its_own_radius_whatever_the_mean():
    angle = np.linspace(0.0, 2.0 * np.pi, 72, endpoint=False)
    history = np.zeros((72, 6))
    history[:, 3] = 5.0 + 30.0 * np.cos(angle)
    history[:, 4] = -80.0 + 30.0 * np.sin(angle)
    radius = sqrt_j2_amplitude(history)
    assert 30.0 - 1e-9 <= radius <= 30.3


def test_the_amplitude_of_a_triangular_path_is_its_circumradius_not_half_its_longest_side():
    corners = np.array([[0.0, 0.0], [60.0, 0.0], [30.0, 30.0 * np.sqrt(3.0)]])
    history = np.zeros((3, 6))
    history[:, 3:5] = corners
    wanted = 60.0 / np.sqrt(3.0)
    radius = sqrt_j2_amplitude(history, iterations=400)
    assert wanted - 1e-9 <= radius <= 1.01 * wanted


def test_the_ball_about_a_long_history_contains_it_and_is_next_to_the_smallest():
    """Against the least R² with R² >= |s - c|² for every instant, by sequential quadratic programming."""
    rng, angle = np.random.default_rng(9), np.linspace(0.0, 2.0 * np.pi, 90, endpoint=False)
    waves = np.stack([wave(n * angle) for n in (1, 2) for wave in (np.cos, np.sin)], axis=1)
    history = np.einsum("tw,wpc->tpc", waves, rng.normal(0.0, 40.0, (4, 24, 6)))
    for point, amplitude in enumerate(sqrt_j2_amplitude(history)):
        path = deviator(history[:, point]) / 100.0

        def left(x, path=path):
            return x[6] - np.sum((path - x[:6]) ** 2, axis=1)

        start = np.append(path.mean(axis=0), 10.0)
        least = minimize(lambda x: x[6], start, constraints={"type": "ineq", "fun": left}, method="SLSQP")
        assert least.success
        assert 1.0 - 1e-5 <= amplitude / (100.0 * np.sqrt(least.x[6] / 2.0)) <= 1.02


def test_histories_of_many_points_are_those_of_each_point():
    history = np.random.default_rng(3).normal(0.0, 50.0, (12, 4, 5, 6))
    together = sqrt_j2_amplitude(history)
    assert together.shape == (4, 5)
    assert together[2, 3] == pytest.approx(sqrt_j2_amplitude(history[:, 2, 3]))


def test_crossland_and_sines_both_return_the_torsion_limit_for_torsion():
    torsion = {"sqrt_j2_amplitude": 120.0, "torsion_limit": 120.0}
    assert crossland_stress(**torsion, hydrostatic_max=0.0, bending_limit=190.0) == pytest.approx(120.0)
    assert sines_stress(**torsion, hydrostatic_mean=0.0, repeated_limit=150.0) == pytest.approx(120.0)


def test_sines_returns_the_torsion_limit_for_repeated_bending():
    stress = sines_stress(
        sqrt_j2_amplitude=150.0 / np.sqrt(3.0),
        hydrostatic_mean=150.0 / 3.0,
        torsion_limit=120.0,
        repeated_limit=150.0,
    )
    assert stress == pytest.approx(120.0)


def test_walker_at_one_half_is_smith_watson_topper():
    amplitude, mean = 70.0, 50.0
    ratio = (mean - amplitude) / (mean + amplitude)
    walker = walker_amplitude(stress_max=120.0, stress_ratio=ratio, gamma=0.5)
    assert walker == pytest.approx(swt_amplitude(amplitude=amplitude, mean=mean))


def test_compressive_mean_stress_earns_no_credit():
    limits = {"endurance_limit": 100.0, "tensile_strength": 300.0}
    assert goodman_utilisation(amplitude=50.0, mean=-80.0, **limits) == pytest.approx(0.5)
    assert swt_amplitude(amplitude=50.0, mean=-80.0) == 0.0


@pytest.mark.parametrize("ratio", [-1.0, 0.0, 0.5])
def test_strength_and_life_are_inverses(ratio):
    stress = sn_strength(cycles=3e5, stress_ratio=ratio, curve=CURVE)
    assert sn_cycles(stress_max=stress, stress_ratio=ratio, curve=CURVE) == pytest.approx(3e5, rel=1e-9)


def test_life_is_infinite_where_the_curve_is_flat():
    cycles = sn_cycles(stress_max=np.array([100.0, 900.0]), stress_ratio=0.0, curve=CURVE)
    assert np.isinf(cycles[0])
    assert np.isfinite(cycles[1])
