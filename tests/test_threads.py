"""Standard threads against published sizes: 1.370 in (ISO 6696: 1.375 in) x 24 tpi with a minor diameter
of 33.6 to 33.9 mm, 36 mm x 24 tpi with 34.6 to 34.9 mm, and 35 x 1 mm."""

from __future__ import annotations

import pytest

from hoopwright.geometry.thread import STANDARD_THREADS, basic_minor, thread_by_designation


@pytest.mark.parametrize(
    ("text", "major", "pitch", "minor_low", "minor_high", "left_hand"),
    [
        ("1.370 in x 24 tpi right", 34.798, 25.4 / 24, 33.6, 33.9, False),
        ("1.370 in x 24 tpi left", 34.798, 25.4 / 24, 33.6, 33.9, True),
        ("1.375 in x 24 tpi left", 34.925, 25.4 / 24, 33.6, 33.9, True),
        ("36 mm x 24 tpi right", 36.0, 25.4 / 24, 34.6, 34.9, False),
        ("35 mm x 1 mm right", 35.0, 1.0, 33.9, 34.0, False),
    ],
)
def test_standard_thread_has_the_published_sizes(text, major, pitch, minor_low, minor_high, left_hand):
    thread = thread_by_designation(text)
    assert thread.designation == text
    assert thread.major == pytest.approx(major, abs=1e-9)
    assert thread.pitch == pytest.approx(pitch, rel=1e-12)
    assert minor_low <= thread.minor <= minor_high
    assert thread.left_hand is left_hand


def test_basic_minor_agrees_with_the_metric_series():
    # M10 x 1.5 has D1 = 8.376 mm and M20 x 2.5 has 17.294 mm: ISO 724, from memory, not seen.
    assert basic_minor(major=10.0, pitch=1.5) == pytest.approx(8.376, abs=5e-4)
    assert basic_minor(major=20.0, pitch=2.5) == pytest.approx(17.294, abs=5e-4)


@pytest.mark.parametrize(
    "text", ["1.37 in x 24 right", "1.37x24 RH", " 1.370 IN × 24 TPI Right ", "1.370 x 24 right"]
)
def test_every_spelling_of_a_designation_gives_the_same_thread(text):
    assert thread_by_designation(text) is not None
    assert thread_by_designation(text) == STANDARD_THREADS["1.370 in x 24 tpi right"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "1.37 in x 25",
        "1.37 mm x 24 right",
        "1-3/0 x 24 left",
        "36 mm x 24 tpi left",
        "1.38 in x 24 right",
        "x" * 500,
    ],
)
def test_unknown_thread_lists_the_known_ones(text):
    with pytest.raises(ValueError, match=r"known are .1\.370 in x 24 tpi right.*36 mm x 24 tpi right"):
        thread_by_designation(text)


@pytest.mark.parametrize("text", ["1-3/8 x 24 left", "1 3/8 in x 24 tpi LH"])
def test_a_size_may_be_a_fraction_of_an_inch(text):
    assert thread_by_designation(text) == STANDARD_THREADS["1.375 in x 24 tpi left"]


def test_a_thread_without_its_hand_asks_for_it():
    with pytest.raises(ValueError, match=r'write "1-3/8 x 24 right" or "1-3/8 x 24 left"'):
        thread_by_designation("1-3/8 x 24")


def test_every_designation_gives_its_own_thread():
    for name, thread in STANDARD_THREADS.items():
        assert thread_by_designation(name) == thread
