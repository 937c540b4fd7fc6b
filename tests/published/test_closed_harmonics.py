"""Loads that vary around the cylinder, against values derived independently of this code."""

import numpy as np
import pytest
from reference.harmonic import cosine_traction_stress, torsion
from reference.pinched_ring import pinched_ring, pinched_ring_harmonic
from reference.ring_harmonics import two_ring_contact


@pytest.mark.parametrize(
    ("r", "rr", "tt", "rt"),
    [
        (20.0, -11.0, 0.298643, 0.0),
        (21.0, -10.46942, 0.0, 0.0067681),
        (22.0, -10.0, -0.271493, 0.0),
    ],
)
def test_lateral_push_has_the_derived_stress(r, rr, tt, rt):
    # Polar general solution, plane strain, checked symbolically; R 20/22 mm, ν 0.3, p 10 MPa.
    # At r = 21 the hoop stress is printed as about zero: 5e-4 here.
    tube = {"inner_radius": 20.0, "outer_radius": 22.0, "outer_pressure": 10.0, "nu": 0.3}
    front = cosine_traction_stress(r, 0.0, **tube)
    side = cosine_traction_stress(r, np.pi / 2.0, **tube)
    assert front[0] == pytest.approx(rr, abs=5e-6)
    assert front[1] == pytest.approx(tt, abs=1e-3 if r == 21.0 else 5e-7)
    assert side[2] == pytest.approx(rt, abs=5e-8)


def test_a_bar_under_50_knm_twists_as_derived():
    # Derived: R 0.1 m, G 80 GPa: 31.831 MPa, 1.98944e-3 rad over 0.5 m.
    shear, twist = torsion(
        100.0, torque=50e6, inner_radius=0.0, outer_radius=100.0, material=(160e3 * 1.3, 0.3)
    )
    assert shear == pytest.approx(31.831, abs=5e-4)
    assert twist * 500.0 == pytest.approx(1.98944e-3, abs=5e-9)


def test_pinched_ring_has_the_classical_coefficients():
    # Classical thin ring: shortening 0.148778, growth 0.136620, moment 0.318310.
    ring = pinched_ring(force=1.0, radius=1.0, E=1.0, second_moment=1.0)
    assert ring.shortening == pytest.approx(0.148778, abs=5e-7)
    assert ring.growth == pytest.approx(0.136620, abs=5e-7)
    assert ring.moment == pytest.approx(0.318310, abs=5e-7)


def test_published_pinched_ring_moves_each_load_by_35_7_um():
    # Published to 3.57e-5 m, worked out to 3.5707e-5: R 0.1 m, 10 x 5 mm (radial 5), 200 GPa, 10 N.
    ring = pinched_ring(force=10.0, radius=100.0, E=200e3, second_moment=10.0 * 5.0**3 / 12.0)
    assert ring.shortening / 2.0 == pytest.approx(3.5707e-2, abs=5e-7)


@pytest.mark.parametrize(("n", "share"), [(2, 0.141471), (4, 0.005659), (6, 0.001039), (8, 0.000321)])
def test_pinched_ring_harmonics_have_the_derived_shares(n, share):
    unit = pinched_ring_harmonic(n, force=1.0, radius=1.0, E=1.0, second_moment=1.0)
    assert unit == pytest.approx(share, abs=5e-7)


def test_two_rings_share_a_cos_two_theta_pressure_as_derived():
    # Derived: radii 1.0/0.6 m, the inner ring carried as a full disc, E 1 GPa, ν 0.2, plane strain,
    # outside pressure 10 + 1 cos 2θ MPa: contact 1.47926 cos 2θ, sliding freely.
    pair = two_ring_contact(
        2,
        bore_radius=0.0,
        interface_radius=600.0,
        outer_radius=1000.0,
        inner=(1e3, 0.2),
        outer=(1e3, 0.2),
        outside_pressure=1.0,
    )
    assert pair.contact_pressure == pytest.approx(1.47926, abs=5e-6)
