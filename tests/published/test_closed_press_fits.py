"""Press-fit formulae against published worked examples."""

import numpy as np
import pytest
from reference.friction import friction_from_force, press_out_force, slip_torque
from reference.thick_cylinder import interference_for_pressure

from hoopwright.case.model import FitInput
from hoopwright.closed_form.compound_cylinder import compound_cylinder, contact_pressure


def test_bronze_bush_in_a_steel_cylinder_matches_the_posted_solution():
    # Posted worked solution of a textbook exercise, qammunity.org question 10378823, printed to
    # one decimal: plane stress, radial interference 0.05 mm.
    rings = {
        "sleeve_bore_radius": 20.0,
        "interface_radius": 30.0,
        "shell_outer_radius": 60.0,
        "sleeve": (105e3, 0.3),
        "shell": (210e3, 0.3),
    }
    p = contact_pressure(radial_interference=0.05, **rings)
    fit = compound_cylinder(pressure=p, **rings)
    assert p == pytest.approx(53.3, rel=1e-3)
    assert fit.shell_hoop_interface == pytest.approx(88.8, rel=1e-3)
    assert fit.shell_hoop_outside == pytest.approx(35.5, rel=1e-3)
    assert fit.sleeve_hoop_bore == pytest.approx(-191.9, rel=1e-3)
    assert fit.sleeve_hoop_interface == pytest.approx(-138.6, rel=1e-3)


def test_jacket_limited_to_100_mpa_has_the_interference_of_bhandari_to_all_digits():
    # V. B. Bhandari, Design of Machine Elements, Ex. 22.6; answers seen in a published companion's
    # run log: jacket bore 39.968289 mm, diametral interference 0.031711 mm.
    p = 100.0 * (30.0**2 - 20.0**2) / (30.0**2 + 20.0**2)
    delta = interference_for_pressure(
        pressure=p,
        sleeve_bore_radius=10.0,
        interface_radius=20.0,
        shell_outer_radius=30.0,
        sleeve=(207e3, 0.3),
        shell=(207e3, 0.3),
    )
    assert round(2.0 * delta, 6) == 0.031711
    assert round(40.0 - 2.0 * delta, 6) == 39.968289


def test_solid_shaft_in_a_hub_matches_the_czech_academy_example():
    # Czech Academy of Sciences FE example manual, PRESS7K1: 100 MPa, plane stress.
    p = contact_pressure(
        radial_interference=0.6667,
        sleeve_bore_radius=0.0,
        interface_radius=500.0,
        shell_outer_radius=1000.0,
        sleeve=(200e3, 0.3),
        shell=(200e3, 0.3),
    )
    assert p == pytest.approx(100.0, rel=1e-4)


@pytest.mark.parametrize(("condition", "answer"), [("plane stress", 15.625), ("plane strain", 16.954)])
def test_a_printed_answer_distinguishes_plane_strain_from_plane_stress(condition, answer):
    # Textbook-type problem: steel 50/75/150 mm radii, printed answer 16.9 MPa, the plane strain one.
    p = contact_pressure(
        radial_interference=0.025,
        sleeve_bore_radius=50.0,
        interface_radius=75.0,
        shell_outer_radius=150.0,
        sleeve=(200e3, 0.28),
        shell=(200e3, 0.28),
        condition=condition,
    )
    assert p == pytest.approx(answer, abs=5e-4)


def test_timoshenkos_compound_cylinder_has_4050_psi():
    # Timoshenko, Strength of Materials II, compound cylinder; from memory, not seen. Any
    # consistent unit will do, so inches and psi go straight in.
    p = contact_pressure(
        radial_interference=0.005,
        sleeve_bore_radius=4.0,
        interface_radius=6.0,
        shell_outer_radius=8.0,
        sleeve=(30e6, 0.3),
        shell=(30e6, 0.3),
    )
    assert p == pytest.approx(4050.0, abs=1.0)


def test_hearns_push_out_force_gives_his_pressure_and_interference():
    # Hearn, Mechanics of Materials 1, ch. 10; from memory, not seen: 56.8 MPa, radial 0.0936 mm.
    p = 150e3 / press_out_force(diameter=140.0, length=40.0, friction=0.15, pressure=1.0)
    delta = interference_for_pressure(
        pressure=p,
        sleeve_bore_radius=40.0,
        interface_radius=70.0,
        shell_outer_radius=100.0,
        sleeve=(208e3, 0.3),
        shell=(208e3, 0.3),
    )
    assert p == pytest.approx(56.8, abs=0.05)
    assert delta == pytest.approx(0.0936, abs=5e-5)
    mu = friction_from_force(force=150e3, diameter=140.0, length=40.0, pressure=p)
    assert mu == pytest.approx(0.15)


def test_flush_sleeve_matches_an_independent_finite_element_run():
    # Computed twice, independently of this project, frictionless and converged: 6.098051 MPa, sleeve
    # bore -5.21151 µm, shell outside +14.25200 µm for 44/39/34.9 mm diameters, 0.040 mm fit.
    rings = {
        "sleeve_bore_radius": 17.45,
        "interface_radius": 19.5,
        "shell_outer_radius": 22.0,
        "sleeve": (205e3, 0.29),
        "shell": (69e3, 0.33),
    }
    p = contact_pressure(radial_interference=0.020, **rings)
    fit = compound_cylinder(pressure=p, **rings)
    assert p == pytest.approx(6.098051, abs=5e-7)
    assert fit.sleeve_bore_displacement * 1e3 == pytest.approx(-5.21151, abs=5e-6)
    assert fit.shell_outside_displacement * 1e3 == pytest.approx(14.25200, abs=5e-6)


def test_an_inch_of_thin_aluminium_on_a_stiff_sleeve_sees_e_times_a_thousandth():
    # Common practice, no source: 0.001 in of interference per inch; the hoop is then about E/1000.
    rings = {
        "sleeve_bore_radius": 0.0,
        "interface_radius": 0.5,
        "shell_outer_radius": 0.505,
        "sleeve": (1e9, 0.3),
        "shell": (70e3, 0.33),
    }
    p = contact_pressure(radial_interference=0.0005, **rings)
    assert compound_cylinder(pressure=p, **rings).shell_hoop_interface == pytest.approx(70.0, rel=0.01)


def test_din_7190_forms_agree_with_statics():
    # DIN 7190-1 forms, from memory, not seen: torque is the force at half the diameter; the
    # smoothing loss is 0.8 (Rz + Rz) on the diameter.
    joint = {"diameter": 39.0, "length": 40.0, "friction": 0.12, "pressure": 6.0}
    area = 2.0 * np.pi * 19.5 * 40.0
    assert press_out_force(**joint) == pytest.approx(0.12 * 6.0 * area)
    assert slip_torque(**joint) == pytest.approx(0.12 * 6.0 * area * 19.5)
    fit = FitInput(0.1, 0.2, roughness_bore_mm=6.3e-3, roughness_sleeve_mm=4.0e-3)
    assert fit.smoothing_loss_mm(fit.smoothing) == pytest.approx(8.24e-3)
