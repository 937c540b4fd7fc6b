"""Fatigue and cooling formulae against recalled and posted numbers."""

import numpy as np
import pytest
from reference.fatigue import (
    SNConstants,
    crossland_slope,
    crossland_stress,
    goodman_utilisation,
    swt_amplitude,
    walker_amplitude,
)
from reference.thermal import cooling_time

from hoopwright.closed_form.fatigue_life import MPA_PER_KSI, sn_strength

# MIL-HDBK-5J, figure 3.6.2.2.8, axial, unnotched, ksi; seen in a public transcription.
ALUMINIUM_6061_T6 = SNConstants(20.68, 9.84, 0.63, 0.0)


def test_crossland_returns_the_torsion_limit_for_reversed_tension():
    # Form from memory: s 200, t 120 MPa give k = 0.06795, and uniaxial 200 gives 120.000.
    assert crossland_slope(bending_limit=200.0, torsion_limit=120.0) == pytest.approx(0.06795, abs=5e-6)
    stress = crossland_stress(
        sqrt_j2_amplitude=200.0 / np.sqrt(3.0),
        hydrostatic_max=200.0 / 3.0,
        bending_limit=200.0,
        torsion_limit=120.0,
    )
    assert stress == pytest.approx(120.0, abs=5e-4)


def test_mean_stress_rules_have_their_published_forms():
    # Goodman σ_a/S_e + σ_m/S_u; SWT √(σ_max σ_a); Walker σ_max ((1-R)/2)^γ; forms from memory.
    use = goodman_utilisation(amplitude=40.0, mean=60.0, endurance_limit=100.0, tensile_strength=300.0)
    assert use == pytest.approx(0.6)
    assert swt_amplitude(amplitude=40.0, mean=50.0) == pytest.approx(60.0)
    walker = walker_amplitude(stress_max=90.0, stress_ratio=10.0 / 90.0, gamma=0.5)
    assert walker == pytest.approx(60.0)


def test_6061_t6_lasts_a_million_reversals_at_20_ksi():
    # Recalled as 20.0 ksi; the recalled constants give 20.05, hence 0.5 %.
    strength = sn_strength(cycles=1e6, stress_ratio=-1.0, curve=ALUMINIUM_6061_T6)
    assert strength / MPA_PER_KSI == pytest.approx(20.0, rel=5e-3)


def test_steel_ball_cools_in_the_posted_time():
    # Posted solution at byjus.com ("a steel ball of 10 mm diameter at 1000 K"): time constant 16 s,
    # 1000 K to 350 K in 300 K takes 42.23 s. The solution rounds ln 14 to 2.639.
    time = cooling_time(start=1000.0, end=350.0, surroundings=300.0, time_constant=16.0)
    assert time == pytest.approx(42.23, abs=0.01)
