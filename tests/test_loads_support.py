"""Support of the shell: everything balances, and the footprint is the tube's outline."""

from dataclasses import replace
from itertools import combinations
from math import pi, radians

import numpy as np
import pytest

from hoopwright.geometry.land import Land, cylinder
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.tubes import Patch, Tube, footprint
from hoopwright.loads.bearing import BearingLoad
from hoopwright.loads.cases import (
    CrankShell,
    LoadCase,
    bearing_case,
    pedal_test,
    side_impact,
    spindle_case,
    standing_start,
)
from hoopwright.loads.description import LoadDescription
from hoopwright.loads.fourier_series import half_cosine, two_sided_cosine, uniform
from hoopwright.loads.pedal import Chain
from hoopwright.loads.seat_load import LoadBand, SeatLoad, Shoulder
from hoopwright.loads.spindle import Cup, Cups, PointForce
from hoopwright.loads.support import ClampedBand, TubeSupport, foundation_tractions, tube_reactions
from hoopwright.loads.traction import resultant, traction

WIDTH = 73.0
PLAIN = Shell(WIDTH, (cylinder(0.0, WIDTH, 44.0),), (cylinder(0.0, WIDTH, 39.0),))
STEPPED = Shell(
    WIDTH,
    (cylinder(0.0, 20.0, 46.0), Land(20.0, 50.0, 44.0, 43.0), cylinder(50.0, WIDTH, 45.0)),
    PLAIN.bore,
)
# an invented frame: down tube, seat tube, and two stays on either side
TUBES = (
    Tube(135.0, 32.0, 36.5, 2.0, "down tube"),
    Tube(75.0, 28.6, 36.5, 1.5, "seat tube"),
    Tube(185.0, 18.0, 12.0, 1.0, "left stay"),
    Tube(185.0, 18.0, 61.0, 1.0, "right stay"),
)


def crank(shell=PLAIN, support=None, kind="clamped"):
    left = Cup(-6.0, LoadBand(1.0, 13.0, 17.45, kind), Shoulder("sleeve.left", 0.0, 17.5, 21.0))
    right = Cup(79.0, LoadBand(60.0, 72.0, 17.45, kind), Shoulder("sleeve.right", WIDTH, 17.5, 21.0))
    return CrankShell(shell, Cups(left, right), support or TubeSupport(TUBES))


def imbalance(case):
    """Residual force and moment, each relative to the greatest single contribution of its kind."""
    force, moment = resultant(case.loads_and_reactions)
    loads = resultant(case.tractions)
    scale_f = max(np.abs(loads[0]).max(), 1.0)
    scale_m = max(np.abs(loads[1]).max(), 1.0)
    return max(np.abs(force).max() / scale_f, np.abs(moment).max() / scale_m)


def flat(reactions):
    """Tractions of all reactions."""
    return [t for reaction in reactions for t in reaction.tractions]


def every_case():
    chain = Chain(85.0, 81.5)
    for shell in (PLAIN, STEPPED):
        for kind in ("clamped", "pressed"):
            one = crank(shell, kind=kind)
            for bicycle in ("city", "trekking", "mountain", "racing"):
                yield from pedal_test(bicycle, one, chain_z=81.5).cases
            yield from standing_start(2000.0, one, chain, crank_length=170.0, offset=140.0)
            yield side_impact(800.0, one, radius=170.0, angle=-45.0, side="right")
            yield bearing_case(
                "hub",
                BearingLoad(1500.0, -90.0, 200.0, z=7.0),
                LoadBand(1.0, 13.0, 18.5, kind),
                shell,
                TubeSupport(TUBES),
            )


@pytest.mark.parametrize("case", list(every_case()), ids=lambda c: c.name)
def test_loads_and_reactions_sum_to_zero(case):
    assert case.reactions
    assert imbalance(case) < 1e-9


def test_a_single_tube_reacts_all_six_components():
    loads = [
        traction(
            "sleeve.bore",
            level=17.45,
            start=1.0,
            end=13.0,
            radial=half_cosine(10.0, towards=0.4, harmonics=12),
            hoop=uniform(1.0),
            axial=uniform(3.0),
        )
    ]
    reactions = tube_reactions(loads, TubeSupport((Tube(90.0, 30.0, 30.0, 1.0),)), PLAIN.outside)
    force, moment = resultant([*loads, *flat(reactions)])
    assert np.abs(force).max() < 1e-9 * 5000.0
    assert np.abs(moment).max() < 1e-9 * 2e5


@pytest.mark.parametrize("harmonics", [1, 4, 12])
def test_truncating_the_series_leaves_the_balance_exact(harmonics):
    loads = [
        traction(
            "sleeve.bore",
            level=17.45,
            start=1.0,
            end=13.0,
            radial=two_sided_cosine(8.0, towards=1.0),
        )
    ]
    reactions = tube_reactions(loads, TubeSupport(TUBES), PLAIN.outside, harmonics=harmonics)
    assert {t.harmonics for t in flat(reactions)} == {harmonics}
    force, moment = resultant([*loads, *flat(reactions)])
    assert np.abs(force).max() < 1e-9 * 5000.0
    assert np.abs(moment).max() < 1e-9 * 5e4


def test_equal_tubes_around_the_shell_share_a_side_force_as_an_elastic_foundation_does():
    """Four tubes at 90°, one plane, all alike: pure translation, t = a on every footprint.

    The sum is a × (total area), so a is force over area, and every footprint carries a quarter.
    """
    tubes = tuple(Tube(angle, 20.0, 36.5, 1.0, f"at {angle:g}°") for angle in (0.0, 90.0, 180.0, 270.0))
    push = traction(
        "sleeve.bore",
        level=17.45,
        start=26.5,
        end=46.5,
        radial=two_sided_cosine(5.0, towards=0.0),
    )
    support = TubeSupport(tubes)
    reactions = tube_reactions([push], support, PLAIN.outside)
    fx = resultant([push])[0][0]
    assert [reaction.name for reaction in reactions] == ["at 0°", "at 90°", "at 180°", "at 270°"]
    for reaction in reactions:
        quarter = resultant(reaction.tractions)[0]
        assert quarter == pytest.approx([-fx / 4.0, 0.0, 0.0], abs=1e-9 * fx)


def test_a_stiffer_tube_carries_more():
    def share(stiffness):
        tubes = (Tube(0.0, 20.0, 36.5, stiffness, "front"), Tube(180.0, 20.0, 36.5, 1.0, "rear"))
        push = traction(
            "sleeve.bore", level=17.45, start=26.5, end=46.5, radial=two_sided_cosine(5.0, towards=0)
        )
        reactions = tube_reactions([push], TubeSupport(tubes), PLAIN.outside)
        front = next(reaction for reaction in reactions if reaction.name == "front")
        return resultant(front.tractions)[0][0] / resultant(flat(reactions))[0][0]

    assert share(1.0) == pytest.approx(0.5, abs=1e-9)
    assert share(3.0) == pytest.approx(0.75, abs=1e-9)


def test_reactions_stay_near_the_tube_as_harmonics_are_added():
    """Far from the footprint the series must decay: what remains is the ripple of truncation."""
    push = traction(
        "sleeve.bore", level=17.45, start=26.5, end=46.5, radial=two_sided_cosine(5.0, towards=0)
    )
    tubes = TubeSupport((Tube(0.0, 20.0, 36.5, 1.0),))
    far = []
    for harmonics in (8, 32, 128):
        reactions = flat(tube_reactions([push], tubes, PLAIN.outside, harmonics=harmonics))
        at = np.radians(np.linspace(90.0, 270.0, 181))
        middle = [t for t in reactions if t.start <= 36.0 <= t.end]
        near = np.linalg.norm(sum(t.value(0.0, 36.0) for t in middle))
        far.append(np.abs(sum(t.value(at, 36.0) for t in middle)).max() / near)
    assert far[0] > far[1] > far[2]
    assert far[2] < 0.02


def test_rotating_loads_and_tubes_rotates_the_reactions():
    angle = 37.0
    push = traction(
        "sleeve.bore",
        level=17.45,
        start=1.0,
        end=13.0,
        radial=half_cosine(10.0, towards=0.4, harmonics=12),
    )
    turned_tubes = tuple(replace(tube, angle=tube.angle + angle) for tube in TUBES)
    straight = tube_reactions([push], TubeSupport(TUBES), PLAIN.outside)
    turned = tube_reactions([push.rotated(radians(angle))], TubeSupport(turned_tubes), PLAIN.outside)
    for a, b in zip(flat(straight), flat(turned), strict=True):
        expected = a.rotated(radians(angle))
        for part in ("radial_cos", "radial_sin", "hoop_cos", "hoop_sin", "axial_cos", "axial_sin"):
            assert getattr(b, part) == pytest.approx(getattr(expected, part), abs=1e-9)


def test_tubes_in_another_order_give_the_same_reactions_by_name():
    push = traction(
        "sleeve.bore", level=17.45, start=1.0, end=13.0, radial=two_sided_cosine(8.0, towards=1.0)
    )
    listed, shuffled = (
        {reaction.name: reaction for reaction in tube_reactions([push], TubeSupport(tubes), PLAIN.outside)}
        for tubes in (TUBES, (TUBES[2], TUBES[0], TUBES[3], TUBES[1]))
    )
    for tube in TUBES:
        one, other = listed[tube.name], shuffled[tube.name]
        assert one.tube == other.tube == tube
        assert one.z == tube.z_centre
        for have, want in zip(resultant(other.tractions), resultant(one.tractions), strict=True):
            assert have == pytest.approx(want, abs=1e-9 * np.abs(want).max())
    forces = [resultant(listed[tube.name].tractions)[0] for tube in TUBES]
    assert min(np.abs(a - b).max() for a, b in combinations(forces, 2)) > 10.0  # no two are alike


def test_two_tubes_or_loads_of_one_name_are_refused():
    with pytest.raises(ValueError, match="two tubes are named 'stay'; give each tube a name of its own"):
        TubeSupport((Tube(0.0, 20.0, 20.0, 1.0, "stay"), Tube(0.0, 20.0, 50.0, 1.0, "stay")))
    twice = (SeatLoad("left cup", 6.0, ()), SeatLoad("left cup", 67.0, ()))
    with pytest.raises(ValueError, match="landing: a name stands twice in left cup, left cup"):
        LoadCase("landing", LoadDescription("both feet"), twice, (), "test")


def test_a_load_case_holds_its_tractions_under_the_names_of_what_carries_them():
    """The cups cross over: the left bearing's seat lies to the right of the right one's."""
    cups = Cups(
        Cup(20.0, LoadBand(40.0, 50.0, 17.45, "clamped")), Cup(30.0, LoadBand(5.0, 15.0, 17.45, "clamped"))
    )
    push = PointForce((0.0, 0.0, 20.0), (0.0, -900.0, 0.0), "over the left bearing")
    case = spindle_case(
        "push",
        [push],
        CrankShell(PLAIN, cups, TubeSupport(TUBES)),
        description=LoadDescription("a push"),
    )
    left, right = case.loads
    assert (left.name, left.z) == ("left cup", 45.0)
    assert resultant(left.tractions)[0] == pytest.approx([0.0, -900.0, 0.0])
    assert (right.name, right.tractions) == ("right cup", ())
    assert [reaction.name for reaction in case.reactions] == [tube.name for tube in TUBES]
    assert case.loads_and_reactions == (*left.tractions, *flat(case.reactions))


def test_a_small_footprint_is_a_flat_disc():
    """On a radius far larger than the tube the outline is a circle, area π d²/4."""
    strips = footprint(Tube(0.0, 10.0, 50.0, 1.0), (cylinder(0.0, 100.0, 2000.0),))
    assert sum(s.area for s in strips) == pytest.approx(pi * 10.0**2 / 4.0, rel=1e-5)


def test_a_large_footprint_wraps_around_the_shell():
    """Area ∫ 2 R asin(√(h² - ζ²)/R) dζ by the plain midpoint rule."""
    h, radius = 16.0, 22.0
    zeta = h * ((np.arange(200_000) + 0.5) / 100_000 - 1.0)
    area = np.sum(2 * radius * np.arcsin(np.sqrt(h**2 - zeta**2) / radius)) * h / 100_000
    strips = footprint(Tube(135.0, 32.0, 36.5, 1.0), PLAIN.outside)
    assert sum(s.area for s in strips) == pytest.approx(area, rel=1e-6)
    assert {s.centre for s in strips} == {radians(135.0)}


def test_a_footprint_is_trimmed_at_the_face_and_at_steps():
    strips = footprint(Tube(0.0, 30.0, 10.0, 1.0), STEPPED.outside, strips=4)
    assert strips[0].z_start == 0.0
    assert 20.0 in {s.z_end for s in strips}
    assert {s.radius for s in strips if s.z_end <= 20.0} == {23.0}


def test_a_tube_that_misses_the_shell_is_rejected():
    with pytest.raises(ValueError, match="down tube: centred at z = 100"):
        footprint(Tube(0.0, 30.0, 100.0, 1.0, "down tube"), PLAIN.outside)
    with pytest.raises(ValueError, match="relative_stiffness must be positive"):
        Tube(0.0, 30.0, 30.0, 0.0)
    with pytest.raises(ValueError, match="at least one tube"):
        TubeSupport(())


def test_a_clamped_band_needs_no_reactions():
    cycle = pedal_test("racing", crank(support=ClampedBand(25.0, 48.0)), chain_z=81.5)
    assert all(case.clamped == ClampedBand(25.0, 48.0) for case in cycle.cases)
    assert all(case.reactions == () for case in cycle.cases)


def test_the_pedalling_test_goes_right_and_left_with_the_force_of_the_bicycle_type():
    """1200 N mountain, 100 000 cycles, ISO 4210-6; from memory, not seen in the standard."""
    cycle = pedal_test("mountain", crank(), chain_z=81.5)
    assert [case.name for case in cycle.cases] == ["right pedal", "left pedal"]
    assert cycle.count == 100_000
    for case in cycle.cases:
        down = resultant(case.tractions)[0][1]
        assert down == pytest.approx(-1200.0 * np.cos(radians(7.5)), rel=1e-12)
        assert "from memory" in case.source


def test_an_unknown_bicycle_type_is_rejected_with_the_known_ones():
    with pytest.raises(ValueError, match="write one of city, trekking, mountain, racing"):
        pedal_test("tandem", crank(), chain_z=81.5)


def test_a_side_impact_pushes_inwards():
    right = side_impact(800.0, crank(), radius=170.0, angle=-45.0, side="right")
    left = side_impact(800.0, crank(), radius=170.0, angle=-45.0, side="left")
    assert resultant(right.tractions)[0] == pytest.approx([0.0, 0.0, -800.0], abs=1e-9)
    assert resultant(left.tractions)[0] == pytest.approx([0.0, 0.0, 800.0], abs=1e-9)


@pytest.mark.parametrize("n", range(5))
def test_a_footprint_carries_the_traction_of_a_rigid_shell_on_an_elastic_foundation(n):
    """Coefficients of k (a + b × x) cut to the patch, taken by quadrature in x, y, z."""
    stiffness, centre, z = 1.7, 30.0, 41.0
    a, b = np.array([0.3, -1.1, 0.7]), np.array([0.05, 0.02, -0.04])
    area = Patch(38.0, 44.0, 22.0, 2.0, 0.6)
    nodes, weights = np.polynomial.legendre.leggauss(40)
    theta, w = area.centre + area.half_angle * nodes, area.half_angle * weights
    c, s, o = np.cos(theta), np.sin(theta), 0.0 * theta
    x = np.stack([22.0 * c, 22.0 * s, o + z - centre], axis=-1)
    t = stiffness * (a + np.cross(b, x))
    polar = np.stack([t[:, 0] * c + t[:, 1] * s, t[:, 1] * c - t[:, 0] * s, t[:, 2]], axis=-1)
    share = (2.0 if n else 1.0) / (2.0 * pi)
    want_cos = share * (w * np.cos(n * theta)) @ polar
    want_sin = share * (w * np.sin(n * theta)) @ polar
    pieces = foundation_tractions(stiffness, area, a, b, centre, harmonics=4)
    for i, part in enumerate(("radial", "hoop", "axial")):
        found = [(getattr(p, part), float(p.factor(z))) for p in pieces]
        assert sum(f * p.cos[n] for p, f in found) == pytest.approx(want_cos[i], abs=1e-12)
        assert sum(f * p.sin[n] for p, f in found) == pytest.approx(want_sin[i] if n else 0.0, abs=1e-12)
