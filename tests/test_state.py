"""States of a joint: values that ask for a fit, and what the temperatures of bench and sizes change."""

from __future__ import annotations

from dataclasses import MISSING, FrozenInstanceError, fields, replace
from functools import cache
from pathlib import Path
from unittest import mock

import numpy as np
import pytest
from friction_paths import Paths
from press_cases import press_case
from reference.sliding import sliding_force
from service_cases import CRANK, case_of, edited

from hoopwright.case.model import Case
from hoopwright.case.read import read_case
from hoopwright.checks import CHECKS, Margin, evidence_of
from hoopwright.checks.press_force import press_force
from hoopwright.fem import FrictionSolver, Resolution
from hoopwright.fit import Governing
from hoopwright.state import (
    Clamping,
    FrictionPath,
    State,
    being_pushed,
    clamped,
    frictionless,
    let_go,
    pushing_frictions,
    warmed,
)
from hoopwright.study import CaseStudy

COARSE = Resolution(elements_through_wall=2)
TRIKE = Path(__file__).parents[1] / "cases" / "cargo_trike_crank_shell.toml"
COLD, WARM = -25.0, 25.0


def plain(**changed: float) -> Case:
    """The plain crank shell. changed: fields of [press]."""
    case = press_case()
    return replace(case, press=replace(case.press, **changed))


def at_rest(shift: float = 0.004) -> State:
    path = FrictionPath(
        0.1, 0.1, slipped_in=False, pressed_at=0.0, let_go=True, warmed=(COLD, 0.0), clamped=()
    )
    return State(shift, 0.0, 0.0, path, blank=False)


@cache
def study() -> CaseStudy:
    return CaseStudy(plain(), COARSE)


@pytest.mark.parametrize("kind", [State, FrictionPath])
def test_a_state_is_frozen_and_has_no_defaults(kind):
    made = at_rest() if kind is State else at_rest().path
    for field in fields(kind):
        assert field.default is MISSING
        assert field.default_factory is MISSING
        with pytest.raises(FrozenInstanceError):
            setattr(made, field.name, None)
    with pytest.raises(TypeError):
        kind()


def test_states_are_equal_by_value_and_serve_as_keys():
    one, other = at_rest(), at_rest()
    assert one is not other
    assert one == other
    assert {one: "found"}[other] == "found"
    assert len({one, other, frictionless(0.004, 0.0), at_rest(0.005)}) == 3


def test_shifts_that_differ_by_rounding_make_one_state():
    assert at_rest(0.1 + 0.2) == at_rest(0.3)
    assert at_rest(0.3 + 1e-8) != at_rest(0.3)


def test_a_path_ends_at_the_temperature_it_came_to_last():
    path = at_rest().path
    assert replace(path, pressed_at=7.0).temperature_rise == 0.0
    assert replace(path, pressed_at=7.0, warmed=()).temperature_rise == 7.0
    assert replace(path, warmed=(WARM, COLD)).temperature_rise == COLD
    tightened = replace(path, clamped=(Clamping(WARM, 8e3), Clamping(COLD, 6e3)))
    assert (tightened.temperature_rise, tightened.tension) == (COLD, 6e3)
    assert path.tension == 0.0


def test_a_study_solves_each_state_once_on_each_mesh():
    found = study()
    fit = found.at(at_rest())
    assert found.at(at_rest()) is fit
    assert found.at(at_rest(0.005)) is not fit
    assert fit.finest is fit.on(0)
    assert fit.coarsest is fit.solutions[-1]
    assert found.fits([at_rest(), frictionless(0.0, 0.0)]).fits[0] is fit


def test_a_longer_path_begins_where_a_shorter_one_has_ended():
    mesh = study().fine
    path = FrictionPath(0.1, 0.1, slipped_in=False, pressed_at=0.0, let_go=True, warmed=(COLD,), clamped=())
    with mock.patch.object(
        FrictionSolver, "follow", autospec=True, side_effect=FrictionSolver.follow
    ) as run:
        for warmed_to in ((COLD,), (COLD, WARM), (COLD, 0.0)):
            mesh.moment(0.0071, replace(path, warmed=warmed_to))
    assert run.call_count == 4  # let go, and one for every temperature


def test_pushing_takes_low_friction_and_high_friction_as_it_is_to_restart():
    case = plain(restart_ratio=1.5)
    assert pushing_frictions(case) == pytest.approx((0.1, 0.3))
    pushed, path = being_pushed(case, 0.002, 0.3), at_rest().path
    assert pushed == State(
        0.002, 0.0, 0.0, replace(path, friction=0.3, pushed_with=0.3, let_go=False, warmed=()), blank=False
    )
    assert pushed.friction_text == "being pushed, μ = 0.3"


def test_let_go_on_the_bench_it_has_slid_home_at_low_or_at_high_friction():
    states = let_go(plain(restart_ratio=1.5, temperature_rise_K=10.0), 0.002)
    home = replace(at_rest().path, pressed_at=10.0, warmed=())
    paths = [replace(home, friction=mu, pushed_with=mu) for mu in (0.1, 0.2)]
    home_at = (State(0.002, 10.0, 0.0, path, blank=False) for path in paths)
    assert states == (frictionless(0.002, 10.0), *home_at)
    assert [s.friction_text for s in states] == ["frictionless", "μ = 0.1", "μ = 0.2"]


@pytest.mark.parametrize("before", [(), (150.0, 0.0)])
def test_temperatures_are_gone_through_twice(before):
    rounds = (COLD, WARM, 0.0, COLD, 0.0, WARM)
    states = warmed(plain(), 0.0, (COLD, WARM), first=before)
    free = [s for s in states if s.path is None]
    assert [s.temperature_rise for s in free] == [COLD, WARM, 0.0]
    for friction in (0.1, 0.2):
        paths = [s.path for s in states if s.path and s.path.friction == friction]
        assert [p.warmed for p in paths] == [(*before, *rounds[: k + 1]) for k in range(len(rounds))]
    assert all(s.path is None or s.temperature_rise == s.path.warmed[-1] for s in states)


def test_cups_are_tightened_on_the_bench_and_taken_twice_through_the_temperatures():
    """Each temperature has a tension of its own."""
    tensions = {0.0: 8e3, COLD: 6e3, WARM: 9e3}
    states = clamped(plain(), 0.0, tensions)
    free = [s for s in states if s.path is None]
    assert {s.temperature_rise: s.tension for s in free} == tensions
    order = [Clamping(rise, tensions[rise]) for rise in (0.0, COLD, WARM, 0.0, COLD, 0.0, WARM)]
    for friction in (0.1, 0.2):
        paths = [s.path for s in states if s.path and s.path.friction == friction]
        assert [list(p.clamped) for p in paths] == [order[: k + 1] for k in range(len(order))]
    assert all(s.path is None or (s.temperature_rise, s.tension) == s.path.clamped[-1] for s in states)
    assert all(s.tension == tensions[s.temperature_rise] for s in states)


@pytest.mark.parametrize("shell", ["6061-T6", "4130 steel"])
def test_going_through_the_temperatures_a_third_time_repeats_the_second(shell):
    """Why twice is enough: what the first round has shifted stays shifted."""
    case, stops = press_case(shell=shell), (COLD, WARM, 0.0)
    mesh = CaseStudy(case, COARSE).fine.meshed_joint
    at_rest = [s for s in Paths(case, mesh, 0.0).at_rest(*(3 * stops)) if s.friction]
    stress = np.array([[s.von_mises(body) for body in ("sleeve", "shell")] for s in at_rest])
    rounds = stress.reshape(2, 10, 2)[:, 1:].reshape(2, 3, len(stops), 2)  # by friction; let go left out
    first, second, third = rounds.swapaxes(0, 1)
    assert third == pytest.approx(second, rel=1e-5)
    assert np.max(np.abs(second / first - 1.0)) > 2e-3


def margins(case: Case) -> list[Margin]:
    evidence = evidence_of(case, CaseStudy(case, COARSE))
    return [check(evidence) for check in CHECKS]


def loaded() -> Case:
    """The plain crank shell with something to hold, a press to press it in, and a range of temperature."""
    return press_case(
        press='capacity = "40 kN"',
        extra='[demand]\naxial_force = "1 kN"\ntorque = "20 N*m"\n'
        '[temperatures]\nuse_least = "-10 degC"\nuse_most = "45 degC"\noven = "190 degC"\n',
    )


def stepped() -> Case:
    """A crank shell in service whose second land has so little interference that warmth opens it."""
    lands = "".join(
        f'[[sleeve.outside]]\nfrom = "{a} mm"\nto = "{b} mm"\ndiameter = "{d} mm"\n'
        for a, b, d in ((0, 36.5, 39.04), (36.5, 73, 39.01))
    )
    return case_of(
        edited(CRANK, ('outside_diameter = "39.04 mm"\nbore', "bore"), ("[fit]\n", f"{lands}[fit]\n"))
    )


PARTS = {"plain crank shell": loaded, "trike": lambda: read_case(TRIKE), "stepped crank shell": stepped}


@pytest.mark.parametrize(
    "parts",
    [
        "plain crank shell",
        pytest.param("trike", marks=pytest.mark.slow),
        "stepped crank shell",
    ],
)
def test_the_temperature_of_the_sizes_changes_no_row(parts):
    case = PARTS[parts]()
    at_20, at_70 = (
        margins(replace(case, fit=replace(case.fit, temperature_rise_K=rise))) for rise in (0.0, 50.0)
    )
    assert sum(m.margin is not None for m in at_20) >= 9
    assert at_70 == at_20


@pytest.mark.parametrize("parts", PARTS)
def test_the_temperature_of_the_bench_changes_the_force_to_press_in(parts):
    """Steel in aluminium: the warmer, the less interference is left."""
    case = PARTS[parts]()
    forces = []
    for rise in (0.0, 25.0, 50.0):
        warm = replace(case, press=replace(case.press, temperature_rise_K=rise))
        forces.append(press_force(evidence_of(warm, CaseStudy(warm, COARSE))).demand.value)
    assert forces[0] > 1.1 * forces[1] > 1.1 * 1.1 * forces[2]


@pytest.mark.parametrize("rise", [0.0, 25.0, 50.0])
def test_the_force_to_press_in_on_a_warm_bench_is_the_closed_form(rise):
    """Greatest interference, 40 + 6.58 µm, less d Δα ΔT; high friction as it is to restart."""
    case = plain(temperature_rise_K=rise)
    study = CaseStudy(case, COARSE)
    sleeve, shell = case.sleeve_material, case.shell_material
    left = 0.040 + study.interference_half_width - 39.0 * (shell.expansion - sleeve.expansion) * rise
    force = sliding_force(
        length=73.0,
        friction=0.2 * case.press.restart_ratio,
        radial_interference=0.5 * left,
        sleeve_bore_radius=17.45,
        interface_radius=19.5,
        shell_outer_radius=22.0,
        sleeve=(sleeve.young_modulus, sleeve.poisson_ratio),
        shell=(shell.young_modulus, shell.poisson_ratio),
        pushed=True,
    )
    assert press_force(evidence_of(case, study)).demand.value == pytest.approx(force, rel=2e-3)


def test_of_many_states_alike_the_same_governs_when_it_is_asked_for_again():
    """More of them than are looked at again."""
    states = [(f"state {k}", k) for k in range(12)]
    governing = Governing()
    first, again = (governing.pick("row", states, lambda k: 1.0 + 1e-6 * k) for _ in range(2))
    assert first == again == 0
