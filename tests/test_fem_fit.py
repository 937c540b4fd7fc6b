"""Press fit: reference numbers, contact conditions, equilibrium, heat."""

from types import SimpleNamespace

import numpy as np
import pytest
from fem_models import (
    ALUMINIUM,
    MATERIALS,
    STEEL,
    crank_shell,
    interference_profile,
    press,
    sleeved_shell,
)

import hoopwright.fem.complementarity
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.fem import Elastic, FitSolver, Resolution, SolveError, mesh_joint
from hoopwright.fem.grid import RowSizes, body_grid
from hoopwright.fem.interface import interface
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.geometry.land import Land, cylinder

LENGTH_THREE_LANDS = 60.0


@pytest.fixture(scope="module")
def flush():
    return press(crank_shell(), MATERIALS)


@pytest.fixture(scope="module")
def stepped():
    """Sleeve with a tight land, a land with 0.010 mm clearance, and a tight land."""
    lands = (cylinder(0.0, 20.0, 39.040), cylinder(20.0, 40.0, 38.990), cylinder(40.0, 60.0, 39.030))
    return press(
        sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=lands), MATERIALS
    )


def test_flush_sleeve_has_the_pressure_and_displacements_of_lame(flush):
    """Plane stress closed form, computed twice independently: 6.098051 MPa, −5.21151, 14.25200 µm."""
    assert flush.mean_pressure == pytest.approx(6.098051, rel=1e-5)
    lame = contact_pressure(
        radial_interference=0.020,
        sleeve_bore_radius=17.45,
        interface_radius=19.5,
        shell_outer_radius=22.0,
        sleeve=(STEEL.young_modulus, STEEL.poisson_ratio),
        shell=(ALUMINIUM.young_modulus, ALUMINIUM.poisson_ratio),
    )
    assert flush.mean_pressure == pytest.approx(lame, rel=1e-6)
    assert flush.moved("sleeve.bore", 36.5) == pytest.approx(-5.21151e-3, rel=1e-5)
    assert flush.moved("shell.outside", 36.5) == pytest.approx(14.25200e-3, rel=1e-5)
    assert flush.fit.pressure == pytest.approx(6.098051, rel=3e-4)


def test_short_sleeve_matches_the_converged_reference_and_the_estimate_covers_it():
    """40 mm sleeve centred in a 73 mm shell, computed twice independently and converged."""
    reference = np.array([6.6347, -5.1189e-3, 14.3387e-3])

    def values(resolution):
        p = press(crank_shell(start=16.5, end=56.5), MATERIALS, resolution)
        return np.array([p.mean_pressure, p.moved("sleeve.bore", 36.5), p.moved("shell.outside", 36.5)])

    fine, coarse = values(Resolution()), values(Resolution().coarser())
    assert fine == pytest.approx(reference, rel=3e-3)
    printed = np.array([5e-5, 5e-8, 5e-8])  # half a unit of the last digit of the reference
    # Contact pressure is singular at the sleeve's ends, so errors fall in proportion to the element length
    # there: from 1.5 h to h that leaves twice the difference.
    assert np.all(np.abs(fine - reference) <= 2.0 * np.abs(fine - coarse) + printed)


def test_a_stuck_flush_sleeve_has_no_less_pressure_than_a_sliding_one(flush):
    stuck = press(crank_shell(), MATERIALS, stuck=True)
    assert stuck.fit.stuck
    assert stuck.mean_pressure > flush.mean_pressure
    pairs = stuck.meshed_joint.interface
    axial = stuck.fit.displacement[pairs.shell, 2] - stuck.fit.displacement[pairs.sleeve, 2]
    assert np.max(np.abs(axial)) < 1e-15


def test_land_with_clearance_carries_exactly_no_pressure(stepped):
    pairs = stepped.meshed_joint.interface
    clear = (pairs.z >= 20.0) & (pairs.z <= 40.0)
    assert clear.sum() > 10
    assert np.all(stepped.fit.pressure[clear] == 0.0)
    assert not stepped.fit.closed[clear].any()


def test_a_pair_on_a_step_takes_the_clearance_or_the_weighted_mean(stepped):
    pairs, seats = stepped.meshed_joint.interface, stepped.meshed_joint.joint.seats
    step = np.argmin(np.abs(pairs.z - 20.0))
    assert interference_profile(stepped.meshed_joint)[step] == pytest.approx(-0.005)
    both_tight = pairs.profile([0.040, 0.020, 0.020], [0.040, 0.020, 0.020], seats)
    share = pairs.seat_share[:, step]
    assert np.all(share[:2] > 0.0)
    assert share.sum() == pytest.approx(1.0)
    assert both_tight[step] == pytest.approx(0.020 * share[0] + 0.010 * share[1])


def test_contact_pressure_is_never_tensile_and_bodies_never_overlap(stepped):
    pairs, u = stepped.meshed_joint.interface, stepped.fit.displacement
    gap = u[pairs.shell, 0] - u[pairs.sleeve, 0] - interference_profile(stepped.meshed_joint)
    assert np.all(stepped.fit.pressure >= 0.0)
    assert np.max(stepped.fit.pressure) > 1.0
    assert np.min(gap) > -1e-12
    assert np.max(np.abs(gap[stepped.fit.closed])) < 1e-12


def test_contact_pressure_is_balanced_by_the_hoop_stress_of_either_body(stepped):
    """Half a ring in equilibrium: ∫ p r dz = ∫ σ_θθ dA of the shell = −∫ σ_θθ dA of the sleeve."""
    pairs = stepped.meshed_joint.interface
    pressed_on = stepped.fit.pressure @ pairs.weight
    weight = stepped.recovery.strain.weight
    for name, sign in (("shell", 1.0), ("sleeve", -1.0)):
        cells = stepped.meshed_joint.model.mesh.bodies[name].elements
        hoop = np.sum(stepped.stress[cells][..., 1] * weight[cells])
        assert sign * hoop == pytest.approx(pressed_on, rel=2e-3)


def test_a_tapered_land_that_starts_clear_opens_over_the_clear_end_only():
    lands = (Land(0.0, 60.0, 38.980, 39.040),)
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=lands)
    pressed = press(pair, MATERIALS)
    open_pairs = ~pressed.fit.closed
    assert 0.1 < open_pairs.mean() < 0.6
    # One end open, the rest closed: a single change from open to closed along z.
    assert np.count_nonzero(np.diff(open_pairs.astype(int))) == 1
    assert open_pairs[0]
    assert pressed.fit.steps > 1


def test_contact_does_not_depend_on_whether_the_search_starts_open_or_closed(stepped):
    meshed_joint, wanted = stepped.meshed_joint, interference_profile(stepped.meshed_joint)
    solver = FitSolver(meshed_joint.model, meshed_joint.interface)
    nowhere, load = np.zeros(len(wanted), dtype=bool), np.zeros(meshed_joint.model.size)
    for start in (nowhere, ~nowhere):
        found = solver._pivot(start, nowhere, wanted, load)
        assert np.array_equal(found.closed, stepped.fit.closed)
        assert found.pressure == pytest.approx(stepped.fit.pressure, rel=1e-9)
        assert found.steps > 1


def test_order_of_the_bodies_in_the_mesh_changes_nothing():
    pair = crank_shell(start=16.5, end=56.5)
    lines = np.unique(np.concatenate([np.linspace(0.0, 73.0, 25), [16.5, 56.5]]))
    grids = {
        name: body_grid(name, segments, lines, sizes=RowSizes.even(2))
        for name, segments in (("sleeve", pair.sleeve), ("shell", pair.shell))
    }

    def solve(*order):
        mesh = join(*(grids[name] for name in order))
        pairs = interface(mesh, pair.seats)
        solver = FitSolver(Model(mesh, MATERIALS), pairs)
        fit = solver.press(np.full(len(pairs.z), 0.020), stuck=False)
        return fit.pressure, fit.displacement[pairs.shell], fit.displacement[pairs.sleeve]

    for one, other in zip(solve("sleeve", "shell"), solve("shell", "sleeve"), strict=True):
        assert one == pytest.approx(other, rel=1e-9, abs=1e-12)


def test_doubling_the_interference_doubles_the_pressure(flush):
    twice = press(crank_shell(interference=0.080), MATERIALS)
    assert twice.fit.pressure == pytest.approx(2.0 * flush.fit.pressure, rel=1e-9)


def test_heating_a_pair_of_equal_expansion_adds_no_stress():
    """Free and equal expansion: a hot joint is larger, not tighter."""
    alike = {"sleeve": Elastic(205e3, 0.29, 23e-6), "shell": ALUMINIUM}
    cold = press(crank_shell(), alike)
    hot = press(crank_shell(), alike, temperature_rise=150.0)
    assert hot.fit.pressure == pytest.approx(cold.fit.pressure, abs=1e-8)
    assert hot.stress == pytest.approx(cold.stress, abs=1e-7)
    growth = hot.moved("shell.outside", 36.5) - cold.moved("shell.outside", 36.5)
    assert growth == pytest.approx(23e-6 * 150.0 * 22.0, rel=1e-9)


def test_heat_loosens_a_steel_sleeve_in_aluminium_by_the_difference_of_expansions():
    """By hand: δ falls by (23 − 12)e-6 · 60 K · 39 mm = 25.74 µm, from 40 to 14.26 µm on diameter."""
    hot = press(crank_shell(), MATERIALS, temperature_rise=60.0)
    assert hot.mean_pressure == pytest.approx(6.098051 * 14.26 / 40.0, rel=1e-5)


def test_a_sleeve_heated_until_loose_carries_no_pressure():
    loose = press(crank_shell(), MATERIALS, temperature_rise=100.0)
    assert not loose.fit.closed.any()
    assert np.all(loose.fit.pressure == 0.0)
    assert np.max(np.abs(loose.stress)) < 1e-6


def test_contact_that_does_not_converge_raises(monkeypatch):
    monkeypatch.setattr(hoopwright.fem.complementarity, "MAX_BLOCK_PIVOTS", 1)
    lands = (Land(0.0, 60.0, 38.980, 39.040),)
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=lands)
    with pytest.raises(SolveError, match="did not converge in 1 steps"):
        press(pair, MATERIALS)


def springs(compliance, gaps):
    """A solver of pairs whose gaps open in proportion to the forces: gap = compliance · force + gaps."""
    count = len(gaps)
    nodes = np.arange(2 * count)
    pairs = SimpleNamespace(shell=nodes[:count], sleeve=nodes[count:], weight=np.ones(count))

    def solve(closed, interference, _load):
        force, u = np.zeros(count), np.zeros((2 * count, 3))
        here = np.ix_(closed, closed)
        force[closed] = np.linalg.solve(compliance[here], interference[closed] - gaps[closed])
        u[:count, 0] = compliance @ force + gaps
        return u.ravel(), force

    solver = FitSolver(None, pairs)
    solver._system = lambda *_: SimpleNamespace(solve=solve)
    return solver


def test_contact_that_repeats_itself_is_settled_pair_by_pair(monkeypatch):
    """Changing all pairs at once comes back to where it was, for this positive definite compliance."""
    compliance = np.array(
        [
            [2.8443, 2.2977, -0.1715, -1.7712],
            [2.2977, 2.2759, 0.7307, -0.3664],
            [-0.1715, 0.7307, 3.5684, 2.8505],
            [-1.7712, -0.3664, 2.8505, 4.2262],
        ]
    )
    gaps, nowhere = np.array([-1.1733, -0.3165, -1.2452, 1.4268]), np.zeros(4, dtype=bool)
    found = springs(compliance, gaps)._pivot(nowhere, nowhere, np.zeros(4), nowhere)
    left = compliance @ found.pressure + gaps
    assert found.pressure.min() >= 0.0
    assert left.min() > -1e-12
    assert found.pressure @ left == pytest.approx(0.0, abs=1e-12)
    monkeypatch.setattr(hoopwright.fem.complementarity, "MAX_STALLED_STEPS", 10**6)
    with pytest.raises(SolveError, match="did not converge"):
        springs(compliance, gaps)._pivot(nowhere, nowhere, np.zeros(4), nowhere)


@pytest.mark.parametrize(("share", "opens"), [(0.0, False), (-1e-12, False), (-1e-8, True), (1e-8, False)])
def test_a_pair_opens_where_it_is_pulled_by_more_than_rounding(share, opens):
    solver, closed = springs(np.eye(2), np.zeros(2)), np.ones(2, dtype=bool)
    force = 300.0 * np.array([1.0, share])
    found = solver._offending(closed, np.zeros(2), np.zeros((4, 3)), force)
    assert found.tolist() == ([1] if opens else [])


@pytest.mark.parametrize(("share", "closes"), [(0.0, False), (-1e-14, False), (-1e-9, True), (1e-9, False)])
def test_a_pair_closes_where_it_overlaps_by_more_than_rounding(share, closes):
    solver, closed = springs(np.eye(2), np.zeros(2)), np.array([True, False])
    interference = np.array([0.02, 0.02])
    u = np.zeros((4, 3))
    u[:2, 0] = interference * np.array([1.0, 1.0 + share])
    found = solver._offending(closed, interference, u, np.array([100.0, 0.0]))
    assert found.tolist() == ([1] if closes else [])


def test_a_finer_mesh_brings_the_short_sleeve_closer_to_its_limit():
    p = [
        press(crank_shell(start=16.5, end=56.5), MATERIALS, Resolution().scaled(s)).mean_pressure
        for s in (2.0, 1.0, 0.5)
    ]
    assert abs(p[2] - p[1]) < 0.6 * abs(p[1] - p[0])


def test_stiffness_is_assembled_once_and_factors_are_cached():
    meshed_joint = mesh_joint(crank_shell(), MATERIALS, Resolution(elements_through_wall=2))
    solver = FitSolver(meshed_joint.model, meshed_joint.interface)
    first = solver.press(interference_profile(meshed_joint), stuck=False)
    again = solver.press(0.5 * interference_profile(meshed_joint), stuck=False)
    assert len(solver.factors) == 1
    assert again.pressure == pytest.approx(0.5 * first.pressure, rel=1e-9)
