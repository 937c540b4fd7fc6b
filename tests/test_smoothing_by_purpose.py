"""Roughness is flattened the most where the joint must hold, and the least where metal bears stress."""

from __future__ import annotations

from functools import cache

import pytest
from fem_models import COARSE
from press_cases import press_case

from hoopwright.case import CaseError
from hoopwright.checks import evidence_of, judged
from hoopwright.checks.holding import pushed_out
from hoopwright.checks.yields import shell_yields
from hoopwright.document.size import window_part
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.sizing.window import CheckCache, window_of
from hoopwright.study import CaseStudy

ROUGH = 'friction_low = 0.1\nfriction_high = 0.2\nroughness_bore = "4 um"\nroughness_sleeve = "6 um"'
DEMAND = '\n[demand]\naxial_force = "3 kN"\ntorque = "30 N*m"'
GREATEST_LOSS, LEAST_LOSS = 0.008, 0.004  # mm: 0.8 and 0.4 of 4 + 6 µm on diameter


def outside(diameter):
    return f'outside_diameter = "{diameter:.4f} mm"\noutside_plus_minus = "4 um"'


def case(diameter=39.060, fit="friction_low = 0.1\nfriction_high = 0.2"):
    return press_case(
        outside=outside(diameter), fit=fit, press='capacity = "100 kN"', extra=DEMAND, shell="6061-T6"
    )


@cache
def rows(diameter=39.060, *, rough=False):
    given = case(diameter, ROUGH) if rough else case(diameter)
    return {row.id: row for row in judged(evidence_of(given, CaseStudy(given, COARSE)))}


@pytest.mark.parametrize("name", ["pushed_out", "turned", "slips_combined", "stays_tight"])
def test_what_holds_is_judged_as_on_a_smooth_sleeve_smaller_by_all_of_it(name):
    """8 µm of 60 are gone: the grip is that of smooth parts with 52, but for 0.02 % of the diameter."""
    found, smooth = rows(rough=True)[name], rows(39.060 - GREATEST_LOSS)[name]
    assert found.capacity.value == pytest.approx(smooth.capacity.value, rel=1e-3)
    assert found.demand.value == pytest.approx(smooth.demand.value, rel=1e-3)


@pytest.mark.parametrize(
    "name", ["shell_yields", "sleeve_yields", "press_force", "sleeve_buckles", "ends_crush"]
)
def test_stress_force_and_buckling_are_those_of_a_smooth_sleeve_smaller_by_the_least(name):
    found, smooth = rows(rough=True)[name], rows(39.060 - LEAST_LOSS)[name]
    assert found.demand.value == pytest.approx(smooth.demand.value, rel=2e-3)
    assert found.demand.value > 1.03 * rows(39.060 - GREATEST_LOSS)[name].demand.value


def window(given):
    cache = CheckCache(given, CaseStudy(given, COARSE), (pushed_out, shell_yields))
    return window_of(cache)


def test_the_window_is_of_sizes_as_measured():
    """Sizes of rough parts must differ by the most more at its lower end, where the grip fails, and by the
    least more at its upper one, where metal yields."""
    rough, smooth = window_part(window(case(fit=ROUGH))), window_part(window(case()))
    low, high = (
        [part[end]["measured_interference_um"] for part in (rough, smooth)] for end in ("least", "greatest")
    )
    assert low[0] - low[1] == pytest.approx(1e3 * GREATEST_LOSS, abs=0.15)
    assert high[0] - high[1] == pytest.approx(1e3 * LEAST_LOSS, abs=0.15)
    assert rough["least"]["measured_interference_um"] == pytest.approx(
        rough["least"]["effective_interference_um"] + 1e3 * GREATEST_LOSS
    )


def test_the_stop_line_is_that_of_the_tighter_joint():
    def stop(given):
        return case_force_travel(CaseStudy(given, COARSE)).peak

    rough, loose, tight = (
        stop(case(fit=ROUGH)),
        stop(case(39.060 - GREATEST_LOSS)),
        stop(case(39.060 - LEAST_LOSS)),
    )
    assert rough[2] == pytest.approx(tight[2], rel=1e-3)
    assert rough[0] == pytest.approx(loose[0], rel=1e-3)


def test_the_least_cannot_be_above_the_other():
    with pytest.raises(CaseError, match=r"\[fit\] least_smoothing = 0.9: above smoothing = 0.8"):
        case(fit=f"{ROUGH}\nleast_smoothing = 0.9")
    assert case(fit=f"{ROUGH}\nsmoothing = 0.3").smoothing_spread_mm == 0.0
