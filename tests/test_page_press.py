"""Step Press: gauge and curve show what the plan says, readings are written as typed, and one above
the stop line stands until it is answered, for every device and without a script."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import svgs, with_class
from page_cases import bench_of, contradicted, environment, held, small
from page_presses import AREA, HOME_MM, PressShop, plan, text

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.display.gauge import Gauge
from hoopwright.display.press_table import press_rows
from hoopwright.document.press_table import table_part
from hoopwright.page.figures import dial as dial_module
from hoopwright.page.figures import press_curve as curve_module
from hoopwright.page.figures.dial import Dial, Shown, dial_figure, value_at
from hoopwright.page.figures.press_curve import WIDE, Curve, Dot, press_curve, scales_of
from hoopwright.page.model import Answer
from hoopwright.page.press_line import full_scale, press_line
from hoopwright.page.solver import COMMANDS
from hoopwright.page.steps import press
from hoopwright.page.views.verdict import verdict_view
from hoopwright.pressing.press_log import open_log, parse_log
from hoopwright.pressing.rule_marks import AtMark, marks
from hoopwright.starters import starter_text

METRIC, INCH = Units("metric"), Units("inch")
TEN_PSI = 0.0689476


@pytest.fixture
def shop(tmp_path):
    with PressShop(tmp_path) as found:
        yield found


# -- the line of the plan ----------------------------------------------------------------------


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
            assert scales.force_at(point) == pytest.approx(100.0 * share * travel, abs=5.0)
    (dot,) = with_class(figure, "dot-read")
    place = float(dot.get("cx")), float(dot.get("cy"))
    assert scales.travel_at(place) == pytest.approx(20.0, abs=0.01)
    assert scales.force_at(place) == pytest.approx(1500.0, abs=1.0)
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


# -- reading by reading ------------------------------------------------------------------------


def test_readings_are_written_at_once_and_named_once_there_are_three(shop):
    assert 'value="5"' in shop.page
    page = shop.enter("5", "3")
    assert shop.written() == "travel [mm], gauge [bar]\n5, 3\n"
    assert 'class="press-travel" name="travel" inputmode="decimal" value="10"' in page
    assert "The check counts a log from 3 readings on" in page
    shop.enter("10", "6")
    assert "log =" not in shop.file.read_text("utf-8").rpartition("[press]")[2]
    page = shop.enter("16", "9.5")
    assert shop.written() == "travel [mm], gauge [bar]\n5, 3\n10, 6\n16, 9.5\n"
    assert parse_case(shop.file.read_text("utf-8")).press.log == "mine press.csv"
    assert 'id="press-entry"' in page, "a reading does not make the plan old"
    assert page.count("in the band") == 3
    assert 'value="20"' in page


def test_log_that_the_page_writes_is_one_that_the_command_reads(shop):
    for travel, gauge in (("5", "3"), ("10", "6.5"), (" 15 mm", "0.9 MPa")):
        shop.enter(travel, gauge)
    log = parse_log(shop.log.read_bytes(), file="x", whole_travel=HOME_MM)
    assert list(log.travel) == [5.0, 10.0, 15.0]
    assert list(log.gauge) == pytest.approx([0.3, 0.65, 0.9])


def test_reading_above_the_stop_line_stops_in_the_same_answer(shop):
    shop.enter("5", "3")
    page = shop.enter("10", "12")
    assert_stopped(page, "12 bar at 10 mm", "10 bar")
    assert shop.written().endswith("10, 12\n")
    assert_stopped(shop.get(), "12 bar at 10 mm", "10 bar")
    assert_stopped(shop.get(client=shop.another()), "12 bar at 10 mm", "10 bar")


def assert_stopped(page, said, there):
    assert 'id="press-stop" role="alert"' in page
    assert f"<b>{said}.</b> The stop line there is {there}." in page
    assert 'id="press-entry"' not in page
    assert 'name="gauge"' not in page


def test_nothing_is_taken_before_the_stop_is_answered(shop):
    shop.enter("5", "9")
    before = shop.written()
    page = shop.enter("10", "5")
    assert shop.status == 422
    assert_stopped(page, "9 bar at 5 mm", "5 bar")
    shop.act("take", sheet="10 5\n15 8")
    assert shop.written() == before


def test_exactly_the_stop_line_is_no_stop(shop):
    assert 'id="press-entry"' in shop.enter("5", "5")


def test_script_gets_the_stop_in_the_same_answer(shop):
    page = shop.enter("5", "9", script=True)
    assert page.lstrip().startswith('<div id="step"')
    assert_stopped(page, "9 bar at 5 mm", "5 bar")


def test_answered_stop_says_what_now_and_stays_answered_in_the_log(shop):
    shop.enter("5", "9")
    page = shop.act("pressure-off")
    assert shop.written().endswith("5, 9\n# pressure off after 9 bar at 5 mm, stop line 5 bar\n")
    assert "what now" in page
    assert "1170 N" in page, "900 N with the 1.3 times of a rest"
    assert 'id="press-entry"' in page
    assert "pressure taken off" in page
    assert 'role="alert" tabindex' not in shop.get(client=shop.another())
    assert_stopped(shop.enter("10", "30"), "30 bar at 10 mm", "10 bar")


def test_misread_is_struck_and_asked_for_again_at_its_travel(shop):
    shop.enter("5", "3")
    shop.enter("12", "64")
    line = re.search(r'name="line" value="(\d+)"', shop.page)[1]
    page = shop.act("misread", line=line)
    assert shop.written() == "travel [mm], gauge [bar]\n5, 3\n# 64 bar at 12 mm, misread\n"
    assert 'value="12"' in page
    assert "<s>64 bar at 12 mm</s>" in page
    assert [row.values["travel"] for row in open_log(shop.log.read_bytes(), file="x").rows] == [5.0]
    page = shop.enter("12", "6.4")
    assert shop.written().endswith("misread\n12, 6.4\n")
    assert 'value="15"' in page


def test_log_that_lost_its_third_reading_is_no_longer_named(shop):
    for travel, gauge in (("5", "3"), ("10", "6"), ("15", "9")):
        shop.enter(travel, gauge)
    line = re.search(r'name="line" value="(\d+)"', shop.page)[1]
    shop.act("misread", line=line)
    assert parse_case(shop.file.read_text("utf-8")).press.log == ""
    shop.enter("15", "9")
    assert parse_case(shop.file.read_text("utf-8")).press.log == "mine press.csv"


def test_reading_that_is_not_the_last_is_not_struck(shop):
    shop.enter("5", "3")
    shop.enter("10", "6")
    shop.act("misread", line="2")
    assert shop.status == 422
    assert "misread" not in shop.written()


def test_same_form_sent_twice_writes_once(shop):
    first = shop.page
    shop.enter("5", "3")
    shop.page = first
    page = shop.enter("5", "3")
    assert shop.written().count("5, 3") == 1
    assert "changed on the disk" not in page, "the reading stands there: nothing is wrong"
    shop.page = first
    page = shop.enter("5", "4")
    assert "changed on the disk meanwhile" in page
    assert shop.written() == "travel [mm], gauge [bar]\n5, 3\n"


def test_reading_on_an_older_case_is_not_lost_silently(shop):
    page = shop.page
    shop.file.write_text(shop.file.read_text("utf-8") + "# theirs\n", "utf-8")
    shop.page = page
    page = shop.enter("5", "3")
    assert shop.status == 409
    assert "enter it again" in page
    assert shop.written() == ""


def test_other_sizes_take_the_stop_line_away_until_it_is_solved_again(shop):
    shop.enter("5", "3")
    shop.solver.document = None
    new = shop.file.read_text("utf-8").replace('"42.045 mm"', '"42.050 mm"')
    assert new != shop.file.read_text("utf-8")
    shop.file.write_text(new, "utf-8")
    page = shop.get()
    assert "stop above" not in page
    assert "Stop above" not in page
    assert 'id="press-entry"' not in page
    before = shop.written()
    shop.enter("10", "6")
    assert shop.status == 422
    assert shop.written() == before


NO_READINGS = (
    ("", "3", "nothing typed"),
    ("5", "", "nothing typed"),
    ("5", "3,5", "decimal"),
    ("5", "three", "number"),
    ("60", "3", "outside the travel: it is home at 50 mm"),
    ("5", "-1", "below zero"),
    ("5", "3 kN", "stress"),
    ("5", "<b>", "&lt;b&gt;"),
)


def test_what_is_no_reading_is_given_back_with_what_is_wrong(shop):
    for travel, gauge, words in NO_READINGS:
        page = shop.enter(travel, gauge)
        assert shop.status == 422, (travel, gauge)
        assert words in page
        assert 'aria-invalid="true"' in page
    assert shop.written() == ""


def test_travel_goes_on_only(shop):
    shop.enter("20", "12")
    page = shop.enter("10", "6")
    assert "before the last reading, at 20" in page


# -- logs of other making ----------------------------------------------------------------------

THEIRS = "# rig\r\ntime [s];travel [in];force [lbf]\r\n1;0.2;60\r\n2;0.4;130\r\n3;0.6;190"


def test_log_in_other_columns_is_gone_on_with_in_them(tmp_path):
    case = text() + 'log = "rig.csv"\n'
    (tmp_path / "rig.csv").write_bytes(THEIRS.encode())
    with PressShop(tmp_path, case=case) as shop:
        shop.enter("20", "12")
        written = (tmp_path / "rig.csv").read_bytes().decode()
    last = written.removesuffix("\r\n").rpartition("\r\n")[2].split(";")
    assert written.startswith(THEIRS + "\r\n")
    assert float(last[1]) == pytest.approx(20.0 / 25.4, rel=1e-5)
    assert float(last[2]) == pytest.approx(1200.0 / 4.4482216, rel=1e-5)
    assert last[0] == ""
    assert len(parse_log(written.encode(), file="x", whole_travel=HOME_MM).travel) == 4


def test_log_that_cannot_be_read_keeps_readings_out_and_says_why(tmp_path):
    (tmp_path / "mine press.csv").write_text("travel [mm], gauge [bar]\n5, x\n", "utf-8")
    shop = PressShop(tmp_path)
    with shop.client:
        shop.until("No reading can be taken")
        assert "mine press.csv line 2 gauge: x is not a number" in shop.page
        assert 'id="press-entry"' not in shop.page


def test_readings_without_a_ram_are_of_a_force(tmp_path):
    case = re.sub(r"^(ram_diameter|gauge_unit).*\n", "", text(), flags=re.MULTILINE)
    with PressShop(tmp_path, plan(ram=False), case) as shop:
        assert "force shows" in shop.page
        shop.enter("10", "0.6")
        assert shop.written() == "travel [mm], force [kN]\n10, 0.6\n"
        assert "1.2 kN at 15 mm" not in shop.page
        assert_stopped(shop.enter("15", "1.6"), "1.6 kN at 15 mm", "1.50 kN")


def test_inch_reader_has_inches_and_psi(tmp_path):
    with PressShop(tmp_path, plan("psi", TEN_PSI), text("inch", "psi")) as shop:
        assert 'value="0.25"' in shop.page
        shop.enter("0.25", "70")
        assert shop.written() == "travel [in], gauge [psi]\n0.25, 70\n"
        assert_stopped(shop.enter("0.5", "220"), "220 psi at 0.50 in", "180 psi")


# -- a sheet -----------------------------------------------------------------------------------


def test_sheet_is_shown_before_it_is_taken(shop):
    sheet = "travel  gauge\n5\t3\n10; 6\n15 9\n20, 12\n"
    page = shop.act("paste", sheet=sheet)
    assert "Take these 4 readings" in page
    assert shop.written() == ""
    shop.act("take", sheet=sheet)
    assert shop.written() == "travel [mm], gauge [bar]\n5, 3\n10, 6\n15, 9\n20, 12\n"
    assert parse_case(shop.file.read_text("utf-8")).press.log == "mine press.csv"


FAULTY_SHEETS = (
    ("5 3\n10 6 7", "line 2: 3 numbers"),
    ("5 3\n4 6", "line 2: before the last reading"),
    ("5 3\n10", "line 2: 1 numbers"),
    ("", "nothing was pasted"),
)


def test_sheet_with_a_fault_is_taken_not_at_all(shop):
    for sheet, words in FAULTY_SHEETS:
        assert words in shop.act("paste", sheet=sheet)
        assert 'class="press-enter">Take' not in shop.page
        shop.act("take", sheet=sheet)
        assert shop.status == 422
    assert shop.written() == ""


def test_reading_above_the_line_in_a_sheet_stops_as_well(shop):
    sheet = "5 3\n10 16\n15 9"
    assert "above the stop line" in shop.act("paste", sheet=sheet)
    assert_stopped(shop.act("take", sheet=sheet), "16 bar at 10 mm", "10 bar")
    page = shop.act("pressure-off")
    assert shop.written().splitlines()[2:4] == [
        "10, 16",
        "# pressure off after 16 bar at 10 mm, stop line 10 bar",
    ]
    assert 'id="press-entry"' in page


# -- what lies round it ------------------------------------------------------------------------


def doubted(shop):
    """The sentence of the verdict on another step that doubts it."""
    bench = shop.bench()
    current = {"check": Answer(held(small()), bench.version)}
    return verdict_view(replace(bench, answers={**bench.answers, **current}))


def test_two_readings_with_one_above_the_line_leave_nothing_that_holds(shop):
    assert doubted(shop).state == "part", "sample values"
    shop.enter("5", "9")
    shown = doubted(shop)
    assert shown.state == "undecided"
    assert "The press read 9 bar at 5 mm, where the stop line is 5 bar." in shown.lines[0].replace(
        "\u00a0", " "
    )
    assert [link.url for link in shown.links] == ["press"]
    assert not shown.least
    shop.act("pressure-off")
    assert doubted(shop).state == "undecided", "no check counts two readings"


def test_readings_that_no_plan_is_known_for_leave_nothing_that_holds(shop):
    shop.enter("5", "3")
    assert doubted(shop).state == "part", "sample values"
    found = shop.bench()
    bench = replace(found, answers={"check": Answer(held(small()), found.version)})
    assert verdict_view(bench).state == "undecided"


def test_log_beside_the_case_that_it_does_not_name_leaves_nothing_that_holds(shop):
    shop.log.write_text("travel [mm], gauge [bar]\n5, 3\n10, 6\n15, 9\n", "utf-8")
    shown = doubted(shop)
    assert shown.state == "undecided"
    assert "mine press.csv" in shown.lines[0]
    assert "Count them" in shop.get()
    shop.act("count")
    assert parse_case(shop.file.read_text("utf-8")).press.log == "mine press.csv"
    assert doubted(shop).state == "part", "now the check counts it"


def test_log_of_a_recorder_is_not_shown_row_by_row(shop):
    rows = "".join(f"{0.01 * k:.2f}, {0.006 * k:.3f}\n" for k in range(1, 1500))
    shop.log.write_text(f"travel [mm], gauge [bar]\n{rows}", "utf-8")
    page = shop.get()
    assert "The last 60 of 1499 readings" in page
    assert page.count('<th scope="row">') < 90
    assert page.count("dot-read") <= 2 * 400


def test_plan_is_as_old_as_the_case_but_for_its_log(shop):
    before = shop.bench()
    named = shop.file.read_text("utf-8") + 'log = "mine press.csv"\n'
    shop.log.write_text("travel [mm], gauge [bar]\n5, 3\n10, 6\n15, 9\n", "utf-8")
    shop.file.write_text(named, "utf-8")
    after = shop.bench()
    assert after.plan_version == before.plan_version
    assert after.version != before.version
    assert after.is_current("plan")
    shop.file.write_text(named.replace('"42.045 mm"', '"42.046 mm"'), "utf-8")
    assert shop.bench().plan_version != before.plan_version
    assert not shop.bench().is_current("plan")


def test_contradicted_case_leads_to_the_press():
    bench = bench_of(contradicted(small()))
    assert [link.url for link in verdict_view(bench).links] == ["press"]


def test_sleeve_that_slips_in_has_temperatures_and_no_dial():
    document = plan() | {"force_against_travel": None, "method": "heat"}
    bench = bench_of(None, file="mine.toml")
    found = replace(bench, answers={"plan": Answer(document, bench.plan_version)})
    page = html(press, found)
    assert "Hot shell alone" in page
    assert "110 °C" in page.replace("\u00a0", " ")
    assert "about 75 s" in page
    assert "dial" not in page
    assert "press.heat.shell_most" in page


def html(step, bench):
    found = environment()
    found.globals["fields"] = ()
    return found.get_template(f"steps/{step.STEP.id}.html").render(**step.view(bench), bench=bench)


def test_mark_of_the_step_follows_the_readings(shop):
    assert press.mark(shop.bench()) == "nothing"
    shop.enter("5", "3")
    assert press.mark(shop.bench()) == "partly"
    shop.enter("10", "30")
    assert press.mark(shop.bench()) == "fault"
    shop.act("pressure-off")
    shop.enter("50", "30")
    assert press.mark(shop.bench()) == "given"
    assert "It is home" in shop.page


def test_page_carries_no_style_and_no_id_twice(shop):
    for travel, gauge in (("5", "3"), ("10", "30")):
        page = shop.enter(travel, gauge)
        assert " style=" not in page
        ids = re.findall(r'\bid="([^"]+)"', page)
        assert len(ids) == len(set(ids))


def test_peak_in_the_case_keeps_a_log_out_and_says_what_to_do(tmp_path):
    with_peak = text() + 'observed_gauge = "40 bar"\n'
    shop = PressShop(tmp_path, case=with_peak)
    with shop.client:
        shop.until("No reading can be taken")
        assert "empty it under About this press" in shop.page
        assert 'data-path="press.observed_gauge"' in shop.page
        shop.enter("5", "3")
        assert shop.status == 422
    assert shop.written() == ""


@pytest.mark.slow
def test_plan_that_is_solved_knows_nothing_of_the_log(tmp_path):
    """Whatever was read, what the press should read stays what it was before pressing."""
    case = starter_text("plain", "metric") + "\n[mesh]\nelements_through_wall = 2\n"
    (tmp_path / "read.csv").write_text("travel [mm], gauge [bar]\n10, 40\n20, 80\n30, 110\n", "utf-8")
    named = case.replace("[press]\ncapacity", '[press]\nlog = "read.csv"\ncapacity')
    file = str(tmp_path / "mine.toml")

    def solved(command, text_):
        return COMMANDS[command](parse_case(text_, file=file), lambda *_: None)

    before, after, read = solved("press", case), solved("plan", named), solved("press", named)
    assert after["inferred_fit"] is None
    assert "interference_um" not in read["inferred_fit"], "the log contradicts"
    assert after["force_against_travel"] == before["force_against_travel"] == read["force_against_travel"]
