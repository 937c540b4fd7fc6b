"""Properties of solutions for loads that vary around or along a cylinder, without any reference number."""

import numpy as np
import pytest
from reference.harmonic import cosine_traction_stress, pure_bending, second_moment, torsion
from reference.long_cylinder import (
    band_pressure_deflection,
    decay_rate,
    ring_load_deflection,
    step_pressure_deflection,
)
from reference.pinched_ring import pinched_ring, pinched_ring_harmonic
from reference.ring_harmonics import ring_harmonic, two_ring_contact

TUBE = {"inner_radius": 20.0, "outer_radius": 22.0}
ALUMINIUM, STEEL = (69e3, 0.33), (205e3, 0.29)
H = 1e-3


def amplitudes(r):
    """σ_rr, σ_θθ, σ_rθ amplitudes of the lateral push at r."""
    load = TUBE | {"outer_pressure": 10.0, "nu": 0.3}
    front, side = (cosine_traction_stress(r, theta, **load) for theta in (0.0, np.pi / 2))
    return front[0], front[1], side[2]


def slope(function, r):
    return (function(r + H) - function(r - H)) / (2.0 * H)


def test_lateral_push_is_in_equilibrium():
    r = np.linspace(20.1, 21.9, 7)
    rr, tt, rt = amplitudes(r)
    assert slope(lambda x: amplitudes(x)[0], r) + (rt + rr - tt) / r == pytest.approx(0.0, abs=1e-6)
    assert slope(lambda x: amplitudes(x)[2], r) + (2.0 * rt - tt) / r == pytest.approx(0.0, abs=1e-6)


def test_displacements_of_a_lateral_push_are_continuous_around_the_ring():
    # With u_r = U cos θ, u_θ = V sin θ: γ = r dε_θ/dr - ε_r, or the ring would not close.
    r, nu = np.linspace(20.1, 21.9, 7), 0.3

    def strains(x):
        rr, tt, rt = amplitudes(x)
        return (1 - nu) * rr - nu * tt, (1 - nu) * tt - nu * rr, 2.0 * rt  # times 2G

    radial, _, shear = strains(r)
    assert r * slope(lambda x: strains(x)[1], r) - radial == pytest.approx(shear, abs=1e-4)


def test_pure_bending_strains_are_those_of_its_axial_stress_alone():
    E, nu = ALUMINIUM
    load = TUBE | {"moment": 1e5, "material": ALUMINIUM}
    r, theta, z, h = 21.3, 0.7, 8.0, 1e-4

    def u(dr=0.0, dt=0.0, dz=0.0):
        return np.array(pure_bending(r + dr, theta + dt, z + dz, **load)[:3])

    by_r = (u(dr=h) - u(dr=-h)) / (2 * h)
    by_t = (u(dt=h) - u(dt=-h)) / (2 * h)
    by_z = (u(dz=h) - u(dz=-h)) / (2 * h)
    here, stress = u(), pure_bending(r, theta, z, **load)[3]
    axial = stress / E
    assert by_z[2] == pytest.approx(axial, rel=1e-7)
    assert by_r[0] == pytest.approx(-nu * axial, rel=1e-7)
    assert (here[0] + by_t[1]) / r == pytest.approx(-nu * axial, rel=1e-7)
    for shear in (
        by_t[0] / r + by_r[1] - here[1] / r,
        by_z[0] + by_r[2],
        by_z[1] + by_t[2] / r,
    ):
        assert shear == pytest.approx(0.0, abs=1e-6 * abs(axial))


def test_section_stresses_add_up_to_the_moment_and_the_torque():
    r = np.linspace(20.0, 22.0, 2001)
    stress = pure_bending(r, 0.0, 0.0, **TUBE, moment=1e5, material=ALUMINIUM)[3]
    assert np.pi * np.trapezoid(stress * r**2, r) == pytest.approx(1e5, rel=1e-6)
    shear = torsion(r, torque=1e5, **TUBE, material=ALUMINIUM)[0]
    assert 2.0 * np.pi * np.trapezoid(shear * r**2, r) == pytest.approx(1e5, rel=1e-6)


@pytest.mark.parametrize("n", [2, 3, 5])
@pytest.mark.parametrize("condition", ["plane strain", "plane stress"])
def test_ring_harmonic_satisfies_equilibrium_hooke_and_its_faces(n, condition):
    E, nu = ALUMINIUM
    faces = {"inner_rr": -3.0, "outer_rr": 2.0, "inner_rt": 0.5, "outer_rt": -0.7}
    ring = ring_harmonic(n, **TUBE, material=ALUMINIUM, **faces, condition=condition)
    assert ring.stress(20.0)[::2] == pytest.approx((-3.0, 0.5), abs=1e-8)
    assert ring.stress(22.0)[::2] == pytest.approx((2.0, -0.7), abs=1e-8)
    r = np.linspace(20.2, 21.8, 5)
    rr, tt, rt = ring.stress(r)
    scale = np.max(np.abs(tt))
    balance = slope(lambda x: ring.stress(x)[0], r) + (n * rt + rr - tt) / r
    turning = slope(lambda x: ring.stress(x)[2], r) + (2.0 * rt - n * tt) / r
    assert balance == pytest.approx(0.0, abs=1e-6 * scale)
    assert turning == pytest.approx(0.0, abs=1e-6 * scale)
    u, v = ring.displacement(r)
    zz = nu * (rr + tt) if condition == "plane strain" else 0.0
    stretch = slope(lambda x: ring.displacement(x)[0], r)
    shear = slope(lambda x: ring.displacement(x)[1], r) - v / r - n * u / r
    limit = 1e-6 * scale / E
    assert stretch == pytest.approx((rr - nu * (tt + zz)) / E, abs=limit)
    assert (u + n * v) / r == pytest.approx((tt - nu * (rr + zz)) / E, abs=limit)
    assert shear == pytest.approx(2.0 * (1.0 + nu) * rt / E, abs=limit)


def test_zero_poissons_ratio_needs_no_special_case():
    ring = ring_harmonic(2, **TUBE, material=(69e3, 0.0), outer_rr=1.0)
    near = ring_harmonic(2, **TUBE, material=(69e3, 1e-7), outer_rr=1.0)
    assert ring.displacement(21.0)[0] == pytest.approx(near.displacement(21.0)[0], rel=1e-5)


@pytest.mark.parametrize("n", [2, 3, 4])
def test_a_harmonic_of_a_thin_ring_agrees_with_thin_ring_theory(n):
    # Inextensional: u = p R⁴/[EI (n² - 1)²] per unit width for p cos nθ. The wall's own shear and
    # stretch add about (t/R)².
    R, t = 100.0, 1.0
    ring = ring_harmonic(
        n,
        inner_radius=R - t / 2,
        outer_radius=R + t / 2,
        material=ALUMINIUM,
        inner_rr=-1e-4,
        condition="plane stress",
    )
    thin = 1e-4 * (R - t / 2) / R * R**4 / (69e3 * t**3 / 12.0 * (n**2 - 1) ** 2)
    assert ring.displacement(R)[0] == pytest.approx(thin, rel=2e-3)


@pytest.mark.parametrize("stuck", [False, True])
def test_two_rings_move_together_at_the_interface(stuck):
    pair = two_ring_contact(
        3,
        bore_radius=17.45,
        interface_radius=19.5,
        outer_radius=22.0,
        inner=STEEL,
        outer=ALUMINIUM,
        outside_pressure=2.0,
        stuck=stuck,
    )
    inner, outer = pair.inner.displacement(19.5), pair.outer.displacement(19.5)
    assert inner[0] == pytest.approx(outer[0], rel=1e-9)
    assert (abs(inner[1] - outer[1]) < 1e-9 * abs(inner[1])) == stuck
    assert pair.inner.stress(19.5)[0] == pytest.approx(-pair.contact_pressure, rel=1e-9)
    assert pair.outer.stress(19.5)[0] == pytest.approx(-pair.contact_pressure, rel=1e-9)
    assert pair.outer.stress(22.0)[0] == pytest.approx(-2.0, rel=1e-9)
    assert pair.inner.stress(17.45)[0] == pytest.approx(0.0, abs=1e-9)


def test_two_bonded_rings_of_one_metal_behave_as_one_ring():
    whole = ring_harmonic(2, inner_radius=17.45, outer_radius=22.0, material=STEEL, outer_rr=-2.0)
    pair = two_ring_contact(
        2,
        bore_radius=17.45,
        interface_radius=19.5,
        outer_radius=22.0,
        inner=STEEL,
        outer=STEEL,
        outside_pressure=2.0,
        stuck=True,
    )
    rr, _, rt = whole.stress(19.5)
    assert (-pair.contact_pressure, pair.contact_shear) == pytest.approx((rr, rt), rel=1e-9)


def test_pinched_ring_harmonics_sum_to_the_pinched_ring():
    load = {"force": 10.0, "radius": 100.0, "E": 200e3, "second_moment": 104.0}
    parts = np.array([pinched_ring_harmonic(n, **load) for n in range(2, 200, 2)])
    ring = pinched_ring(**load)
    assert parts.sum() == pytest.approx(ring.shortening, rel=1e-6)
    signs = (-1.0) ** np.arange(parts.size)
    assert (signs * parts).sum() == pytest.approx(ring.growth, rel=1e-6)


CYLINDER = {"radius": 100.0, "thickness": 1.0, "material": (200e3, 0.3)}


def test_far_inside_the_loaded_band_the_cylinder_expands_as_a_free_tube():
    deep = step_pressure_deflection(-300.0, pressure=1.0, **CYLINDER)
    assert deep == pytest.approx(100.0**2 / (200e3 * 1.0), rel=1e-9)


def test_the_wall_carries_the_whole_of_a_band_load():
    z = np.linspace(-200.0, 200.0, 40001)
    w = band_pressure_deflection(z, start=-5.0, end=12.0, pressure=2.0, **CYLINDER)
    carried = np.trapezoid(w, z) * 200e3 * 1.0 / 100.0**2
    assert carried == pytest.approx(2.0 * 17.0, rel=1e-6)


def test_a_narrow_band_is_a_ring_load():
    z = np.array([0.0, 3.0, 12.0])
    band = band_pressure_deflection(z, start=-0.005, end=0.005, pressure=100.0, **CYLINDER)
    ring = ring_load_deflection(z, line_load=1.0, **CYLINDER)
    assert band == pytest.approx(ring, rel=1e-5)


def test_step_deflection_satisfies_the_shell_equation():
    # D w'''' + E t w/R² = pressure, on each side of the step.
    E, nu, t, R, h = 200e3, 0.3, 1.0, 100.0, 0.2
    D = E * t**3 / (12.0 * (1.0 - nu**2))
    for z, pressure in ((-6.0, 1.0), (6.0, 0.0)):
        w = step_pressure_deflection(z + h * np.arange(-2, 3), pressure=1.0, **CYLINDER)
        fourth = (w[0] - 4 * w[1] + 6 * w[2] - 4 * w[3] + w[4]) / h**4
        assert D * fourth + E * t * w[2] / R**2 == pytest.approx(pressure, abs=1e-3)


def test_the_decay_length_grows_with_the_root_of_radius_and_wall():
    short = decay_rate(radius=20.0, thickness=2.0, nu=0.3)
    long = decay_rate(radius=80.0, thickness=2.0, nu=0.3)
    assert short / long == pytest.approx(2.0)


def test_second_moment_of_a_thin_tube_is_pi_r_cubed_t():
    inertia = second_moment(inner_radius=99.95, outer_radius=100.05)
    assert inertia == pytest.approx(np.pi * 100.0**3 * 0.1, rel=1e-6)
