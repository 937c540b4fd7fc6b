"""Properties of cylinders and press fits, without any reference number."""

import numpy as np
import pytest
from reference.linearise import lame_linearised
from reference.thermal import biot_number, cooling_time
from reference.thick_cylinder import axial_stress_plane_strain, interference_for_pressure, lame_displacement

from hoopwright.closed_form.compound_cylinder import (
    compound_cylinder,
    contact_pressure,
    thermal_interference,
)
from hoopwright.closed_form.friction import gauge_pressure, ram_force, slip_resultant
from hoopwright.closed_form.lame import lame_stress
from hoopwright.closed_form.thermal import (
    assembly_clearance,
    handling_time,
    lost_interference,
    shell_temperature_for_clearance,
    time_constant,
)

WALL = {"a": 19.5, "b": 22.0, "p_i": 6.0, "p_o": 1.5}
RINGS = {
    "sleeve_bore_radius": 17.45,
    "interface_radius": 19.5,
    "shell_outer_radius": 22.0,
    "sleeve": (205e3, 0.29),
    "shell": (69e3, 0.33),
}
BOTH = ("plane stress", "plane strain")


def test_pressure_is_balanced_by_the_wall():
    r = np.linspace(WALL["a"], WALL["b"], 20001)
    carried = np.trapezoid(lame_stress(r, **WALL)[1], r)
    assert carried == pytest.approx(6.0 * 19.5 - 1.5 * 22.0, rel=1e-8)


@pytest.mark.parametrize("condition", BOTH)
def test_stress_follows_from_the_displacement_by_hookes_law(condition):
    E, nu, r, h = 69e3, 0.33, 20.7, 1e-4
    u = [lame_displacement(x, **WALL, material=(E, nu), condition=condition) for x in (r - h, r, r + h)]
    radial, hoop = lame_stress(r, **WALL)
    axial = axial_stress_plane_strain(nu=nu, **WALL) if condition == "plane strain" else 0.0
    assert (u[2] - u[0]) / (2 * h) == pytest.approx((radial - nu * (hoop + axial)) / E, rel=1e-6)
    assert u[1] / r == pytest.approx((hoop - nu * (radial + axial)) / E, rel=1e-12)


def test_plane_strain_has_no_axial_strain():
    nu = 0.33
    radial, hoop = lame_stress(20.0, **WALL)
    assert axial_stress_plane_strain(nu=nu, **WALL) - nu * (radial + hoop) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("condition", BOTH)
def test_the_displacements_of_both_parts_add_up_to_the_interference(condition):
    p = contact_pressure(radial_interference=0.02, **RINGS, condition=condition)
    fit = compound_cylinder(pressure=p, **RINGS, condition=condition)
    assert fit.shell_interface_displacement - fit.sleeve_interface_displacement == pytest.approx(
        0.02, rel=1e-12
    )


@pytest.mark.parametrize("condition", BOTH)
def test_displacements_of_a_fit_are_lames(condition):
    fit = compound_cylinder(pressure=6.0, **RINGS, condition=condition)
    inner = {"a": 17.45, "b": 19.5, "p_o": 6.0, "material": RINGS["sleeve"], "condition": condition}
    outer = {"a": 19.5, "b": 22.0, "p_i": 6.0, "material": RINGS["shell"], "condition": condition}
    assert fit.sleeve_bore_displacement == pytest.approx(lame_displacement(17.45, **inner), rel=1e-12)
    assert fit.sleeve_interface_displacement == pytest.approx(lame_displacement(19.5, **inner), rel=1e-12)
    assert fit.shell_interface_displacement == pytest.approx(lame_displacement(19.5, **outer), rel=1e-12)
    assert fit.shell_outside_displacement == pytest.approx(lame_displacement(22.0, **outer), rel=1e-12)
    assert fit.sleeve_hoop_bore == pytest.approx(lame_stress(17.45, a=17.45, b=19.5, p_o=6.0)[1])
    assert fit.shell_hoop_outside == pytest.approx(lame_stress(22.0, a=19.5, b=22.0, p_i=6.0)[1])


@pytest.mark.parametrize("condition", BOTH)
def test_interference_and_pressure_are_inverses(condition):
    delta = interference_for_pressure(pressure=6.5, **RINGS, condition=condition)
    p = contact_pressure(radial_interference=delta, **RINGS, condition=condition)
    assert p == pytest.approx(6.5, rel=1e-12)


def test_plane_stress_and_plane_strain_agree_at_zero_poissons_ratio():
    plain = RINGS | {"sleeve": (205e3, 0.0), "shell": (69e3, 0.0)}
    p = [contact_pressure(radial_interference=0.02, **plain, condition=c) for c in BOTH]
    assert p[0] == pytest.approx(p[1], rel=1e-14)


def test_a_plug_is_the_limit_of_a_vanishing_bore_outside_the_bore_itself():
    solid = RINGS | {"sleeve_bore_radius": 0.0}
    pierced = RINGS | {"sleeve_bore_radius": 1e-5}
    full, holed = (compound_cylinder(pressure=6.0, **rings) for rings in (solid, pierced))
    assert full.sleeve_interface_displacement == pytest.approx(
        holed.sleeve_interface_displacement, rel=1e-9
    )
    assert full.sleeve_hoop_bore == -6.0
    # A hole, however small, doubles the hoop stress at its edge.
    assert holed.sleeve_hoop_bore == pytest.approx(-12.0, rel=1e-9)


def test_a_gap_carries_no_pressure():
    assert contact_pressure(radial_interference=-0.01, **RINGS) == 0.0


def test_uniform_heating_loosens_the_fit_by_the_difference_in_expansion():
    heat = {"sleeve_alpha": 12e-6, "shell_alpha": 23e-6, "temperature_change": 60.0}
    warm = contact_pressure(radial_interference=0.02, **RINGS, **heat)
    lost = lost_interference(diameter=39.0, **heat) / 2.0
    assert warm == pytest.approx(contact_pressure(radial_interference=0.02 - lost, **RINGS), rel=1e-12)
    same = heat | {"shell_alpha": 12e-6}
    cold = contact_pressure(radial_interference=0.02, **RINGS)
    assert contact_pressure(radial_interference=0.02, **RINGS, **same) == pytest.approx(cold)


def test_plane_strain_adds_the_restrained_axial_expansion():
    gain = thermal_interference(
        interface_radius=20.0,
        sleeve_alpha=12e-6,
        shell_alpha=8e-6,
        temperature_change=100.0,
        sleeve_nu=0.25,
        shell_nu=0.5,
        condition="plane strain",
    )
    # Free expansion 12e-4 and 8e-4, each plus ν times the restrained axial strain.
    assert gain == pytest.approx(20.0 * (12e-4 * 1.25 - 8e-4 * 1.5), rel=1e-12)


def test_a_million_fits_in_one_array_agree_with_single_fits():
    rng = np.random.default_rng(1)
    delta = rng.uniform(-0.005, 0.03, 1_000_000)
    bore = rng.normal(17.45, 0.01, delta.size)
    sampled = RINGS | {"sleeve_bore_radius": bore, "sleeve": (rng.normal(205e3, 2e3, delta.size), 0.29)}
    p = contact_pressure(radial_interference=delta, **sampled)
    fit = compound_cylinder(pressure=p, **sampled)
    for k in (0, 17, 999_999):
        alone = sampled | {"sleeve_bore_radius": bore[k], "sleeve": (sampled["sleeve"][0][k], 0.29)}
        assert p[k] == pytest.approx(contact_pressure(radial_interference=delta[k], **alone))
        one = compound_cylinder(pressure=p[k], **alone)
        assert fit.sleeve_bore_displacement[k] == pytest.approx(one.sleeve_bore_displacement)


def test_linearised_parts_reproduce_force_and_moment_of_the_wall():
    r = np.linspace(WALL["a"], WALL["b"], 200_001)
    hoop = lame_stress(r, **WALL)[1]
    parts = lame_linearised(**WALL)
    t, middle = WALL["b"] - WALL["a"], (WALL["a"] + WALL["b"]) / 2.0
    assert parts.membrane == pytest.approx(np.trapezoid(hoop, r) / t, rel=1e-9)
    bending = 6.0 / t**2 * np.trapezoid(hoop * (middle - r), r)
    assert parts.bending == pytest.approx(bending, rel=1e-6)
    assert parts.membrane + parts.bending + parts.peak == pytest.approx(hoop[0], rel=1e-12)


def test_axial_force_and_torque_combine_as_perpendicular_components():
    assert slip_resultant(axial_force=0.0, torque=4e3, diameter=40.0) == pytest.approx(200.0)
    both = slip_resultant(axial_force=150.0, torque=4e3, diameter=40.0)
    assert both == pytest.approx(250.0)


def test_ram_and_gauge_are_inverses_and_one_bar_on_a_ten_square_centimetre_ram_is_100_n():
    diameter = np.sqrt(4.0 * 1000.0 / np.pi)
    assert ram_force(gauge=0.1, ram_diameter=diameter) == pytest.approx(100.0)
    assert gauge_pressure(force=ram_force(gauge=7.0, ram_diameter=40.0), ram_diameter=40.0) == (
        pytest.approx(7.0)
    )


HOT = {
    "interference": 0.04,
    "diameter": 39.0,
    "sleeve_alpha": 11.7e-6,
    "shell_alpha": 23.4e-6,
    "sleeve_temperature_change": -38.0,
}


def test_the_required_shell_temperature_gives_the_required_clearance():
    warm = shell_temperature_for_clearance(clearance=0.03, **HOT)
    assert assembly_clearance(shell_temperature_change=warm, **HOT) == pytest.approx(0.03, rel=1e-9)


def test_handling_time_ends_when_the_gap_closes():
    taus = {"sleeve_time_constant": 200.0, "shell_time_constant": 400.0}
    time = handling_time(shell_temperature_change=110.0, **HOT, **taus)
    then = HOT | {"sleeve_temperature_change": -38.0 * np.exp(-time / 200.0)}
    gap = assembly_clearance(shell_temperature_change=110.0 * np.exp(-time / 400.0), **then)
    assert gap == pytest.approx(0.0, abs=1e-9)
    assert handling_time(shell_temperature_change=1.0, **HOT, **taus) == 0.0


def test_with_the_sleeve_at_room_temperature_handling_time_is_a_cooling_time():
    room = HOT | {"sleeve_temperature_change": 0.0}
    time = handling_time(
        shell_temperature_change=110.0, sleeve_time_constant=1.0, shell_time_constant=400.0, **room
    )
    last = 0.04 / (39.0 * 23.4e-6)
    wanted = cooling_time(start=130.0, end=20.0 + last, surroundings=20.0, time_constant=400.0)
    assert time == pytest.approx(wanted, rel=1e-9)


def test_time_constant_and_biot_number_are_in_si_from_millimetres():
    # A 10 mm steel ball, V/A = d/6: τ = ρ c d/(6 h), Bi = h d/(6 k), all in SI.
    volume, area = np.pi * 10.0**3 / 6.0, np.pi * 10.0**2
    tau = time_constant(density=7800.0, specific_heat=500.0, volume=volume, area=area, heat_transfer=20.0)
    assert tau == pytest.approx(7800.0 * 500.0 * 0.010 / 6.0 / 20.0)
    bi = biot_number(volume=volume, area=area, heat_transfer=20.0, conductivity=40.0)
    assert bi == pytest.approx(20.0 * 0.010 / 6.0 / 40.0)
