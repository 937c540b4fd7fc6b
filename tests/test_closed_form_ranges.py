"""Closed forms reject input outside their range, and their examples run."""

import doctest
import importlib
import inspect
import pkgutil

import numpy as np
import pytest
import reference
from reference.fatigue import crossland_slope, sqrt_j2, walker_amplitude
from reference.friction import press_out_force
from reference.pinched_ring import pinched_ring_harmonic
from reference.plastic import tresca_pressure
from reference.ring_harmonics import ring_harmonic
from reference.thermal import cooling_time
from reference.thick_cylinder import lame_displacement

import hoopwright.closed_form
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.closed_form.friction import slip_resultant, smoothing_loss
from hoopwright.closed_form.lame import lame_stress
from hoopwright.closed_form.thread import tightening_torque

MODULES = [
    importlib.import_module(f"{package.__name__}.{found.name}")
    for package in (hoopwright.closed_form, reference)
    for found in pkgutil.iter_modules(package.__path__)
]
PUBLIC = [
    pytest.param(function, id=f"{module.__name__.removeprefix('hoopwright.')}.{name}")
    for module in MODULES
    if not module.__name__.endswith("._check")
    for name, function in inspect.getmembers(module, inspect.isfunction)
    if function.__module__ == module.__name__ and not name.startswith("_")
]
RINGS = {
    "radial_interference": 0.02,
    "sleeve_bore_radius": 17.45,
    "interface_radius": 19.5,
    "shell_outer_radius": 22.0,
    "sleeve": (205e3, 0.29),
    "shell": (69e3, 0.33),
}


@pytest.mark.parametrize("function", PUBLIC)
def test_every_public_formula_has_an_example_that_runs(function):
    tests = doctest.DocTestFinder(recurse=False).find(
        function, globs=vars(importlib.import_module(function.__module__)).copy()
    )
    result = doctest.DocTestRunner().run(tests[0])
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: lame_stress(19.0, a=19.5, b=22.0), "leaves the wall"),
        (lambda: lame_stress(22.1, a=19.5, b=22.0), "leaves the wall"),
        (lambda: lame_stress(20.0, a=22.0, b=19.5), "a < b"),
        (lambda: lame_stress(np.array([20.0, np.nan]), a=19.5, b=22.0), "leaves the wall"),
        (lambda: lame_displacement(20.0, a=19.5, b=22.0, material=(69e3, 0.5)), "Poisson"),
        (lambda: lame_displacement(20.0, a=19.5, b=22.0, material=(0.0, 0.3)), "Young"),
        (lambda: contact_pressure(**RINGS | {"condition": "plane"}), "plane stress"),
        (lambda: contact_pressure(**RINGS | {"shell_outer_radius": 19.0}), "shell_outer_radius"),
        (lambda: contact_pressure(**RINGS | {"sleeve_bore_radius": -1.0}), "sleeve_bore_radius"),
        (lambda: contact_pressure(**RINGS | {"shell_outer_radius": np.array([22.0, 19.0])}), "22"),
        (
            lambda: press_out_force(diameter=39.0, length=40.0, friction=-0.1, pressure=6.0),
            "friction must not be below 0, got -0.1",
        ),
        (
            lambda: smoothing_loss(rz_outer=-0.004, rz_inner=0.004, smoothing=0.8),
            "rz_outer must not be below 0",
        ),
        (lambda: slip_resultant(axial_force=1.0, torque=1.0, diameter=0.0), "diameter must be above 0"),
        (lambda: tresca_pressure(101.0, a=50.0, b=100.0, yield_stress=450.0), "yield front"),
        (lambda: ring_harmonic(1, inner_radius=20.0, outer_radius=22.0, material=(69e3, 0.3)), "2"),
        (lambda: pinched_ring_harmonic(3, force=1.0, radius=1.0, E=1.0, second_moment=1.0), "even"),
        (
            lambda: cooling_time(start=100.0, end=20.0, surroundings=20.0, time_constant=1.0),
            "between start and surroundings",
        ),
        (
            lambda: tightening_torque(preload=1.0, pitch=30.0, pitch_diameter=5.0, thread_friction=0.6),
            "no torque",
        ),
        (lambda: crossland_slope(bending_limit=300.0, torsion_limit=120.0), "torsion_limit"),
        (lambda: walker_amplitude(stress_max=100.0, stress_ratio=1.5, gamma=0.5), "at most 1"),
        (lambda: sqrt_j2([1.0, 2.0, 3.0]), "6 components"),
    ],
)
def test_input_outside_the_range_is_rejected_with_a_reason(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_a_radius_off_the_face_by_rounding_counts_as_in_the_wall():
    assert np.isfinite(lame_stress(22.0 * (1.0 + 1e-12), a=19.5, b=22.0, p_i=1.0)).all()
