"""Press fits with Coulomb friction: check values, Coulomb's law, equilibrium."""

from itertools import pairwise, product
from math import pi

import numpy as np
import pytest
from fem_models import ALUMINIUM, EVERY_WAY, STEEL, FrictionPress, crank_shell, friction_press, random_joint

import hoopwright.fem.coulomb
from hoopwright.fem import (
    Elastic,
    FitSolver,
    Moment,
    Resolution,
    SlidesError,
    SolveError,
    Way,
)
from hoopwright.fem.face_load import face_load
from hoopwright.fem.strain import COMPONENTS, R, Z

CHECKED = {"sleeve": STEEL, "shell": Elastic(69e3, 0.33, 23.4e-6)}


@pytest.fixture(scope="module")
def flush():
    """The joint of the check values: radii 17.45/19.5/22 mm, 73 mm long, 40 µm."""
    return friction_press(crank_shell(), CHECKED, Resolution())


@pytest.fixture(scope="module")
def coarse():
    return friction_press(crank_shell())


@pytest.fixture(scope="module", params=range(8))
def any_joint(request):
    """A joint at random, and the seed for what is done to it."""
    return friction_press(random_joint(np.random.default_rng(request.param))), request.param


# Check values of an independent axisymmetric model: MPa in sleeve and shell, and ∫ p dA in N. The stress
# while pushed lies 0.8 % from them at μ 0.3, on the sleeve's end face, all else 0.4 % and less.
STRESS, FORCE = 0.01, 0.001

WHILE_PUSHED = [(0.1, 59.3, 59.5, 53_247), (0.2, 64.6, 67.7, 51_904), (0.3, 74.5, 77.1, 50_523)]
LET_GO = [(0.1, 65.2, 55.0, 53_954), (0.2, 69.6, 56.5, 53_305), (0.3, 74.0, 58.4, 52_601)]
WARMED = [(-25.0, 78.9, 70.3, 71_636), (25.0, 47.1, 40.3, 38_322), (0.0, 61.7, 55.0, 56_059)]


def assert_checked(flush, moment, sleeve, shell, normal_force, *, rise=0.0):
    assert flush.peaks(moment, rise) == pytest.approx([sleeve, shell], rel=STRESS)
    assert moment.normal_force == pytest.approx(normal_force, rel=FORCE)


@pytest.mark.parametrize(("friction", "sleeve", "shell", "normal_force"), WHILE_PUSHED)
def test_a_sleeve_being_pushed_in_has_the_check_values(flush, friction, sleeve, shell, normal_force):
    assert_checked(flush, flush.slid(friction), sleeve, shell, normal_force)


@pytest.mark.parametrize(("friction", "sleeve", "shell", "normal_force"), LET_GO)
def test_a_sleeve_let_go_has_the_check_values(flush, friction, sleeve, shell, normal_force):
    assert_checked(flush, flush.let_go(friction), sleeve, shell, normal_force)


def test_a_fit_without_friction_has_the_check_values(flush):
    assert_checked(flush, flush.free(), 60.96, 53.80, 54_542)


def test_cooling_and_warming_twice_has_the_check_values_and_repeats_itself(flush):
    moments = list(flush.path(0.1, [rise for rise, *_ in WARMED] * 2))[2:]
    first, second = moments[:3], moments[3:]
    for moment, (rise, *expected) in zip(first, WARMED, strict=True):
        assert_checked(flush, moment, *expected, rise=rise)
    for once, again in zip(first, second, strict=True):
        assert np.abs(again.state.force - once.state.force).max() < 1e-6 * once.state.normal.max()


def test_temperature_without_friction_has_the_check_values(flush):
    assert_checked(flush, flush.free(-25.0), 77.9, 68.8, 69_697, rise=-25.0)
    assert_checked(flush, flush.free(25.0), 44.0, 38.9, 39_386, rise=25.0)


def test_where_friction_lets_next_to_nothing_slip_the_sleeve_has_the_check_value_of_tied_faces(flush):
    """82.8 MPa, 9 mm inside the sleeve, where it does not matter that the ends of the seat open or slip."""
    cold = flush.then(flush.free(), flush.solver.warmed(-25.0), 2.0)
    assert flush.peaks(cold, -25.0)[0] == pytest.approx(82.8, rel=2e-3)


def test_no_moment_of_a_path_breaks_the_law_of_coulomb(any_joint):
    """Pairs push and never pull, carry no more shear than μ p, and neither overlap nor stand apart; open
    pairs carry nothing. Cooled and warmed at random, warmed until the seat is open, and closed again."""
    joint, seed = any_joint
    rng = np.random.default_rng(seed)
    friction, rises = (
        rng.uniform(0.05, 0.5),
        [*rng.uniform(-60.0, 60.0, 4), 180.0, *rng.uniform(-60.0, 60.0, 2)],
    )
    moments = list(joint.path(friction, rises, way=EVERY_WAY[rng.integers(8)]))
    rounding, interference = 1e-8 * joint.touching, joint.radial_interference
    for moment in moments:
        fit = joint.solver.fit(moment)
        assert fit.pressure.min() >= -rounding
        assert np.all(np.abs(fit.shear) <= friction * fit.pressure + rounding)
        assert not fit.pressure[~fit.closed].any()
        assert not fit.shear[~fit.closed].any()
        assert not fit.slips[~fit.closed].any()
        pairs = joint.meshed_joint.interface
        gap = (fit.displacement[pairs.shell] - fit.displacement[pairs.sleeve])[:, R] - interference
        assert gap.min() > -1e-8 * interference.max()
        assert np.abs(gap[fit.closed]).max(initial=0.0) < 1e-8 * interference.max()
    assert not moments[6].state.closed.any()
    assert moments[7].state.closed.any()


def test_friction_takes_energy_and_never_gives_any(any_joint):
    """What slips, slips against its friction; what does not stays where it is."""
    joint, seed = any_joint
    rng = np.random.default_rng(seed)
    friction, rises = rng.uniform(0.05, 0.5), rng.uniform(-60.0, 60.0, 8)
    slipped = False
    for before, after in pairwise(list(joint.path(friction, rises, steps=1))[1:]):
        slip = after.state.jump_along - before.state.jump_along
        work, scale = after.state.along * slip, np.abs(after.state.along).max() * np.abs(slip).max()
        assert work.max() <= 1e-9 * scale
        assert np.abs(slip[after.state.stuck]).max(initial=0.0) <= 1e-9 * np.abs(slip).max()
        slipped |= work.min() < -1e-3 * scale
    assert slipped


def test_a_path_through_pivoting_alone_is_the_same(any_joint, monkeypatch):
    """One Newton step accepts a solution and finds none, so that every contact set is found by pivoting."""
    joint, seed = any_joint
    rng = np.random.default_rng(seed)
    friction, rises = rng.uniform(0.05, 0.3), [-25.0, 180.0, 10.0]
    found = list(joint.path(friction, rises))
    monkeypatch.setattr(hoopwright.fem.coulomb, "MAX_NEWTON_STEPS", 1)
    for pivoted, moment in zip(joint.path(friction, rises), found, strict=True):
        assert np.abs(pivoted.state.force - moment.state.force).max() < 1e-6 * found[0].state.normal.max()


@pytest.mark.parametrize("friction", [0.1, 0.2, 0.35])
def test_a_seat_that_closes_by_a_hair_is_found(coarse, friction):
    """Its halves slip against each other with next to no pressure, and no pair need stick."""
    touches = 0.020 / (19.5 * (ALUMINIUM.expansion - STEEL.expansion))
    *_, opened, moment = coarse.path(friction, [180.0, touches * (1.0 - 1e-7)])
    assert opened.normal_force == 0.0
    assert 0.0 < moment.normal_force < 1e-6 * coarse.free().normal_force


@pytest.mark.parametrize("rise", [0.0, -40.0, 30.0, 180.0])
def test_without_friction_the_fit_is_that_of_the_fit_solver(any_joint, rise):
    joint, _ = any_joint
    fit = joint.solver.fit(joint.free(rise))
    model, pairs = joint.meshed_joint.model, joint.meshed_joint.interface
    expected = FitSolver(model, pairs).press(joint.radial_interference, stuck=False, temperature_rise=rise)
    assert np.abs(fit.pressure - expected.pressure).max() < 1e-7 * joint.touching


def test_without_friction_a_sliding_sleeve_is_one_at_rest(coarse):
    expected = coarse.free().state.force
    for way in EVERY_WAY:
        assert coarse.slid(0.0, way).state.force == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_a_path_without_friction_forgets_where_it_came_from(coarse):
    *_, last = coarse.path(0.0, [-25.0, 180.0, 10.0])
    assert last.state.force == pytest.approx(coarse.free(10.0).state.force, abs=1e-7 * coarse.touching)


def test_fits_do_not_depend_on_the_number_of_steps(coarse):
    rises = (-25.0, 25.0, 0.0)
    few, many = (list(coarse.path(0.2, rises, steps=n))[1:] for n in (4, 16))
    for a, b, rise in zip(few, many, (0.0, *rises), strict=True):
        assert a.normal_force == pytest.approx(b.normal_force, rel=5e-5)
        assert coarse.peaks(a, rise) == pytest.approx(coarse.peaks(b, rise), rel=1e-4)


def test_pressing_in_from_the_other_end_mirrors_the_joint(coarse):
    for friction, (left, right) in product((0.1, 0.3), zip(EVERY_WAY[:4], EVERY_WAY[4:], strict=True)):
        a, b = coarse.let_go(friction, left).state, coarse.let_go(friction, right).state
        assert b.normal[::-1] == pytest.approx(a.normal, rel=1e-6)
        assert -b.along[::-1] == pytest.approx(a.along, abs=1e-6 * a.normal.max())


def unbalanced(joint: FrictionPress, moment: Moment) -> float:
    """Greatest force that K u leaves unbalanced at a node, pins included, N per radian."""
    pairs, model = joint.meshed_joint.interface, joint.meshed_joint.model
    nodal = moment.load.nodal.copy()
    for component, force in ((R, moment.state.normal), (Z, moment.state.along)):
        nodal[COMPONENTS * pairs.shell + component] += force
        nodal[COMPONENTS * pairs.sleeve + component] -= force
    u = joint.solver.fit(moment).displacement.ravel()
    return float(np.abs(model.stiffness.K0 @ u - nodal).max())


@pytest.mark.parametrize("way", EVERY_WAY)
def test_force_and_support_balance_the_friction_of_a_sliding_sleeve(coarse, way):
    moment = coarse.slid(0.2, way)
    mesh, along = coarse.meshed_joint.model.mesh, moment.load.nodal[Z::COMPONENTS]
    force = way.direction * 0.2 * moment.normal_force
    assert moment.axial_force == pytest.approx(force)
    for body, face, expected in zip(("sleeve", "shell"), way.faces, (force, -force), strict=True):
        assert 2.0 * pi * along[mesh.body_nodes(body)].sum() == pytest.approx(expected)
        assert 2.0 * pi * along[np.unique(mesh.face(face).nodes)].sum() == pytest.approx(expected)
    assert unbalanced(coarse, moment) < 1e-7 * abs(force) / (2.0 * pi)


def test_a_pull_below_capacity_is_carried_by_friction_alone(coarse):
    rest, pull = coarse.let_go(0.1), 2000.0
    for newtons in (pull, -pull):
        moment = coarse.then(rest, coarse.pulled_with(newtons), 0.1)
        assert moment.axial_force == pytest.approx(newtons, rel=1e-6)
        assert unbalanced(coarse, moment) < 1e-7 * pull / (2.0 * pi)


def test_a_pull_is_carried_up_to_the_force_of_a_sleeve_that_is_pulled_out(coarse):
    way = Way(1, pulled=True, held_ahead=True)
    rest, capacity = coarse.let_go(0.1), coarse.slid(0.1, way).axial_force
    carried = coarse.then(rest, coarse.pulled_with(0.995 * capacity), 0.1)
    assert carried.axial_force == pytest.approx(0.995 * capacity, rel=1e-6)
    with pytest.raises(SlidesError, match=r"axial load of \S+ N on the sleeve is more than friction"):
        coarse.then(rest, coarse.pulled_with(1.005 * capacity), 0.1)


def test_a_pull_without_friction_is_refused(coarse):
    with pytest.raises(SlidesError, match="axial load of 100 N on the sleeve, and no friction"):
        coarse.solver.without_friction(coarse.radial_interference, load=coarse.pulled_with(100.0))


@pytest.mark.parametrize("body", ["sleeve", "shell"])
def test_an_axial_load_on_one_body_alone_is_refused(coarse, body):
    load = face_load(coarse.meshed_joint.model.mesh, f"{body}.right", np.array([0.0, 0.0, 1.0]))
    with pytest.raises(ValueError, match=r"axial load in balance, got \S+ N on the sleeve and"):
        coarse.solver.seat.load(load)


def test_displacements_have_the_jump_that_the_seat_has(coarse):
    pairs = coarse.meshed_joint.interface
    for moment in coarse.path(0.2, [-25.0]):
        u = coarse.solver.fit(moment).displacement
        jump = (u[pairs.shell] - u[pairs.sleeve])[:, [R, Z]].T.ravel()
        assert jump == pytest.approx(moment.state.jump, abs=1e-10)


def test_contact_that_is_not_found_raises(coarse, monkeypatch):
    monkeypatch.setattr(hoopwright.fem.coulomb, "MAX_NEWTON_STEPS", 0)
    with pytest.raises(SolveError, match="friction and contact pressure did not converge"):
        coarse.let_go(0.1)
