"""Properties of plastic and buckling solutions, without any reference number."""

import numpy as np
import pytest
from reference.plastic import (
    mises_first_yield_pressure,
    plastic_fit_at_interference,
    plastic_press_fit,
    tresca_pressure,
    tresca_residual_stress,
    tresca_stress,
)
from scipy.optimize import fsolve

from hoopwright.closed_form.buckling import encased_ring_pressure
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.closed_form.lame import lame_stress

WALL = {"a": 50.0, "b": 100.0, "yield_stress": 450.0}
RINGS = {
    "sleeve_bore_radius": 18.5,
    "interface_radius": 20.0,
    "shell_outer_radius": 23.0,
    "sleeve": (205e3, 0.29),
    "shell": (70e3, 0.33),
}


def test_partly_plastic_stress_is_in_equilibrium_and_meets_at_the_front():
    r = np.linspace(50.0, 100.0, 40001)
    radial, hoop = tresca_stress(r, c=75.0, **WALL)
    left = np.gradient(radial, r) + (radial - hoop) / r
    away = np.abs(r - 75.0) > 0.01
    assert np.max(np.abs(left[away][2:-2])) < 1e-5
    assert np.max(np.abs(np.diff(hoop))) < 0.05
    assert radial[0] == pytest.approx(-tresca_pressure(75.0, **WALL))
    assert radial[-1] == pytest.approx(0.0, abs=1e-12)


def test_yield_starts_where_lame_reaches_tresca():
    p = float(tresca_pressure(50.0, **WALL))
    radial, hoop = lame_stress(50.0, a=50.0, b=100.0, p_i=p)
    assert hoop - radial == pytest.approx(450.0, rel=1e-12)


def test_residual_hoop_stress_integrates_to_zero():
    r = np.linspace(50.0, 100.0, 40001)
    hoop = tresca_residual_stress(r, c=75.0, **WALL)[1]
    assert np.trapezoid(hoop, r) == pytest.approx(0.0, abs=1e-3)


def test_unloading_that_would_yield_in_reverse_is_rejected():
    wall = {"a": 30.0, "b": 100.0, "yield_stress": 450.0}
    with pytest.raises(ValueError, match="in reverse"):
        tresca_residual_stress(30.0, c=90.0, **wall)


def test_mises_first_yield_is_where_the_equivalent_stress_reaches_yield():
    nu = 0.33
    p = float(mises_first_yield_pressure(a=50.0, b=100.0, yield_stress=450.0, nu=nu))
    x, y = lame_stress(50.0, a=50.0, b=100.0, p_i=p)
    z = nu * (x + y)
    equivalent = np.sqrt(((x - y) ** 2 + (y - z) ** 2 + (z - x) ** 2) / 2.0)
    assert equivalent == pytest.approx(450.0, rel=1e-12)


def test_bore_growth_follows_from_integrating_the_elastic_dilatation():
    # Tresca's flow leaves ε_z elastic, so (u r)' = r (1 - ν)(σ_r + σ_θ)/E through the yielded part.
    (E, nu), c = RINGS["shell"], 22.0
    r = np.linspace(20.0, c, 40001)
    radial, hoop = tresca_stress(r, c=c, a=20.0, b=23.0, yield_stress=240.0)
    at_front = c / E * (hoop[-1] - nu * radial[-1])
    bore = (at_front * c - np.trapezoid(r * (1.0 - nu) * (radial + hoop) / E, r)) / 20.0
    fit = plastic_press_fit(c, **RINGS, shell_yield=240.0)
    E_s, nu_s = RINGS["sleeve"]
    closing = fit.pressure * 20.0 / E_s * ((20.0**2 + 18.5**2) / (20.0**2 - 18.5**2) - nu_s)
    assert fit.radial_interference - closing == pytest.approx(bore, rel=1e-8)


@pytest.mark.parametrize("front", [20.0, 20.4, 21.7, 22.9])
def test_the_yield_front_is_recovered_from_its_interference(front):
    made = plastic_press_fit(front, **RINGS, shell_yield=240.0)
    found = plastic_fit_at_interference(
        radial_interference=float(made.radial_interference), **RINGS, shell_yield=240.0
    )
    assert found.yield_front == pytest.approx(front, abs=1e-9)
    assert found.pressure == pytest.approx(made.pressure, rel=1e-9)


def test_below_yield_the_plastic_fit_is_lame():
    fit = plastic_fit_at_interference(radial_interference=0.05, **RINGS, shell_yield=240.0)
    assert fit.pressure == pytest.approx(contact_pressure(radial_interference=0.05, **RINGS), rel=1e-12)
    assert fit.permanent_growth == 0.0


def test_past_collapse_the_pressure_is_constant_and_extra_interference_is_permanent():
    limit = plastic_press_fit(23.0, **RINGS, shell_yield=240.0)
    fit = plastic_fit_at_interference(
        radial_interference=float(limit.radial_interference) + 0.01, **RINGS, shell_yield=240.0
    )
    assert fit.collapsed
    assert fit.pressure == limit.pressure
    assert fit.permanent_growth == pytest.approx(float(limit.permanent_growth) + 0.01)


def one_lobe_pressures(ratio, angles):
    """Equilibrium pressures p/E' of a ring, t/D = ratio, with one cos² lobe of each half angle.

    Energy per E'tR, lobe x = w/R, half angle φ, pressure q = pR/(E't), k = I/(tR²) = (t/R)²/12:
    bending k/2 ∫x''², membrane π e² with e the mean hoop strain of the lobe, work -q ∫x.
    """
    k = (2.0 * ratio) ** 2 / 12.0

    def energy(x, phi, q):
        strain = (x * phi - np.pi**2 * x**2 / (8.0 * phi)) / (2.0 * np.pi)
        return k * np.pi**4 * x**2 / (8.0 * phi**3) + np.pi * strain**2 - q * x * phi

    def slopes(unknown, phi):
        x, q = unknown
        h = 1e-30
        return [
            energy(x + 1j * h, phi, q).imag / h,
            energy(x, phi + 1j * h, q).imag / h,
        ]

    pressures, guess = [], None
    for phi in angles:
        strain = 5.0 / 3.0 * k * (np.pi / phi) ** 2
        guess = guess or (2.0 * phi**2 / np.pi**2, strain)
        root, _, flag, _ = fsolve(slopes, guess, args=(phi,), full_output=True, xtol=1e-12)
        if flag == 1 and root[0] > 1e-9:
            pressures.append(root[1] * 2.0 * ratio)
            guess = tuple(root)
    return np.array(pressures)


@pytest.mark.parametrize("ratio", [0.01, 0.02, 0.05])
def test_one_lobe_formula_is_the_peak_of_the_energy_of_a_cos_squared_lobe(ratio):
    k = (2.0 * ratio) ** 2 / 12.0
    shallowest = (5.0 / 3.0 * np.pi**5 * k) ** 0.2
    path = one_lobe_pressures(ratio, shallowest * np.linspace(1.005, 1.5, 400))
    assert path.size > 300
    peak = int(np.argmax(path))
    assert 0 < peak < path.size - 1
    # 0.969·12^-0.6·2^2.2 = 1.0026 against the rounded 1 in use.
    formula = encased_ring_pressure(thickness=ratio, mean_diameter=1.0, sleeve=(1.0, 0.0))
    assert path[peak] / formula == pytest.approx(1.0026, abs=5e-4)


def test_plane_strain_stiffens_the_encased_ring():
    flat = encased_ring_pressure(thickness=1.0, mean_diameter=30.0, sleeve=(200e3, 0.0))
    encased = encased_ring_pressure(thickness=1.0, mean_diameter=30.0, sleeve=(200e3, 0.3))
    assert encased / flat == pytest.approx(1.0 / 0.91)


def test_a_wall_too_thick_to_be_a_thin_ring_is_rejected():
    with pytest.raises(ValueError, match="thin ring"):
        encased_ring_pressure(thickness=5.0, mean_diameter=35.0, sleeve=(200e3, 0.3))
