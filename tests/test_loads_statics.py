"""Pedal, bearings and cups: statics by hand, and load bands that transmit all of it."""

from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np
import pytest

from hoopwright.loads.bearing import BearingLoad, bearing_seat_load
from hoopwright.loads.pedal import Chain, Pedal, pedal_force, pedalling_forces
from hoopwright.loads.seat_load import LoadBand, Shoulder, seat_tractions
from hoopwright.loads.spindle import Cup, Cups, PointForce, bearing_loads, cup_loads
from hoopwright.loads.traction import resultant

WIDTH, MIDDLE = 73.0, 36.5


def cups(fit="clamped", left_z=-5.0, right_z=78.0, axial="pushed", shoulders=True):
    left, right = (
        Shoulder(face, z, 17.5, 21.0) if shoulders else None
        for face, z in (("sleeve.left", 0.0), ("sleeve.right", WIDTH))
    )
    return Cups(
        Cup(left_z, LoadBand(1.0, 13.0, 17.45, fit), left),
        Cup(right_z, LoadBand(60.0, 72.0, 17.45, fit), right),
        axial,
    )


def total(forces):
    force = sum(np.array(f.force) for f in forces)
    moment = sum(np.cross(f.at, f.force) for f in forces)
    return force, moment


def test_vertical_push_on_a_level_right_crank_by_hand():
    """1000 N down, 150 mm right of the middle, crank 170 mm level, ring 85 mm at z = 36.5 + 45.

    Torque 170 N·m, chain 2000 N backwards. Bearings 80 mm apart at z = -3.5 and 76.5:
    vertical on the right 1000 (150 + 40)/80 = 2375 N down, on the left 1375 N up;
    fore-aft on the right 2000 (45 + 40)/80 = 2125 N back, on the left 125 N forward.
    """
    forces = pedalling_forces(
        Pedal("right", 1000.0, 150.0, 170.0, 0.0), Chain(85.0, MIDDLE + 45.0), centre_line=MIDDLE
    )
    left, right = bearing_loads(forces, cups(left_z=-3.5, right_z=76.5))
    assert left == pytest.approx((125.0, 1375.0, 0.0), abs=1e-9)
    assert right == pytest.approx((-2125.0, -2375.0, 0.0), abs=1e-9)


def test_tilted_pedal_test_force_by_hand():
    """ISO 4210-6 arms: 175 mm, 45° forward and down (seen); 1200 N, 150 mm, 7.5° from memory."""
    push = pedal_force(Pedal("left", 1200.0, 150.0, 175.0, 45.0, 7.5), centre_line=MIDDLE)
    assert push.at == pytest.approx((123.743687, -123.743687, -113.5), abs=1e-6)
    assert push.force == pytest.approx((0.0, -1189.733834, 156.631430), abs=1e-6)


def test_chain_takes_all_the_torque_whatever_its_slope():
    for rise in (0.0, 12.0, -5.0):
        forces = pedalling_forces(
            Pedal("left", 900.0, 140.0, 170.0, 20.0, 5.0),
            Chain(80.0, 82.0, rise),
            centre_line=MIDDLE,
        )
        assert abs(total(forces)[1][2]) < 1e-9
        assert forces[1].force[0] < 0.0


def test_tilting_the_pedal_force_inwards_is_more_severe_below_the_axis():
    def bending(tilt):
        pedal = Pedal("right", 1000.0, 150.0, 175.0, 45.0, tilt)
        return abs(total([pedal_force(pedal, centre_line=MIDDLE)])[1][0])

    assert bending(7.5) > bending(-7.5)


def test_a_force_that_would_turn_the_crank_backwards_is_rejected():
    with pytest.raises(ValueError, match="backwards"):
        pedalling_forces(Pedal("right", 1000.0, 150.0, 170.0, 180.0), Chain(80.0, 80.0), centre_line=MIDDLE)


def test_unbalanced_torque_is_rejected():
    with pytest.raises(ValueError, match="torque of -100 N·m"):
        bearing_loads([PointForce((100.0, 0.0, 20.0), (0.0, -1000.0, 0.0), "push")], cups())


@pytest.mark.parametrize(
    ("axial", "push", "expected"),
    [("pushed", 50.0, "right"), ("pushed", -50.0, "left"), ("left", 50.0, "left")],
)
def test_axial_force_is_carried_by_the_bearing_that_stops_it(axial, push, expected):
    forces = [PointForce((0.0, 40.0, 90.0), (0.0, 0.0, push), "blow")]
    left, right = bearing_loads(forces, cups(axial=axial))
    assert (left[2], right[2]) == ((push, 0.0) if expected == "left" else (0.0, push))


@pytest.mark.parametrize("fit", ["clamped", "pressed"])
@pytest.mark.parametrize("shoulders", [True, False])
def test_cups_transmit_the_whole_force_and_moment(fit, shoulders):
    forces = pedalling_forces(
        Pedal("right", 1200.0, 150.0, 175.0, 45.0, 7.5), Chain(75.0, 81.5), centre_line=MIDDLE
    )
    found = [t for load in cup_loads(forces, cups(fit, shoulders=shoulders)) for t in load.tractions]
    wanted = total(forces)
    for have, want in zip(resultant(found), wanted, strict=True):
        assert have == pytest.approx(want, abs=1e-9 * np.abs(want).max())


def test_a_clamped_band_carries_force_over_pi_r_l():
    """F = ∫ p cos²φ R L dφ = p π R L; on the band's centre there is no tilt."""
    band = LoadBand(0.0, 10.0, 20.0, "clamped")
    (push,) = seat_tractions((0.0, -3000.0, 0.0), band, z=5.0)
    assert push.value(-pi / 2, 5.0)[0] == pytest.approx(3000.0 / (pi * 20.0 * 10.0))
    assert push.value(pi / 2, 5.0)[0] == pytest.approx(-3000.0 / (pi * 20.0 * 10.0))


def test_an_overhang_adds_a_linear_traction_of_six_m_over_pi_r_l_squared():
    band = LoadBand(0.0, 10.0, 20.0, "clamped")
    _, tilt = seat_tractions((1000.0, 0.0, 0.0), band, z=17.0)
    q = 6.0 * 1000.0 * 12.0 / (pi * 20.0 * 10.0**2)
    assert tilt.value(0.0, np.array([0.0, 5.0, 10.0]))[:, 0] == pytest.approx([-q, 0.0, q])


def test_a_pressed_bearing_only_pushes():
    """Up to the ripple of the truncated series, which shrinks as harmonics are added."""
    band = LoadBand(0.0, 10.0, 20.0, "pressed")
    theta = np.linspace(0.0, 2 * pi, 721)
    pull = []
    for harmonics in (8, 16, 32):
        found = seat_tractions((700.0, -400.0, 0.0), band, z=17.0, harmonics=harmonics)
        values = np.array([t.value(theta, s)[:, 0] for t in found for s in (0.0, 4.9, 5.1, 10.0)])
        pull.append(-values.min() / values.max())
    assert pull[0] < 0.03
    assert pull[0] > pull[1] > pull[2]


def test_a_shoulder_carries_axial_force_one_way_only():
    band, shoulder = LoadBand(0.0, 10.0, 20.0, "clamped"), Shoulder("sleeve.left", 0.0, 20.0, 24.0)
    (onto,) = seat_tractions((0.0, 0.0, 500.0), band, z=0.0, shoulder=shoulder)
    (off,) = seat_tractions((0.0, 0.0, -500.0), band, z=0.0, shoulder=shoulder)
    assert (onto.face, off.face) == ("sleeve.left", "sleeve.bore")
    assert onto.axial_cos[0] == pytest.approx(500.0 / (pi * (24.0**2 - 20.0**2)))
    assert off.axial_cos[0] == pytest.approx(-500.0 / (2 * pi * 20.0 * 10.0))


def test_a_bearing_in_a_housing_transmits_its_load():
    load = BearingLoad(2500.0, 200.0, -300.0, z=9.0)
    seat = bearing_seat_load(load, LoadBand(2.0, 14.0, 20.5, "pressed"))
    force, moment = resultant(seat.tractions)
    assert (seat.name, seat.z) == ("bearing seat", 8.0)
    turn = radians(200.0)
    x, y = 2500.0 * cos(turn), 2500.0 * sin(turn)
    assert force == pytest.approx([x, y, -300.0], rel=1e-12)
    assert moment == pytest.approx([-9.0 * y, 9.0 * x, 0.0], abs=1e-8)


def test_rotating_the_loads_rotates_the_tractions():
    angle = radians(37.0)
    band = LoadBand(0.0, 10.0, 20.0, "pressed")
    straight = seat_tractions((1000.0, 0.0, 80.0), band, z=17.0)
    turned = seat_tractions((1000.0 * cos(angle), 1000.0 * sin(angle), 80.0), band, z=17.0)
    theta = np.linspace(0.0, 6.0, 13)
    for a, b in zip(straight, turned, strict=True):
        assert b.radial_cos == pytest.approx(a.rotated(angle).radial_cos, abs=1e-12)
        assert b.value(theta, 7.0) == pytest.approx(a.value(theta - angle, 7.0), abs=1e-12)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: LoadBand(5.0, 5.0, 20.0, "clamped"), "z_start < z_end"),
        (lambda: LoadBand(0.0, 5.0, 20.0, "glued"), "glued"),
        (lambda: replace(cups(), axial="up"), "axial must be"),
        (lambda: cups(left_z=80.0), "left bearing must lie left"),
        (lambda: Pedal("right", -1.0, 150.0, 170.0, 0.0), "force must be positive"),
        (lambda: Pedal("top", 1.0, 150.0, 170.0, 0.0), "side must be"),
        (lambda: Chain(0.0, 80.0), "ring_radius must be positive"),
        (lambda: BearingLoad(-1.0, 0.0, 0.0, z=0.0), "turn its angle instead"),
    ],
)
def test_invalid_input_is_rejected_in_one_line(make, message):
    with pytest.raises(ValueError, match=message):
        make()
