"""Numbers, intervals and states as a person reads them, in either system of units."""

import pytest

from hoopwright.display import Units, flagged_margin, percent_text, state_cell, state_text
from hoopwright.display.rows import error_text, lame_difference, place_text, window_text

METRIC, INCH = Units(), Units("inch")


def test_an_interval_carries_its_unit_once():
    assert METRIC.span(31.74, 40.16, "um") == "31.7 to 40.2 µm"
    assert INCH.span(25.4, 50.8, "um") == "1.00 to 2.00 thou"
    ends = {
        key: {"measured_interference_um": value} for key, value in (("least", 30.0), ("greatest", 46.0))
    }
    assert window_text(ends, METRIC) == "30.0 to 46.0 µm"


def test_a_stretch_of_the_axis_is_no_finer_than_a_rule():
    assert METRIC.along_span(0.0, 41.53) == "0.0 to 41.5 mm"
    assert INCH.along_span(0.0, 25.4) == "0.00 to 1.00 in"
    assert place_text({"z_mm": 80.64, "theta_deg": 195.0}, METRIC) == "z 80.6 mm, 195°"
    assert place_text({"z_mm": None}, METRIC) == ""


def test_a_measured_diameter_has_one_decimal_more_than_a_size():
    for units in (METRIC, INCH):
        decimals = [
            len(t.split()[0].partition(".")[2])
            for t in (units.text(41.0, "mm"), units.measured_diameter(41.0))
        ]
        assert decimals[1] == decimals[0] + 1


@pytest.mark.parametrize(
    ("value", "unit", "metric", "inch"),
    [
        (0.0139, "MPa", "0.0139 MPa", "0.00202 ksi"),
        (0.00002, "MPa", "< 0.0001 MPa", "< 0.00001 ksi"),
        (12.4, "MPa", "12 MPa", "1.79847 ksi"),
        (0.0123, "", "0.012", "0.012"),
        (0.0001, "", "< 0.001", "< 0.001"),
    ],
)
def test_a_numerical_error_is_never_shown_as_zero(value, unit, metric, inch):
    assert (METRIC.error(value, unit), INCH.error(value, unit)) == (metric, inch)


def test_a_margin_without_demand_shows_no_error():
    assert error_text({"margin": None, "numerical_error": 0.0}, METRIC) == ""


def test_a_value_too_small_to_show_has_no_minus_sign():
    assert METRIC.text(-0.01, "um") == "0.0 µm"
    assert METRIC.number(-0.4, "N") == "0"
    assert METRIC.temperature(-0.3) == "0 °C"
    assert METRIC.number(-0.06, "um") == "-0.1"


def test_no_person_reads_the_word_that_machines_read():
    assert [f("unresolved") for f in (state_text, state_cell)] == ["undecided", "undecided"]
    assert (state_text("fails"), state_cell("fails")) == ("fails", "FAILS")
    cells = [(0.12, "unresolved"), (-0.3, "fails"), (float("inf"), "holds"), (None, "holds")]
    assert [flagged_margin(*c) for c in cells] == ["+0.12 undecided", "-0.30 FAILS", "no loss", "no loss"]


def test_shares_and_differences_as_percentages():
    assert percent_text(0.9834) == "98.3 %"
    found = [lame_difference({"difference": d}) for d in (0.0176, -0.5, 12.0, None)]
    assert found == ["+1.760 %", "-50.000 %", "far apart", ""]


def test_a_quantity_in_both_systems_stands_in_that_of_the_reader_first():
    both = "from 12.7 to 25.4 mm (0.5 to 1.0 in) at 20 °C (68 °F)"
    other = "from 0.5 to 1.0 in (12.7 to 25.4 mm) at 68 °F (20 °C)"
    for text in (both, other):
        assert Units("metric").first(text) == both
        assert Units("inch").first(text) == other
