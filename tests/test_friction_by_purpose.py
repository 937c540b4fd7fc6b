"""Friction while a sleeve is pressed in, and friction of the joint from then on."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from cells import Rows
from fem_models import COARSE
from press_cases import press_case

from hoopwright.case import CaseError
from hoopwright.case.model import Case
from hoopwright.checks import evidence_of
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.inference import infer_fit
from hoopwright.state import FrictionPath, State, let_go
from hoopwright.study import CaseStudy

HELD = '\n[demand]\naxial_force = "3 kN"\ntorque = "30 N*m"'


def fit(low, high):
    return f"friction_low = {low}\nfriction_high = {high}"


def case(holding=(0.1, 0.2), pressing="", **more) -> Case:
    return press_case(fit=fit(*holding), press=f'capacity = "100 kN"\n{pressing}', extra=HELD, **more)


GREASED = fit(0.05, 0.08)


@cache
def rows(holding=(0.1, 0.2), pressing="") -> Rows:
    given = case(holding, pressing)
    return Rows(evidence_of(given, CaseStudy(given, COARSE)))


def test_the_press_meets_the_friction_of_pressing_and_the_grip_counts_on_that_of_the_joint():
    both, greased, dry = rows(pressing=GREASED), rows((0.05, 0.08)), rows()
    assert both["press_force"].demand.value == pytest.approx(greased["press_force"].demand.value, rel=1e-9)
    assert both["pushed_out"].capacity.value == pytest.approx(dry["pushed_out"].capacity.value, rel=1e-9)
    # what turning meets is the pressure at rest, on which the way it was pressed leaves its mark
    assert both["turned"].capacity.value == pytest.approx(dry["turned"].capacity.value, rel=0.03)
    assert dry["press_force"].demand.value > 2.0 * greased["press_force"].demand.value
    assert dry["pushed_out"].capacity.value > 1.8 * greased["pushed_out"].capacity.value


def test_ends_are_crushed_by_the_friction_of_pressing():
    both, greased = rows(pressing=GREASED), rows((0.05, 0.08))
    assert both["ends_crush"].demand.value == pytest.approx(greased["ends_crush"].demand.value, rel=1e-9)


@cache
def study() -> CaseStudy:
    return CaseStudy(case(), COARSE)


def rest(pushed_with, friction) -> State:
    path = FrictionPath(
        friction, pushed_with, slipped_in=False, pressed_at=0.0, let_go=True, warmed=(), clamped=()
    )
    return State(0.0, 0.0, 0.0, path, blank=False)


@pytest.mark.parametrize(("pushed_with", "friction"), [(0.2, 0.05), (0.05, 0.2), (0.3, 0.01)])
def test_friction_at_rest_is_within_what_the_joint_has_then(pushed_with, friction):
    """Pressed dry and oiled afterwards the seat gives way until it carries what is left."""
    found = study().fine.moment(0.0, rest(pushed_with, friction).path).state
    assert np.all(np.abs(found.along) <= friction * found.normal * (1.0 + 1e-6) + 1e-9)
    assert np.sum(found.along) == pytest.approx(0.0, abs=1e-6 * np.sum(found.normal))


def test_friction_that_rises_after_pressing_moves_nothing():
    """A seat greased as it is pressed, and dry then, stays as it was left."""
    greased, dry, always_dry = (
        study().fine.moment(0.0, rest(*mu).path).state.normal
        for mu in ((0.05, 0.05), (0.05, 0.3), (0.3, 0.3))
    )
    assert dry == pytest.approx(greased, rel=1e-9, abs=1e-9 * greased.max())
    assert np.max(np.abs(always_dry - greased)) > 0.02 * greased.max()


def test_a_joint_that_keeps_no_friction_ends_without_any():
    """However it was pressed: vibration takes the friction, and Lamé's state without friction is left."""
    none = study().fine.moment(0.0, rest(0.25, 1e-6).path).normal_force
    free = study().fine.frictionless_force(0.0, 0.0, 0.0, np.full(study().fine.profile.shape, True))
    held = study().fine.moment(0.0, rest(0.25, 0.25).path).normal_force
    assert none == pytest.approx(free, rel=1e-5)
    assert abs(held / free - 1.0) > 5e-3


def test_the_joint_at_rest_is_judged_for_each_friction_after_each_of_pressing():
    paths = [s.path for s in let_go(case(pressing=GREASED), 0.0) if s.path]
    assert {(p.pushed_with, p.friction) for p in paths} == {
        (pushed, held) for pushed in (0.05, 0.08) for held in (0.1, 0.2)
    }
    alike = [s.path for s in let_go(case(), 0.0) if s.path]
    assert {(p.pushed_with, p.friction) for p in alike} == {(0.1, 0.1), (0.2, 0.2)}


def test_what_the_press_read_says_nothing_of_a_joint_with_a_friction_of_its_own():
    read = '\nobserved_peak = "6 kN"'
    own = case((0.12, 0.2), f"{fit(0.05, 0.12)}{read}")
    found = infer_fit(own, CaseStudy(own, COARSE), case_force_travel(CaseStudy(own, COARSE)))
    assert found.posterior is not None
    assert found.posterior.friction.high <= 0.12
    held = next(m for m in found.margins if m.id == "pushed_out")
    assert held.when.friction == "μ = 0.12"


@pytest.mark.parametrize(
    ("pressing", "said"),
    [
        (
            fit(0.12, 0.08),
            "[press] friction_low = 0.12: friction in pressing would lie between 0.12",
        ),
        ("friction_high = 0.05", "[press] friction_high"),
        (
            "friction_likely = 0.3",
            "[press] friction_likely = 0.3: outside the range",
        ),
    ],
)
def test_a_range_upside_down_is_a_fault(pressing, said):
    with pytest.raises(CaseError) as caught:
        case(pressing=pressing)
    assert said in str(caught.value)


def test_degreased_faces_are_for_sleeves_that_slip_in():
    heading, fit_table = '[preset]\nlubrication = "shrunk and degreased"', 'temperature = "20 degC"'
    with pytest.raises(CaseError) as caught:
        press_case(heading=heading, fit=fit_table)
    assert 'holds only for a sleeve put in by [press] method = "heat"' in str(caught.value)
    hot = 'method = "heat"\n[press.heat]\nshell_most = "150 degC"'
    slipped = press_case(heading=heading, fit=fit_table, press=hot)
    assert (slipped.fit.friction_low, slipped.fit.friction_high) == (0.10, 0.15)
