"""Step Press: what the gauge and the curve show is what the plan says, read back from the figures."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import svgs, with_class
from page_presses import AREA, HOME_MM, TEN_PSI, plan

from hoopwright.display import Units
from hoopwright.display.gauge import Gauge
from hoopwright.display.press_table import press_rows
from hoopwright.document.press_table import table_part
from hoopwright.page.figures import dial as dial_module
from hoopwright.page.figures import press_curve as curve_module
from hoopwright.page.figures.dial import Dial, Shown, dial_figure, value_at
from hoopwright.page.figures.press_curve import WIDE, Curve, Dot, press_curve, scales_of
from hoopwright.page.press_line import full_scale, press_line
from hoopwright.pressing.rule_marks import AtMark, marks

METRIC, INCH = Units("metric"), Units("inch")


@pytest.mark.parametrize(("unit", "division"), [("bar", 0.25), ("psi", TEN_PSI), ("MPa", 0.1)])
@pytest.mark.parametrize("units", [METRIC, INCH], ids=["metric", "inch"])
def test_marks_show_what_the_press_table_shows(unit, division, units):
    document = plan(unit, division)
    curve = document["force_against_travel"]
    line = press_line(document, units)
    rows = rounded(curve, units)
    shown = press_rows(curve | {"table": {units.system: rows}}, units)
    assert len(rows) > 5
    for row, travel in zip(shown, (row["travel_mm"] for row in rows), strict=True):
        at = line.at(travel)
        least, likely, stop = (cell.strip() for cell in row.gauge)
        assert (at.least_text, at.likely_text) == (least, likely)
        assert at.stop_text == stop.removesuffix("*")
        assert at.coarse == stop.endswith("*")


def rounded(curve, units):
    """The table of the plan as its document has it."""
    gauge = Gauge.of(curve["gauge_unit"], curve["gauge_division_MPa"])
    solved = {
        t: AtMark(t, t, 30.0 * t, 60.0 * t, 100.0 * t, 60.0 * t) for t in marks(HOME_MM, units.system)
    }
    return table_part(HOME_MM, solved, gauge, lambda force: force / AREA)[units.system]


def test_reading_is_above_from_the_division_past_the_stop_line_on():
    at = press_line(plan("bar", 0.2), METRIC).at(25.0)  # 25 bar, read on divisions of 2
    assert at.stop_text == "24"
    assert not at.is_above(24.0)
    assert at.is_above(26.0)
    assert at.is_above(25.0)  # between two divisions: above what the plate says,
    assert not at.is_surely_above(25.0)  # but not above the line itself
    assert not at.is_below(7.0)
    assert at.is_below(6.0)


def test_gauge_too_coarse_to_show_the_line_does_not_cry_wolf():
    at = press_line(plan("bar", 2.0), METRIC).at(15.0)  # 15 bar on divisions of 20, likely 9
    assert at.coarse
    assert not at.is_above(20.0)
    assert at.is_above(40.0)


def test_full_scale_is_a_usual_one_above_the_greatest_stop_line():
    assert full_scale(press_line(plan("bar"), METRIC)) == 60.0
    assert full_scale(press_line(plan("psi"), METRIC)) == 1000.0
    assert full_scale(press_line(plan(ram=False), METRIC)) == 6.0


# -- figures -----------------------------------------------------------------------------------


def made(shown=None, unit="bar", at=40.0):
    line = press_line(plan(unit), METRIC)
    expected = line.at(at)
    found = Dial(expected, f"{at:g} mm", full_scale(line), shown, f"stop above {expected.stop_text} {unit}")
    return found, svgs(dial_figure(found))[0]


def ends(element):
    return tuple((float(element.get(f"x{k}")), float(element.get(f"y{k}"))) for k in "12")


def test_dial_is_read_back_from_its_angles():
    found, figure = made(Shown(31.5, "31.5", "at 35 mm"))
    (stop,), (likely,) = with_class(figure, "stop"), with_class(figure, "likely")
    for end in ends(stop):
        assert value_at(end, found.full) == pytest.approx(40.0, abs=0.05)
    for end in ends(likely):
        assert value_at(end, found.full) == pytest.approx(24.0, abs=0.05)
    (needle,) = with_class(figure, "needle")
    tip = tuple(map(float, needle.get("points").split()[1].split(",")))
    assert value_at(tip, found.full) == pytest.approx(31.5, abs=0.05)
    (band,), (over,) = with_class(figure, "expected"), with_class(figure, "over")
    corners = [
        tuple(map(float, pair)) for pair in re.findall(r"[ML ]([\d.]+) ([\d.]+)(?=[ALZ])", band.get("d"))
    ]
    assert value_at(corners[0], found.full) == pytest.approx(12.0, abs=0.05)
    begins = tuple(map(float, re.match(r"M([\d.]+) ([\d.]+)", over.get("d")).groups()))
    assert value_at(begins, found.full) == pytest.approx(40.0, abs=0.05)


def test_dial_numbers_stand_at_their_values():
    found, figure = made()
    numbers = with_class(figure, "number")
    assert [n.text for n in numbers] == ["0", "10", "20", "30", "40", "50", "60"]
    for number in numbers[1:-1]:
        place = float(number.get("x")), float(number.get("y")) - 5.0
        assert value_at(place, found.full) == pytest.approx(float(number.text), abs=0.2)
    assert not with_class(figure, "needle")


def test_dial_says_where_the_needle_was_read_and_where_to_stop():
    _, figure = made(Shown(31.5, "31.5", "at 35 mm"))
    said = "".join(figure.itertext())
    assert "bar at 35 mm" in said
    assert "stop above 40 bar" in said
    assert "likely 24" in said


def polyline(element):
    return [tuple(map(float, pair.split())) for pair in element.get("d").removeprefix("M").split("L")]


def force_at(scales, point):
    """The force, N, at a point of the figure."""
    low, high = scales.at(0.0, 0.0)[1], scales.at(0.0, 1.0)[1]
    return (point[1] - low) / (high - low)


def test_curve_is_read_back_from_its_points():
    line = press_line(plan(), METRIC)
    scales = scales_of(line, WIDE)
    dots = [Dot(20.0, 1500.0, above=False), Dot(30.0, 3600.0, above=True)]
    figure = svgs(press_curve(Curve(line, dots, 35.0), METRIC))[0]
    for name, share in (("least", 0.3), ("likely", 0.6), ("stop", 1.0)):
        (path,) = (e for e in with_class(figure, name) if e.get("d"))
        points = polyline(path)
        assert len(points) == len(line.travel)
        for point, travel in zip(points, line.travel, strict=True):
            assert scales.travel_at(point) == pytest.approx(travel, abs=0.02)
            assert force_at(scales, point) == pytest.approx(100.0 * share * travel, abs=5.0)
    (dot,) = with_class(figure, "dot-read")
    place = float(dot.get("cx")), float(dot.get("cy"))
    assert scales.travel_at(place) == pytest.approx(20.0, abs=0.01)
    assert force_at(scales, place) == pytest.approx(1500.0, abs=1.0)
    assert len(with_class(figure, "dot-above")) == 1
    (ahead,) = with_class(figure, "ahead")
    assert scales.travel_at(ends(ahead)[0]) == pytest.approx(35.0, abs=0.01)


@pytest.mark.parametrize("full", [0.6, 1.0, 1.6, 2.5, 4.0, 60.0, 100.0, 160.0, 1500.0, 3000.0])
def test_numbers_of_a_scale_divide_it_evenly(full):
    step = dial_module.number_step(full)
    assert full / step == pytest.approx(round(full / step))
    assert 4 <= full / step <= dial_module.MAX_NUMBERS


def test_numbers_of_an_axis_are_even_and_few():
    assert curve_module.step_of(83.0, 7) == 20.0
    assert curve_module.step_of(22.3, 6) == 5.0
