"""Limits of size of threads against printed tables."""

import pytest

from hoopwright.geometry.thread import Thread, ThreadLimits, thread_by_designation
from hoopwright.geometry.thread_limits import limits_of, medium_limits

# 6g: least and greatest major, greatest and least pitch diameter, mm; seen in a listing of ANSI/ASME
# B1.13M limits (scribd.com document 604040407). 6H: greatest pitch diameter seen in a tap maker's
# guide after UNI 4535-64; greatest minor diameter of ISO 965-2, from memory.
PRINTED = [
    (6.0, 1.00, 5.794, 5.974, 5.324, 5.212, 5.500, 5.153),
    (8.0, 1.25, 7.760, 7.972, 7.160, 7.042, 7.348, 6.912),
    (10.0, 1.50, 9.732, 9.968, 8.994, 8.862, 9.206, 8.676),
    (20.0, 2.50, 19.623, 19.958, 18.334, 18.164, 18.600, 17.744),
    (10.0, 0.75, 9.838, 9.978, 9.491, 9.391, 9.645, 9.378),
]


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: f"M{row[0]:g}x{row[1]:g}")
def test_formulae_give_the_printed_limits_of_metric_threads(row):
    size, pitch, major_min, major_max, pitch_max, pitch_min, internal_pitch, internal_minor = row
    limits = medium_limits(Thread("M", major=size, pitch=pitch, minor=size - pitch))
    external = (
        limits.external_major_min,
        limits.external_major_max,
        limits.external_pitch_max,
        limits.external_pitch_min,
    )
    # Tables are rounded to whole µm, and so are sums of rounded parts.
    assert external == pytest.approx((major_min, major_max, pitch_max, pitch_min), abs=1.5e-3)
    # Two of the ten internal tolerances in the table are one preferred number (6 %) above the nearest.
    for found, printed, least in (
        (limits.internal_pitch_max, internal_pitch, limits.internal_pitch_min),
        (limits.internal_minor_max, internal_minor, limits.internal_minor_min),
    ):
        assert -1.5e-3 <= printed - found <= 0.065 * (printed - least)


def test_cycle_thread_has_the_published_minor_and_cup_diameters():
    # 1.370 in x 24 tpi: minor published as 33.6 to 33.9 mm, cups as 34.6 to 34.9 mm.
    limits = limits_of(thread_by_designation("1.37 in x 24 right"))
    assert 33.6 <= limits.internal_minor_min < limits.internal_minor_max <= 33.9
    assert 34.55 <= limits.external_major_min < limits.external_major_max <= 34.9


def test_quality_medium_leaves_play_on_the_flanks_of_the_allowance_alone():
    # es of position g at pitch 1: 26 µm (ISO 965-1 table, from memory).
    limits = limits_of(thread_by_designation("35 mm x 1 mm right"))
    assert limits.min_clearance(limits.internal_pitch_min) == pytest.approx(0.026, abs=1e-9)


def test_stated_limits_take_precedence_over_the_formulae():
    own = ThreadLimits(34.1, 34.3, 33.6, 33.9, 33.9, 34.0, 34.5, 34.8)
    assert limits_of(Thread("own", major=34.8, pitch=1.0583, minor=33.7, limits=own)) is own


def test_limits_out_of_order_are_rejected():
    with pytest.raises(ValueError, match="internal_pitch"):
        ThreadLimits(34.3, 34.1, 33.6, 33.9, 33.9, 34.0, 34.5, 34.8)
    with pytest.raises(ValueError, match="larger than"):
        ThreadLimits(34.1, 34.3, 33.6, 34.6, 33.9, 34.0, 34.5, 34.8)
