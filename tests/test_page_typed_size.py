"""A reading as it is typed: whole, or off the ring of a dial. What may mean two things is none."""

from __future__ import annotations

import pytest

from hoopwright.page.typed_size import TypedError, Way, size_of

DIAL = Way("mm", "um", "41.000 mm")
TENTHS = Way("in", "tenth", "1.6142 in")


@pytest.mark.parametrize(
    ("typed", "way", "number", "unit"),
    [
        ("41.003", Way("mm"), "41.003", "mm"),
        ("1.6142", Way("in"), "1.6142", "in"),
        ("1.6142 in", Way("mm"), "1.6142", "in"),
        ("1 5/8 in", Way("in"), "1.625", "in"),
        ("+1", DIAL, "41.001", "mm"),
        ("−2.5", DIAL, "40.9975", "mm"),
        ("0", DIAL, "41.000", "mm"),
        ("0.5 thou", DIAL, "41.012700", "mm"),
        ("41.003 mm", DIAL, "41.003", "mm"),
        ("+0.5", TENTHS, "1.61425", "in"),
        ("-1.2 thou", TENTHS, "1.6130", "in"),
        ("+3 um", TENTHS, "1.61431811", "in"),
        ("1.6150 in", TENTHS, "1.6150", "in"),
    ],
)
def test_what_is_typed_is_a_size(typed, way, number, unit):
    size = size_of(typed, way, expected=41.0)
    assert (size.unit, float(size.number)) == (unit, pytest.approx(float(number), abs=1e-9))
    if "thou" not in typed:
        assert size.number == number


@pytest.mark.parametrize(
    ("typed", "way", "words"),
    [
        ("41,003", Way("mm"), "comma"),
        ("41,003", DIAL, "comma"),
        ("+1", Way("mm"), "which ring"),
        ("41.003", DIAL, "may be the whole size or the dial"),
        ("1.6142", TENTHS, "may be the whole size or the dial"),
        ("1.001", Way("mm"), "far from the size"),
        ("0", Way("mm"), "above zero"),
        ("-42 mm", DIAL, "sign"),
        ("", DIAL, "nothing typed"),
        ("+1", Way("mm", "um", fault="the size of the ring is wanted"), "ring is wanted"),
        ("41.003 N", Way("mm"), "not a length"),
        ("<b>41</b>", DIAL, "does not start with a number"),
        ("9" * 70, Way("mm"), "longer than"),
        ("9" * 33, DIAL, "beyond 5 m"),
    ],
)
def test_what_may_mean_two_things_is_no_size(typed, way, words):
    with pytest.raises(TypedError, match=words):
        size_of(typed, way, expected=41.0)
