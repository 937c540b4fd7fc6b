"""A hot shell that shrinks onto its sleeve, against closed forms that share nothing with the solver."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from fem_models import ALUMINIUM, STEEL, FrictionPress, friction_press

from hoopwright.fem import Elastic
from hoopwright.geometry import Shell, Sleeve
from hoopwright.geometry.joint import joint
from hoopwright.geometry.land import Land, cylinder
from hoopwright.geometry.sleeve import BoreZone

BORE, SEAT, OUTSIDE = 17.45, 19.5, 22.0
INTERFERENCE = 0.040
PAIR = {"sleeve": STEEL, "shell": ALUMINIUM}


def pressed(length: float, *, taper: float = 0.0) -> FrictionPress:
    """A flush joint, its sleeve tapered by so much over its length, mm."""
    turned = Land(0.0, length, 2 * SEAT + INTERFERENCE + 0.5 * taper, 2 * SEAT + INTERFERENCE - 0.5 * taper)
    shell = Shell(length, (cylinder(0.0, length, 2 * OUTSIDE),), (cylinder(0.0, length, 2 * SEAT),))
    sleeve = Sleeve(0.0, length, (turned,), (BoreZone(0.0, length, 2 * BORE),))
    return friction_press(joint(shell, sleeve), PAIR)


def shrunk(one: FrictionPress, friction: float, **steps: int):
    return one.solver.shrunk(one.radial_interference, friction=friction, **steps)


def sleeve_force(moment) -> np.ndarray:
    """Tension of the sleeve just beyond every pair, N: what the shell's friction has put into it."""
    return np.cumsum(2.0 * pi * moment.state.along)


def stuck_from_touch(sleeve: Elastic, shell: Elastic) -> tuple[float, float]:
    """Pressure, MPa, and tension of the sleeve, N, far from the ends of a joint that sticks from where it
    touches: u = A r + B/r in both, generalised plane strain, the shell's own shrinkage along the axis as
    large as that round it. Source: Lamé; e.g. Timoshenko, Theory of Elasticity (from memory, not seen)."""
    shrinkage = 0.5 * INTERFERENCE / SEAT
    lame = [(m.bulk_modulus - 2.0 / 3.0 * m.shear_modulus, m.shear_modulus) for m in (sleeve, shell)]

    def radial(k, r):  # of A, B and the axial strain of one body
        first, second = lame[k]
        return np.array([2 * first + 2 * second, -2 * second / r**2, first])

    def along(k):
        first, second = lame[k]
        return np.array([2 * first, 0.0, first + 2 * second])

    M, known, none = np.zeros((6, 6)), np.zeros(6), np.zeros(3)
    M[0] = [*radial(0, BORE), *none]
    M[1] = [*none, *radial(1, OUTSIDE)]
    M[2] = [*radial(0, SEAT), *-radial(1, SEAT)]
    M[3], known[3] = [-SEAT, -1 / SEAT, 0.0, SEAT, 1 / SEAT, 0.0], shrinkage * SEAT
    M[4], known[4] = [0.0, 0.0, -1.0, 0.0, 0.0, 1.0], shrinkage
    areas = pi * (SEAT**2 - BORE**2), pi * (OUTSIDE**2 - SEAT**2)
    M[5] = [*areas[0] * along(0), *areas[1] * along(1)]
    x = np.linalg.solve(M, known)
    return -float(radial(0, SEAT) @ x[:3]), float(areas[0] * along(0) @ x[:3])


@pytest.fixture(scope="module")
def short():
    return pressed(73.0)


@pytest.fixture(scope="module")
def long():
    return pressed(300.0)


def at_the_middle(one: FrictionPress) -> int:
    z = one.meshed_joint.interface.z
    return int(np.argmin(np.abs(z - 0.5 * (z[0] + z[-1]))))


def test_without_friction_it_is_the_frictionless_fit(short):
    found, free = shrunk(short, 0.0), short.free()
    assert found.state.normal == pytest.approx(free.state.normal, abs=1e-9 * free.state.normal.max())
    assert np.all(found.state.along == 0.0)


def test_the_fit_is_the_frictionless_one_at_low_friction(short):
    assert shrunk(short, 1e-3).normal_force == pytest.approx(short.free().normal_force, rel=5e-4)


@pytest.mark.parametrize("friction", [0.2, 0.5, 1.5])
def test_far_from_its_ends_a_long_joint_sticks_from_where_it_touches(long, friction):
    """The shell's shrinkage along the axis puts 22.5 kN of push into the sleeve; the ends slip."""
    pressure, tension = stuck_from_touch(STEEL, ALUMINIUM)
    moment, middle = shrunk(long, friction), at_the_middle(long)
    assert tension == pytest.approx(-22_504, abs=1.0)
    assert sleeve_force(moment)[middle] == pytest.approx(tension, rel=1e-3)
    assert long.solver.fit(moment).pressure[middle] == pytest.approx(pressure, rel=1e-3)
    assert moment.normal_force > long.free().normal_force


def test_a_short_joint_slips_nearly_all_along_and_its_push_is_what_friction_carries(short):
    """While it slips, the push at the middle is μ ∫ p dA over half the length."""
    moment = shrunk(short, 0.1)
    push = np.abs(sleeve_force(moment)).max()
    assert push == pytest.approx(0.1 * 0.5 * moment.normal_force, rel=0.02)
    assert push < 0.2 * abs(stuck_from_touch(STEEL, ALUMINIUM)[1])


@pytest.mark.parametrize("taper", [0.0, 0.03, -0.12])
def test_coulombs_law_and_equilibrium_are_satisfied_and_more_steps_change_little(taper):
    one = pressed(73.0, taper=taper)
    for friction in (0.1, 0.3):
        moment, finer = shrunk(one, friction), shrunk(one, friction, steps=64)
        limit = friction * moment.state.normal
        assert np.all(np.abs(moment.state.along) <= limit + 1e-9 * limit.max())
        assert np.all(moment.state.normal >= 0.0)
        assert abs(moment.axial_force) < 1e-6 * limit.sum()
        assert moment.normal_force == pytest.approx(finer.normal_force, rel=1e-3)


def test_it_ends_at_the_temperature_of_both(short):
    """At the bench −10 K the frictionless fit is that at −10 K."""
    found = short.solver.shrunk(short.radial_interference, friction=0.0, temperature_rise=-10.0)
    free = short.free(-10.0)
    assert found.normal_force == pytest.approx(free.normal_force, rel=1e-9)


def test_a_loose_sleeve_stays_loose(short):
    found = short.solver.shrunk(short.radial_interference - 0.021, friction=0.2)
    assert found.normal_force == 0.0
    assert not found.state.closed.any()


def test_a_shell_that_does_not_expand_is_refused():
    one = pressed(73.0)
    rigid = friction_press(one.meshed_joint.joint, {"sleeve": STEEL, "shell": Elastic(69e3, 0.33)})
    with pytest.raises(ValueError, match="expands"):
        rigid.solver.shrunk(one.radial_interference, friction=0.1)
