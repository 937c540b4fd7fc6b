"""Step Press: readings are written as they are typed, and one above the stop line stands until it is
answered, for every device and without a script."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_presses import HOME_MM, TEN_PSI, PressShop, plan, text

from hoopwright.case.read import parse_case
from hoopwright.pressing.press_log import open_log, parse_log


@pytest.fixture
def shop(tmp_path):
    with PressShop(tmp_path) as found:
        yield found


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


def test_answer_goes_with_the_reading_that_is_struck(shop):
    """That the pressure was taken off after a reading says nothing of the one before it."""
    shop.log.write_text(
        "travel [mm], gauge [bar]\n5, 9\n# 12 bar at 10 mm, misread\n"
        "# pressure off after 12 bar at 10 mm\n",
        "utf-8",
    )
    assert_stopped(shop.get(), "9 bar at 5 mm", "5 bar")


def test_log_that_lost_its_third_reading_is_no_longer_named(shop):
    for travel, gauge in (("5", "3"), ("10", "6"), ("15", "9")):
        shop.enter(travel, gauge)
    line = re.search(r'name="line" value="(\d+)"', shop.page)[1]
    shop.act("misread", line=line)
    assert parse_case(shop.file.read_text("utf-8")).press.log == ""
    shop.enter("15", "9")
    assert parse_case(shop.file.read_text("utf-8")).press.log == "mine press.csv"


def test_numbers_are_in_the_units_of_the_page_that_they_were_typed_on(shop):
    """Another page may have been switched to inches since: 2 mm would be 2 in, and 9 bar in the band."""
    seen = shop.page
    shop.client.post("/case/mine.toml/units", data={"token": shop.door.form_token, "units": "inch"})
    assert re.search(r'name="digest" value="[0-9a-f]{64}-inch"', shop.get())
    shop.page = seen
    page = shop.enter("2", "9")
    assert shop.written() == "travel [mm], gauge [bar]\n2, 9\n"
    assert "9 bar at 0.08 in" in page, "the page itself goes on in inches"


def test_number_in_a_field_is_in_the_units_of_its_page(shop):
    field = re.search(
        r'<form[^>]*action="[^"]*/set[^"]*".*?value="press.capacity".*?</form>', shop.page, re.S
    )[0]
    field = field[field.rindex("<form") :]
    sent = dict(re.findall(r'type="hidden"[^>]*name="(\w+)" value="([^"]*)"', field))
    shop.client.post("/case/mine.toml/units", data={"token": shop.door.form_token, "units": "inch"})
    shop.client.post("/case/mine.toml/set", data=sent | {"path": "press.capacity", "value": "40"})
    assert shop.bench().case.press.capacity == pytest.approx(40e3), "kN, and not lbf"


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


def test_reading_that_divisions_too_coarse_may_hide_is_not_said_to_be_in_the_band(tmp_path):
    with PressShop(tmp_path, plan("bar", 2.0)) as shop:  # divisions of 20 bar
        page = shop.enter("15", "20")  # the stop line is 15 bar there
        assert 'id="press-stop"' not in page, "no alarm by rounding alone"
        assert "the gauge is too coarse to tell" in page
        assert "in the band" not in page
        assert "in the band" in shop.enter("40", "20"), "the stop line is 40 bar"


def test_nothing_is_to_be_pressed_by_sample_values(tmp_path, shop):
    words = "Do not press by these: they are sample values of a starter."
    assert words in shop.page
    own = tmp_path / "own"
    own.mkdir()
    with PressShop(own, case=text().replace("sample = true", "")) as of_mine:
        assert words not in of_mine.page


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
