"""The size to aim for in a band, against cutting simulated part by part."""

import numpy as np
import pytest

from hoopwright.sizing.aim import chances, with_aims
from hoopwright.sizing.band import Band, BandEnd

GROWTH = 1.0 + 48e-6
"""What a part at the machine reads larger, as a factor."""


def band(low, high, *, index=0, units="metric", ends=()):
    return Band(index, 0.0, 20.0, low, high, low * GROWTH, high * GROWTH, 0.004, units, 0.001, ends=ends)


def cut_until_done(rng, low, high, aim, cut, scatter, count=20_000):
    """Sizes after as many cuts as each part allows: all come out inside, or beyond the limit without
    metal."""
    size = aim + scatter * rng.standard_normal(count)
    for _ in range(200):
        spare = size > high if cut == "sleeve" else size < low
        if not spare.any():
            break
        size[spare] = aim + scatter * rng.standard_normal(int(spare.sum()))
    return size


@pytest.mark.parametrize("cut", ["sleeve", "shell"])
@pytest.mark.parametrize("width", [0.024, 0.012, 0.004])
def test_chance_of_ending_inside_is_that_of_parts_cut_one_by_one(cut, width):
    low, high, scatter = 41.020, 41.020 + width, 0.004
    (found,) = with_aims([band(low, high)], cut, scatter)
    aim = found.shop_aim / GROWTH
    sizes = cut_until_done(np.random.default_rng(6), low, high, aim, cut, scatter)
    inside = np.mean((sizes >= low) & (sizes <= high))
    assert found.chance == pytest.approx(inside, abs=0.006)
    first = aim + scatter * np.random.default_rng(7).standard_normal(20_000)
    assert found.first_chance == pytest.approx(np.mean((first >= low) & (first <= high)), abs=0.012)


def test_a_wide_band_is_aimed_at_in_the_middle_and_a_narrow_one_towards_the_side_with_metal():
    """Two scatters of 4 µm from the limit that cannot be undone: the lower of a sleeve, the upper of a
    bore."""
    (wide,) = with_aims([band(41.020, 41.040)], "sleeve", 0.004)
    assert wide.aim == pytest.approx(41.030)
    for cut, aim in (("sleeve", 41.028), ("shell", 41.024)):
        (narrow,) = with_aims([band(41.020, 41.032)], cut, 0.004)
        assert narrow.aim == pytest.approx(aim)
        (slit,) = with_aims([band(41.020, 41.023)], cut, 0.004)
        assert slit.aim == pytest.approx(41.023 if cut == "sleeve" else 41.020)  # not outside the band


def test_an_aim_off_the_middle_ends_inside_more_often():
    for cut in ("sleeve", "shell"):
        (found,) = with_aims([band(41.020, 41.032)], cut, 0.004)
        assert found.chance > chances(41.020, 41.032, 41.026, cut, 0.004)[1] + 0.02


def test_the_aim_lies_on_a_step_of_the_micrometer_at_both_temperatures():
    (metric,) = with_aims([band(41.0202, 41.0398)], "sleeve", 0.0)
    assert (metric.aim, metric.shop_aim) == (pytest.approx(41.030), pytest.approx(41.032))  # 41.03 · 48e-6
    assert (metric.chance, metric.first_chance) == (1.0, 1.0)
    (inch,) = with_aims([band(41.0202, 41.0398, units="inch")], "sleeve", 0.004)
    for size, low, high in (
        (inch.aim, 41.0202, 41.0398),
        (inch.shop_aim, 41.0202 * GROWTH, 41.0398 * GROWTH),
    ):
        assert size / 25.4 / 0.0001 == pytest.approx(round(size / 25.4 / 0.0001), abs=1e-6)
        assert low <= size <= high


def test_lands_are_rounded_alike_so_that_no_step_comes_of_it():
    """Middles of 41.0304 and 41.0106: to the nearest both ways it would be 41.030 and 41.011."""
    found = with_aims([band(41.0204, 41.0404), band(41.0006, 41.0206, index=1)], "sleeve", 0.004)
    off = [b.aim - 0.5 * (b.low + b.high) for b in found]
    assert max(off) - min(off) < 0.0005


def test_no_aim_where_the_gauge_can_show_no_size_of_the_band():
    (found,) = with_aims([band(41.0202, 41.0208)], "sleeve", 0.004)
    assert (found.aim, found.shop_aim, found.chance) == (None, None, None)


def test_each_end_of_a_tapered_land_has_an_aim_of_its_own():
    ends = tuple(
        BandEnd(z, 41.020 + d, 41.040 + d, (41.020 + d) * GROWTH, (41.040 + d) * GROWTH)
        for z, d in ((0.0, -0.010), (20.0, 0.010))
    )
    (found,) = with_aims([band(41.020, 41.040, ends=ends)], "sleeve", 0.004)
    assert [e.aim for e in found.ends] == pytest.approx([41.020, 41.040])
