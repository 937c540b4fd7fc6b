"""Press fits with Coulomb friction against closed forms, and the force that pulls a sleeve out."""

from math import pi

import numpy as np
import pytest
from fem_models import ALUMINIUM, EVERY_WAY, STEEL, crank_shell, friction_press, sleeved_shell

from hoopwright.closed_form.compound_cylinder import shell_compliance, sleeve_compliance
from hoopwright.fem import Resolution, Way
from hoopwright.fem.strain import Z

LAME = 6.098051  # MPa, plane stress, 0.040 mm in 44/39/34.9 mm: computed twice independently

PULLED = [
    ((48.0, 41.0, 34.8), STEEL, 0.1, 7012.0 / 7429.0),
    ((44.0, 39.0, 36.5), STEEL, 0.15, 7222.0 / 7928.0),
    ((44.0, 39.0, 34.9), ALUMINIUM, 0.2, 6115.0 / 7014.0),
]


@pytest.mark.parametrize(("diameters", "sleeve", "friction", "ratio"), PULLED)
def test_a_sleeve_pulled_towards_the_held_end_slips_below_the_friction_of_its_fit(
    diameters, sleeve, friction, ratio
):
    """Check values of an independent axisymmetric model: force over μ ∫ p dA of the frictionless fit.

    An aluminium shell 83 mm long, flush; the ratio does not depend on the interference.
    """
    outside, bore, sleeve_bore = diameters
    pair = sleeved_shell(
        width=83.0, outside=outside, bore=bore, sleeve_bore=sleeve_bore, interference=0.040
    )
    joint = friction_press(pair, {"sleeve": sleeve, "shell": ALUMINIUM})
    forces = {way: joint.slid(friction, way).axial_force for way in EVERY_WAY if way.direction == 1}
    worst = min(forces, key=forces.__getitem__)
    assert worst == Way(1, pulled=True, held_ahead=True)
    assert forces[worst] / (friction * joint.free().normal_force) == pytest.approx(ratio, rel=2e-3)


def test_axial_force_while_sliding_is_that_of_a_column_with_friction():
    """Along a flush sleeve pushed at one end, shell resting at the other: p = k(δ + a S − b(F − S)),
    S' = −2π r μ p, S(0) = F, S(L) = 0, with S the push left in the sleeve, a = ν r/(A E) of the sleeve
    and b of the shell. Solved: F = δ (1 − e)/[(a + b) e + b (1 − e)], e = exp(−2π r μ k L (a + b))."""
    joint = friction_press(crank_shell(), resolution=Resolution())
    r, L, k = 19.5, 73.0, LAME / 0.020
    a = 0.29 * r / (pi * (19.5**2 - 17.45**2) * 205e3)
    b = 0.33 * r / (pi * (22.0**2 - 19.5**2) * 69e3)
    for mu in (0.1, 0.3):
        e = np.exp(-2.0 * pi * r * mu * k * L * (a + b))
        column = 0.020 * (1.0 - e) / ((a + b) * e + b * (1.0 - e))
        plain = mu * pi * 39.0 * L * LAME
        fe = joint.slid(mu).axial_force
        assert abs(fe / column - 1.0) < 0.15 * abs(column / plain - 1.0) + 1e-3
        assert abs(column / plain - 1.0) > 0.005  # the effect is large enough to see


def tied_cylinders(rise: float, *, radii: tuple[float, float, float]) -> tuple[float, float, float]:
    """Pressure, MPa, axial force in the sleeve, N, and axial strain of two cylinders tied to each other.

    Radii of bore, interface and outside, mm; rise: K. Generalised plane strain, by Lamé and Hooke's law:

        shell, sleeve at the interface:  ε_θ = ± p C/b − ν σ_z/E + α ΔT     C: compliance in plane stress
        through the wall:                ε_z = (σ_z − 2 ν A)/E + α ΔT       A: Lamé's constant
        both ε_θ and both ε_z are equal, and the axial forces balance
    """
    a, b, c = radii
    sleeve, shell = ((m.young_modulus, m.poisson_ratio) for m in (STEEL, ALUMINIUM))
    inward = sleeve_compliance(
        sleeve_bore_radius=a, interface_radius=b, sleeve=sleeve, condition="plane stress"
    )
    outward = shell_compliance(
        interface_radius=b, shell_outer_radius=c, shell=shell, condition="plane stress"
    )
    (E1, nu1), (E2, nu2) = sleeve, shell
    area1, area2 = pi * (b**2 - a**2), pi * (c**2 - b**2)
    A1, A2 = -(b**2) / (b**2 - a**2), b**2 / (c**2 - b**2)  # per unit of pressure
    difference = (STEEL.expansion - ALUMINIUM.expansion) * rise
    M = np.array(
        [
            [(inward + outward) / b, nu1 / E1, -nu2 / E2],
            [2.0 * nu1 * A1 / E1 - 2.0 * nu2 * A2 / E2, -1.0 / E1, 1.0 / E2],
            [0.0, area1, area2],
        ]
    )
    p, stress1, _ = np.linalg.solve(M, [difference, difference, 0.0])
    strain = (stress1 - 2.0 * nu1 * A1 * p) / E1 + STEEL.expansion * rise
    return p, area1 * stress1, strain


@pytest.mark.parametrize("rise", [-15.0, 10.0])
def test_far_from_its_ends_a_long_joint_is_tied_by_its_friction(rise):
    """Middle of a joint 150 mm long against two tied cylinders; slip is confined to its ends.

    The friction of either half carries the axial force there. Source: Timoshenko & Goodier, Theory of
    Elasticity, on Lamé's cylinders (from memory, not seen), extended to uniform axial strain.
    """
    pair = sleeved_shell(width=150.0, outside=44.0, bore=39.0, sleeve_bore=34.9, interference=0.040)
    joint = friction_press(pair)
    before, after = joint.free(), joint.then(joint.free(), joint.solver.warmed(rise), 0.5)
    pressure, force, strain = tied_cylinders(rise, radii=(17.45, 19.5, 22.0))
    fits = [joint.solver.fit(moment) for moment in (before, after)]
    pairs = joint.meshed_joint.interface
    middle = np.flatnonzero(np.abs(pairs.z - 75.0) < 20.0)
    assert not fits[1].slips[middle].any()
    assert fits[1].slips.any()
    gained = (fits[1].pressure - fits[0].pressure)[middle]
    assert gained == pytest.approx(np.full(len(middle), pressure), rel=5e-3)
    grown = fits[1].displacement - fits[0].displacement
    for nodes in (pairs.sleeve[middle[[0, -1]]], pairs.shell[middle[[0, -1]]]):
        assert np.ptp(grown[nodes, Z]) / np.ptp(pairs.z[middle]) == pytest.approx(abs(strain), rel=5e-3)
    right = pairs.z > 75.0
    assert 2.0 * pi * after.state.along[right].sum() == pytest.approx(-force, rel=5e-3)
