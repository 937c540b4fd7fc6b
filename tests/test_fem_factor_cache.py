"""Cached contact systems: found by contact set, evicted by last use, bounded by their unknowns."""

from dataclasses import dataclass

import numpy as np
import pytest

from hoopwright.fem.factor_cache import MIN_CACHED, FactorCache

PAIRS = 6


@dataclass(frozen=True, eq=False)
class System:
    closed: np.ndarray
    held: np.ndarray
    unknowns: int = 10


def pairs(*which: int) -> np.ndarray:
    return np.isin(np.arange(PAIRS), which)


def system(*closed: int, held: tuple[int, ...] = (), unknowns: int = 10) -> System:
    return System(pairs(*closed), pairs(*held), unknowns)


def filled(*systems: System, **limits: int) -> FactorCache[System]:
    cache = FactorCache(**limits)
    for one in systems:
        cache.add(one)
    return cache


def test_a_contact_set_is_found_again():
    one, other = system(0, 1, 2), system(3, 4)
    cache = filled(one, other)
    assert cache.superset_of(pairs(0, 1, 2), pairs()) is one
    assert cache.superset_of(pairs(3, 4), pairs()) is other


def test_a_set_with_a_few_more_pairs_closed_serves_too():
    cache = filled(system(0, 1, 2, 3, 4), max_released=2)
    assert cache.superset_of(pairs(0, 1, 2), pairs()) is not None
    assert cache.superset_of(pairs(0, 1), pairs()) is None


def test_the_smallest_set_that_serves_is_preferred():
    wide, near = system(0, 1, 2, 3, 4), system(0, 1, 2)
    for order in ((wide, near), (near, wide)):
        assert filled(*order).superset_of(pairs(0, 1), pairs()) is near


def test_a_set_with_a_pair_less_closed_does_not_serve():
    assert filled(system(0, 1)).superset_of(pairs(0, 1, 2), pairs()) is None


@pytest.mark.parametrize("held", [(), (0,), (0, 1, 2)])
def test_a_set_with_other_pairs_held_does_not_serve(held):
    assert filled(system(0, 1, held=(0, 1))).superset_of(pairs(0, 1), pairs(*held)) is None


def test_the_least_recently_used_set_is_evicted_first():
    one, two, three = system(0), system(1), system(2)
    cache = filled(one, two, three, max_unknowns=30)
    cache.superset_of(pairs(0), pairs())
    four = system(3)
    cache.add(four)
    assert list(cache) == [three, one, four]


def test_all_sets_together_stay_within_the_limit_of_unknowns():
    cache: FactorCache[System] = FactorCache(max_unknowns=35)
    for k in range(PAIRS):
        cache.add(system(k, unknowns=10))
        assert len(cache) == min(k + 1, 3)
    cache.add(system(0, 1, unknowns=25))
    assert [one.unknowns for one in cache] == [10, 25]


def test_two_sets_stay_however_large_they_are():
    cache = filled(*(system(k, unknowns=100) for k in range(PAIRS)), max_unknowns=50)
    assert len(cache) == MIN_CACHED == 2
