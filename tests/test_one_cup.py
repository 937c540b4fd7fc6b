"""A single cup with its flange on the shell: it draws the sleeve towards itself, and friction holds it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import exp, pi

import holding_case
import numpy as np
import pytest
from cells import cell_of
from cup_cases import long_tubes_with_cups

import hoopwright.fem.coulomb
from hoopwright import cup_load
from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence, judged
from hoopwright.checks.holding import pushed_out
from hoopwright.checks.joint_opens import joint_opens
from hoopwright.checks.seat_demands import seat_demands
from hoopwright.checks.stays_tight import interference_lost
from hoopwright.checks.yields import shell_yields
from hoopwright.discretisation import Discretisation
from hoopwright.fem import Resolution, SlidesError, SolveError
from hoopwright.fem.strain import COMPONENTS, R, Z
from hoopwright.fit import FitSolution
from hoopwright.geometry.joint import joint
from hoopwright.state import Clamping, FrictionPath, State, clamped, frictionless
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS

COARSE = Resolution(elements_through_wall=1)
ALONE = {
    "left": holding_case.CUPS[: holding_case.CUPS.index("[cups.right]")],
    "right": holding_case.CUPS[: holding_case.CUPS.index("[cups.left]")]
    + holding_case.CUPS[holding_case.CUPS.index("[cups.right]") :],
}


@cache
def one_cup(torque: str = "8 N*m", *, side: str = "left") -> Case:
    text = ALONE[side].replace("40 N*m", torque).replace("30 N*m", torque)
    return holding_case.case_of(text)


@cache
def evidence_of(case_of_one: Case) -> Evidence:
    return Evidence(case_of_one, CaseStudy(case_of_one, COARSE), 0.0, 0.0)


def tight(tension: float, friction: float = 0.2) -> State:
    """On the bench, pressed in and let go, with the pull of the cups."""
    event = (Clamping(0.0, tension),) if tension else ()
    path = FrictionPath(
        friction, friction, slipped_in=False, pressed_at=0.0, let_go=True, warmed=(), clamped=event
    )
    return State(0.0, 0.0, tension, path, blank=False)


def mesh_of(case: Case) -> Discretisation:
    return Discretisation(case, joint(case.shell, case.sleeve), COARSE)


def test_a_cup_tightened_alone_on_a_frictionless_seat_has_no_equilibrium():
    evidence = evidence_of(one_cup())
    with pytest.raises(SolveError, match="and no friction to carry it"):
        _ = evidence.study.at(frictionless(0.0, 0.0, 500.0)).coarsest
    states = clamped(evidence.case, 0.0, evidence.tensions)
    assert any(state.path is None for state in states)
    assert all(state.tension == 0.0 for state in states if state.path is None)
    assert all(state.tension > 0.0 for state in states if state.path is not None)


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_pins_of_rigid_motion_carry_nothing_of_a_single_cup(side):
    """Forces on either body by the pull, the flange and friction, and what K u makes of them at every node,
    pins included: below 1e-6 of the preload."""
    case, tension = one_cup(side=side), 4000.0
    mesh, state = mesh_of(case), tight(tension)
    moment, model = mesh.moment(0.0, state.path), mesh.meshed_joint.model
    pairs, nodal = mesh.meshed_joint.interface, moment.load.nodal.copy()
    for component, force in ((R, moment.state.normal), (Z, moment.state.along)):
        nodal[COMPONENTS * pairs.shell + component] += force
        nodal[COMPONENTS * pairs.sleeve + component] -= force
    fit = mesh.friction.fit(moment)
    left_over = 2.0 * pi * np.abs(model.stiffness.K0 @ fit.displacement.ravel() - nodal)
    assert left_over.max() < 1e-6 * tension
    towards = -1.0 if side == "left" else 1.0
    assert moment.axial_force == pytest.approx(towards * tension, rel=1e-6)
    assert np.all(np.abs(fit.shear) <= 0.2 * fit.pressure + 1e-6 * fit.pressure.max())


LONG = long_tubes_with_cups("left")
FRICTION = 0.1
INNER, SEAT, OUTSIDE, LENGTH, MIDDLE_OF_THREAD = 17.399, 20.0, 23.0, 300.0, 4.0


@cache
def long_tubes() -> tuple[float, float]:
    """Pressure of the tubes without a pull, MPa, and what a pull of 1 N takes off it, MPa: Lamé's tubes,
    the sleeve pulled and the shell squeezed by the same force, so that both open the seat by Poisson's
    ratio."""
    case = parse_case(LONG)
    opened, gives = 0.0, 0.0
    for metal, inner, outer, curved in (
        (case.sleeve_material, INNER, SEAT, -1.0),
        (case.shell_material, SEAT, OUTSIDE, 1.0),
    ):
        E, nu, area = metal.young_modulus, metal.poisson_ratio, pi * (outer**2 - inner**2)
        gives += SEAT / E * ((outer**2 + inner**2) / (outer**2 - inner**2) + curved * nu)
        opened += SEAT * nu / (E * area)
    fit = 0.5 * (0.06 - case.smoothing_loss_mm)
    return fit / gives, opened / gives


@pytest.fixture(scope="module")
def long_mesh():
    """The long tubes, meshed once, without the wedge of the flanks, which Coulomb's tubes do not have."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cup_load, "HALF_THREAD_ANGLE_DEG", 0.0)
        mesh = mesh_of(parse_case(LONG))
        mesh.cups(1.0)  # found while there is none
        yield mesh


def test_friction_takes_the_pull_over_as_coulombs_tubes_do(long_mesh):
    """Shear lag at the limit: dF/dx = −μ p π d with p = p₀ − k F, hence from the middle of the thread
    inwards F = p₀/k + (F₀ − p₀/k) e^(μ π d k x), and the pressure that is left."""
    bare, per_newton = long_tubes()
    pull = 15_000.0
    fit = long_mesh.friction.fit(long_mesh.moment(0.0, tight(pull, FRICTION).path))
    z = long_mesh.meshed_joint.interface.z
    limit, rate = bare / per_newton, FRICTION * 2.0 * pi * SEAT * per_newton
    force = limit + (pull - limit) * np.exp(rate * (z - MIDDLE_OF_THREAD))
    slips = (z > 25.0) & (force > 0.35 * pull)  # away from the end, where the load spreads
    assert np.count_nonzero(slips) > 20
    assert fit.pressure[slips] == pytest.approx(bare - per_newton * force[slips], rel=0.03)
    assert fit.shear[slips] == pytest.approx(-FRICTION * fit.pressure[slips], rel=1e-6)
    assert np.min(fit.pressure[slips]) < 0.87 * bare  # Poisson's effect is there to be seen
    order = np.argsort(z)
    carried = np.trapezoid(2.0 * pi * SEAT * -fit.shear[order], z[order])
    assert carried == pytest.approx(pull, rel=0.01)


def test_friction_carries_no_more_than_coulombs_tubes_do(long_mesh):
    """F₀ = p₀/k (1 − e^(−μ π d k L)): Poisson's effect leaves less than μ ∫ p dA of the fit at rest."""
    bare, per_newton = long_tubes()
    rate = FRICTION * 2.0 * pi * SEAT * per_newton
    most = bare / per_newton * (1.0 - exp(-rate * (LENGTH - MIDDLE_OF_THREAD)))
    assert most < 0.9 * FRICTION * 2.0 * pi * SEAT * LENGTH * bare
    assert long_mesh.carries(tight(0.95 * most, FRICTION))
    assert not long_mesh.carries(tight(1.01 * most, FRICTION))
    with pytest.raises(SlidesError, match="more than friction on the seat can carry"):
        long_mesh.press(tight(1.03 * most, FRICTION))


def test_what_is_not_found_to_be_carried_is_not(long_mesh, monkeypatch):
    """A seat that hardly touches has no contact set at all under a pull far beyond what it holds."""
    monkeypatch.setattr(hoopwright.fem.coulomb, "MAX_NEWTON_STEPS", 0)
    unseen = replace(tight(16_000.0, FRICTION), shift=-0.001)
    assert not long_mesh.carries(unseen)


def test_the_pull_of_a_single_cup_stresses_both_bodies_and_takes_off_pressure():
    """Beside its wedge, which is all that acts where thread and flange pull on the same body."""
    case = one_cup()
    wedged = replace(case, cups=replace(case.cups, flange_on_shell=False))
    alone, beside = (
        FitSolution(mesh, state, mesh.press(state))
        for one in (case, wedged)
        for mesh, state in [(mesh_of(one), tight(4000.0))]
    )
    assert alone.equivalent_peak("shell").value > beside.equivalent_peak("shell").value + 3.0
    assert alone.normal_force < beside.normal_force - 500.0
    inside = 12.0  # mm, where the thread has handed all of its pull over
    shell, sleeve = (
        [
            float(np.interp(inside, one.walls[body].z, one.walls[body].membrane[:, 2]))
            for one in (alone, beside)
        ]
        for body in ("shell", "sleeve")
    )
    assert shell[0] < shell[1] - 3.0  # squeezed by the flange
    assert sleeve[0] > sleeve[1] + 3.0  # pulled by the thread


def test_every_row_that_the_pull_enters_is_judged_with_it():
    evidence = evidence_of(one_cup())
    assert not evidence.is_pulled_out
    for check in (shell_yields, joint_opens):
        cell = cell_of(check(evidence), "cups")
        assert (cell.state, cell.doubt) == ("holds", "")
        assert cell.when.preload == evidence.tensions[0.0] > 1000.0


def test_no_path_of_a_single_cup_loses_more_than_it_is_judged_for():
    """Handed over evenly along the seat, the pull takes off more than where friction holds it."""
    case = one_cup()
    study, tension = evidence_of(case).study, 3000.0
    mesh = study.meshes[-1]
    tight_by = 0.002
    force = {s: study.at(frictionless(s, 0.0)).coarsest.normal_force for s in (0.0, tight_by)}
    lost = interference_lost(study, 0.0, tension).value
    for friction in (0.1, 0.2):
        before, after = (
            mesh.moment(0.0, tight(pull, friction).path).normal_force for pull in (0.0, tension)
        )
        assert (before - after) * tight_by / (force[tight_by] - force[0.0]) < lost
    assert 0.0 < lost < 0.002


def test_a_cup_that_pulls_harder_than_friction_holds_is_said_and_not_solved():
    case = one_cup("40 N*m")
    evidence = evidence_of(case)
    assert evidence.is_pulled_out
    assert pushed_out(evidence).state == "fails"
    rows = {row.id: row for row in judged(evidence, (shell_yields, joint_opens, pushed_out))}
    for name in ("shell_yields", "joint_opens"):
        cell = cell_of(rows[name], "cups")
        assert cell.state == "unresolved"
        assert "the left cup, by itself, pulls harder than friction may hold" in cell.doubt
    assert cell_of(rows["shell_yields"], "pressed").doubt == ""
    assert rows["pushed_out"].doubt == ""
    kept = evidence.at_rest("cups", 0.0).fits
    assert {fit.state.path.friction for fit in kept if fit.state.tension} <= {0.2}
    assert all(np.isfinite(fit.finest.normal_force) for fit in kept)


@pytest.mark.slow
def test_with_a_compound_the_doubt_says_what_is_not_in_the_stress():
    evidence = evidence_of(holding_case.case_of(ALONE["left"], holding_case.COMPOUND))
    cell = cell_of(judged(evidence, (shell_yields,))[0], "cups")
    assert "what the compound holds is not in the stress" in cell.doubt


DEMAND = """
[demand]
axial_force = "1 kN"
torque = "2 N*m"
"""


def test_in_use_a_single_cup_pulls_beside_every_other_load():
    case = holding_case.case_of(ALONE["left"].replace("40 N*m", "8 N*m"), DEMAND, holding_case.WARM)
    evidence = evidence_of(case)
    pull = evidence.tensions[0.0]
    (load,) = seat_demands(evidence, "in use")
    assert (load.axial, load.torque) == (pytest.approx(1000.0 + pull), 2000.0)
    assert load.what == "[demand] beside the pull of the left cup"
    (bare,) = seat_demands(evidence, "pressed")
    assert bare.axial == 1000.0
    row = pushed_out(evidence)
    assert (row.stage, row.demand.value) == ("in use", load.axial)
    assert WORKINGS["pushed_out"](evidence, row).value("F_a") == pytest.approx(load.axial)
    balanced = evidence_of(holding_case.case_of(holding_case.CUPS, DEMAND, holding_case.WARM))
    (load,) = seat_demands(balanced, "in use")
    assert load.axial == 1000.0


@pytest.mark.parametrize("friction", [pytest.param(0.1, marks=pytest.mark.slow), 0.2])
def test_each_of_two_cups_by_itself_lies_between_none_and_both(friction):
    """Why two cups are judged tight together: with one of them, no stress is more than 0.5 % above those
    with none and with both, and no contact force below."""
    both = holding_case.case_of(holding_case.CUPS)
    tension = 2500.0
    cases = both, *(replace(both, cups=replace(both.cups, **{side: None})) for side in ("left", "right"))
    found = []
    for case in cases:
        mesh = mesh_of(case)
        found.append(
            [FitSolution(mesh, s, mesh.press(s)) for s in (tight(p, friction) for p in (0.0, tension))]
        )
    (rest, together), *alone = found
    for _, one in alone:
        for body in ("shell", "sleeve"):
            most = max(s.equivalent_peak(body).value for s in (rest, together))
            assert one.equivalent_peak(body).value < 1.005 * most
        assert one.normal_force > 0.995 * min(rest.normal_force, together.normal_force)
