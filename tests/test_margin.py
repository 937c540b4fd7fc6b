"""The arithmetic of a margin and its state."""

from dataclasses import replace
from math import inf

import pytest

from hoopwright.checks.margin import NO_GRIP, Location, Margin, row_of, worst_first, worst_of
from hoopwright.estimate import Estimate, QuantityKind, from_meshes
from hoopwright.fem.errors import SolveError


def margin(demand, capacity, *, factor=1.0, demand_error=0.0, capacity_error=0.0, doubt=""):
    return Margin(
        "id",
        "title",
        None if demand is None else Estimate(demand, demand_error),
        None if capacity is None else Estimate(capacity, capacity_error),
        "MPa",
        factor,
        Location("shell"),
        "basis",
        doubt=doubt,
    )


def test_margin_is_allowable_over_factored_demand_less_one():
    """Margin of safety as in airframe practice: MS = allowable / (FS × applied) − 1."""
    assert margin(100.0, 240.0, factor=1.2).margin == pytest.approx(1.0)
    assert margin(200.0, 240.0, factor=1.2).margin == pytest.approx(0.0)


def test_margin_within_its_numerical_error_of_zero_is_unresolved():
    assert margin(100.0, 101.0).state == "holds"
    assert margin(100.0, 101.0, demand_error=2.0).state == "unresolved"
    assert margin(100.0, 99.0, capacity_error=2.0).state == "unresolved"
    assert margin(100.0, 99.0).state == "fails"


def test_numerical_error_of_the_margin_follows_from_demand_and_capacity():
    whole = margin(100.0, 300.0, factor=1.5, demand_error=0.5, capacity_error=0.6)
    moved = [margin(99.5, 300.0, factor=1.5), margin(100.0, 300.6, factor=1.5)]
    each = [m.margin - whole.margin for m in moved]
    assert whole.numerical_error == pytest.approx((each[0] ** 2 + each[1] ** 2) ** 0.5, rel=0.02)
    alone = margin(100.0, 300.0, factor=1.5, demand_error=0.5)
    assert alone.numerical_error == pytest.approx(each[0], rel=0.02)


def test_a_doubted_margin_never_holds_but_may_fail():
    assert margin(100.0, 200.0, doubt="the joint opens").state == "unresolved"
    assert margin(300.0, 200.0, doubt="the joint opens").state == "fails"


def test_margin_without_demand_or_capacity_is_not_assessed():
    assert margin(None, 1.0).state == margin(1.0, None).state == "not assessed"


def test_no_margin_is_below_that_of_nothing_left():
    assert margin(100.0, -50.0).margin == margin(100.0, 0.0).margin == NO_GRIP == -1.0
    assert margin(100.0, -50.0).state == "fails"
    assert margin(inf, 100.0).margin == NO_GRIP
    assert margin(inf, 100.0).state == "fails"


def test_nothing_demanded_holds_only_where_there_is_a_capacity():
    assert margin(0.0, 10.0).margin == margin(-5.0, 10.0).margin == inf
    assert margin(0.0, 10.0).state == "holds"
    for capacity in (0.0, -5.0):
        assert margin(0.0, capacity).margin == NO_GRIP
        assert margin(0.0, capacity).state == "fails"


def test_the_excess_decides_with_the_root_sum_of_squares_of_both_errors():
    excess = margin(100.0, 300.0, factor=2.0, demand_error=1.5, capacity_error=4.0).excess
    assert (excess.value, excess.error) == (pytest.approx(100.0), pytest.approx(5.0))
    assert margin(None, 1.0).excess is None


@pytest.mark.parametrize("sides", [(float("nan"), 1.0), (1.0, float("nan"))])
def test_what_is_not_a_number_is_not_judged(sides):
    with pytest.raises(SolveError):
        margin(*sides)


def test_a_row_is_its_worst_cell_and_keeps_all_that_are_judged():
    pressed, cups, oven = (
        replace(margin(100.0, capacity), stage=stage)
        for capacity, stage in ((300.0, "pressed"), (150.0, "cups"), (None, "oven"))
    )
    row = row_of([pressed, cups, oven])
    assert (row.stage, row.margin) == ("cups", 0.5)
    assert row.cells == (pressed, cups)
    assert row_of([oven]).state == "not assessed"
    assert row_of([oven]).cells == ()


def test_the_least_margin_decides_and_a_doubt_about_any_cell_counts():
    close, doubted, failing = margin(100.0, 101.0), margin(100.0, 300.0, doubt="hot"), margin(100.0, 99.0)
    assert worst_of([close, doubted]).margin == close.margin
    assert worst_of([close, doubted]).state == "unresolved"
    assert worst_of([close, doubted, failing]).state == "fails"
    assert worst_of([margin(100.0, 200.0), close]) == close
    coarse = replace(margin(100.0, 103.0), capacity=Estimate(103.0, 5.0))
    assert worst_of([close, coarse]) == coarse  # its error could take it below the other


def test_margins_sort_worst_first_and_unassessed_last():
    good, bad, silent = margin(1.0, 3.0), margin(1.0, 0.5), margin(None, 1.0)
    assert worst_first((silent, good, bad)) == (bad, good, silent)


def test_the_error_estimate_is_the_larger_change_plus_a_floor():
    kind = QuantityKind(share=0.5, before=0.25, floor=0.01)
    settled, chance = from_meshes(10.0, 10.2, 9.8, kind=kind), from_meshes(10.0, 10.2, 9.0, kind=kind)
    assert settled.value == chance.value == 10.0
    assert settled.error == pytest.approx(0.5 * 0.2 + 0.01 * 10.0)
    assert chance.error == pytest.approx(0.5 * 0.25 * 1.2 + 0.01 * 10.0)


def test_two_meshes_that_agree_by_chance_do_not_make_the_error_vanish():
    assert from_meshes(10.0, 10.0, 10.1).error > 0.3 * from_meshes(10.0, 10.05, 10.1).error


def test_two_meshes_alone_give_a_larger_error_than_three_that_converge_as_usual():
    assert from_meshes(10.0, 10.1).error > 1.2 * from_meshes(10.0, 10.1, 10.3).error
