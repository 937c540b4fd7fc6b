"""Press fits against published worked examples of the compound cylinder."""

import pytest
from fem_models import press, sleeved_shell

from hoopwright.fem import Elastic, Resolution


def middle(pressed):
    return 0.5 * pressed.meshed_joint.joint.shell[-1].z_end


def test_bronze_bush_in_steel_matches_the_posted_solution():
    """Bronze 20/30 mm, steel 30/60 mm radii, radial interference 0.05 mm, plane stress. Source: posted
    worked solution of a textbook exercise, qammunity.org question 10378823."""
    pair = sleeved_shell(width=40.0, outside=120.0, bore=60.0, sleeve_bore=40.0, interference=0.1)
    pressed = press(pair, {"sleeve": Elastic(105e3, 0.3), "shell": Elastic(210e3, 0.3)})
    z = middle(pressed)
    # The source prints three or four digits; the mesh is 0.09 % off at worst.
    assert pressed.mean_pressure == pytest.approx(53.3, rel=1e-3)
    hoop = {
        face: pressed.surface(face, z)[1]
        for face in ("shell.bore", "shell.outside", "sleeve.bore", "sleeve.outside")
    }
    assert hoop["shell.bore"] == pytest.approx(88.8, rel=1e-3)
    assert hoop["shell.outside"] == pytest.approx(35.5, rel=1e-3)
    assert hoop["sleeve.bore"] == pytest.approx(-191.9, rel=1e-3)
    assert hoop["sleeve.outside"] == pytest.approx(-138.6, rel=1e-3)


def test_jacket_bored_to_the_published_size_has_the_published_hoop_stress():
    """V. B. Bhandari, Design of Machine Elements, Ex. 22.6: steel on steel 20/40/60 mm, E 207 GPa,
    jacket bored to 39.968289 mm for a hoop stress of 100 MPa at its bore."""
    pair = sleeved_shell(
        width=40.0, outside=60.0, bore=40.0, sleeve_bore=20.0, interference=40.0 - 39.968289
    )
    steel = Elastic(207e3, 0.3)
    pressed = press(pair, {"sleeve": steel, "shell": steel})
    assert pressed.mean_pressure == pytest.approx(100.0 * (60**2 - 40**2) / (60**2 + 40**2), rel=3e-5)
    assert pressed.surface("shell.bore", middle(pressed))[1] == pytest.approx(100.0, rel=1e-3)


def test_solid_shaft_in_a_hub_matches_the_manual():
    """Czech Academy of Sciences FE example manual, PRESS7K1: solid shaft r 0.5 m, hub r 1.0 m, E 200 GPa,
    radial interference 0.6667 mm, plane stress, p 100 MPa."""
    pair = sleeved_shell(
        width=1000.0, outside=2000.0, bore=1000.0, sleeve_bore=0.0, interference=2 * 0.6667
    )
    steel = Elastic(200e3, 0.3)
    pressed = press(pair, {"sleeve": steel, "shell": steel})
    assert pressed.mean_pressure == pytest.approx(100.0, rel=2e-4)
    # The stress of a solid shaft is uniform: σ_rr = σ_θθ = −p at every radius.
    for component in (0, 1):
        shaft = pressed.stress[pressed.meshed_joint.model.mesh.bodies["sleeve"].elements][..., component]
        assert shaft == pytest.approx(-pressed.mean_pressure, rel=1e-3)
    assert abs(pressed.moved("sleeve.bore", 500.0)) < 1e-6


@pytest.mark.parametrize(("ends_held", "pressure"), [(False, 15.625), (True, 16.954)])
def test_restrained_ends_give_plane_strain_instead_of_plane_stress(ends_held, pressure):
    """Textbook-type problem, steel 50/75/150 mm radii, E 200 GPa, ν 0.28, radial 0.025 mm: printed as
    16.9 MPa, which is the plane strain value; plane stress gives 15.625."""
    pair = sleeved_shell(width=100.0, outside=300.0, bore=150.0, sleeve_bore=100.0, interference=0.05)
    steel = Elastic(200e3, 0.28)
    pressed = press(pair, {"sleeve": steel, "shell": steel}, ends_held=ends_held)
    assert pressed.mean_pressure == pytest.approx(pressure, rel=1e-4)


def test_compound_cylinder_of_the_textbook_has_its_pressure():
    """Timoshenko, Strength of Materials II, compound cylinder (from memory, not seen): radii 4/6/8 in,
    E 30e6 psi, radial 0.005 in, p 4050 psi. Unit-free here: inches and psi."""
    pair = sleeved_shell(width=12.0, outside=16.0, bore=12.0, sleeve_bore=8.0, interference=0.010)
    steel = Elastic(30e6, 0.3)
    pressed = press(pair, {"sleeve": steel, "shell": steel}, Resolution(elements_through_wall=6))
    assert pressed.mean_pressure == pytest.approx(4050.0, rel=5e-4)
