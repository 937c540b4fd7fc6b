"""Step Readings: what is typed becomes a reading of the case and is doubted before anything is computed.
What stands out is never lost, and never confirmed unseen."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import TRIKE, bench, demo, html, starter
from page_readings import ELEVEN, PLAIN, TWELFTH, Bench, asked_of

from hoopwright.case.read import lands_read, parse_case
from hoopwright.page.case_files import digest_of
from hoopwright.page.column import column_of
from hoopwright.page.fields import field
from hoopwright.page.read_place import here_of
from hoopwright.page.steps.readings import STEP
from hoopwright.page.take_readings import giving_a_size
from hoopwright.page.views.verdict import verdict_view


@pytest.fixture
def opened(tmp_path):
    shops = []

    def open_(text):
        shops.append(Bench(tmp_path / f"served{len(shops)}", text).__enter__())
        return shops[-1]

    yield open_
    for shop in shops:
        shop.__exit__(None, None, None)


def at(text, **asked):
    return replace(bench(text), asked=asked)


def test_first_reading_takes_the_place_of_the_typed_size(opened):
    shop = opened(PLAIN)
    assert "typed 42.000 mm: read it instead" in shop.get(land="shell.bore")
    after = asked_of(shop.do("take", {"land": "shell.bore"}, typed="42.001"))
    assert after == {"land": "shell.bore[0]", "station": "row 0", "at": "1"}
    shell = shop.tables["shell"]
    assert "bore_diameter" not in shell
    assert shell["bore"] == [
        {
            "from": "0 mm",
            "to": "50 mm",
            "gauge": "bore gauge",
            "readings": [{"z": "8 mm", "angles": "0 deg", "values": "42.001 mm"}],
        }
    ]
    case = parse_case(shop.text)
    assert case.shell_measured[0].diameter == pytest.approx(42.001, abs=1e-4)
    after = asked_of(shop.do("take", after, typed="42.002"))
    assert shop.tables["shell"]["bore"][0]["readings"] == [
        {"z": "8 mm", "angles": "0 45 deg", "values": "42.001 42.002 mm"}
    ]
    for typed in ("42.000", "42.001", "42.003"):
        after = asked_of(shop.do("take", after, typed=typed))
    rows = shop.tables["shell"]["bore"][0]["readings"]
    assert [row["values"] for row in rows] == ["42.001 42.002 42.000 42.001 mm", "42.003 mm"]
    assert after["station"] == "row 1"
    assert '#bore_diameter = "42.000 mm"' in shop.text


def test_sleeve_that_is_read_lies_where_its_size_was(opened):
    shop = opened(PLAIN)
    asked = {
        "land": "sleeve.outside",
        "gauge": "micrometer",
        "part_temperature": "24 degC",
        "stations": "5 30 mm",
    }
    asked_of(shop.do("take", asked, typed="42.046"))
    land = shop.tables["sleeve"]["outside"][0]
    assert (land["from"], land["to"], land["part_temperature"]) == ("0 mm", "50 mm", "24 degC")
    assert parse_case(shop.text).sleeve_measured[0].diameter < 42.046


def test_dial_in_tenths_off_an_inch_ring(opened):
    shop = opened(starter("plain", "inch"))
    asked = {"land": "shell.bore", "dial bore gauge": "tenth", "ring bore gauge": "1.6535 in"}
    looked = shop.get(**asked, typed="+0.5")
    assert "1.65355 in, next" in looked
    after = asked_of(shop.do("take", asked, typed="+0.5"))
    assert after["dial bore gauge"] == "tenth"
    assert shop.tables["shell"]["bore"][0]["readings"][0]["values"] == "1.65355 in"
    asked_of(shop.do("take", after, typed="-1 um"))
    assert shop.tables["shell"]["bore"][0]["readings"][0]["values"] == "1.65355 1.65346063 in"


def test_slip_is_doubted_while_it_stands_in_the_entry(opened):
    shop = opened(ELEVEN)
    for typed, doubted in (("42.012", True), ("42.002", False)):
        looked = shop.get(**TWELFTH, typed=typed)
        assert ('class="doubt"' in looked) is doubted
        assert ("mark-suspect" in looked) is doubted
        assert f"{typed} mm, next" in looked
    assert "Not sent yet" in shop.get(**TWELFTH, typed="42.012")
    assert shop.text == ELEVEN


def test_reading_is_in_the_units_of_the_page_that_it_was_typed_on(opened):
    """Another page may have been switched to millimetres since."""
    shop = opened(ELEVEN)
    seen = replace(bench(ELEVEN, "inch"), digest=digest_of(ELEVEN.encode())).seen
    assert shop.do("take", TWELFTH, typed="1.6536", digest=seen).status_code == 303
    rows = tomllib.loads(shop.text)["shell"]["bore"][0]["readings"]
    number, unit = rows[2]["values"].split()[-2:]
    assert (float(number), unit) == (pytest.approx(42.00144, abs=1e-4), "mm")


def test_doubt_stays_until_it_is_read_again_or_said_to_be_so(opened):
    shop = opened(ELEVEN)
    asked_of(shop.do("take", TWELFTH, typed="42.012"))
    shown = shop.get(land="shell.bore[0]")
    assert "135°, 42.0\xa0mm along: 42.012\xa0mm, read it again" in shown
    assert "nothing is said to hold" in shown
    assert "Was 42.002\xa0mm meant: one digit?" in shown
    again = re.search(r'class="doubt-again" href="readings([^"]*)"', shown)[1].replace("&amp;", "&")
    assert "What is typed takes its place" in shop.client.get(f"/case/mine.toml/readings{again}").text
    asked_of(shop.do("take", TWELFTH, typed="42.001"))
    assert 'class="doubt"' not in shop.get(land="shell.bore[0]")
    assert shop.tables["shell"]["bore"][0]["readings"][2]["values"] == "42.001 42.000 42.001 42.001 mm"
    assert "# the far end" in shop.text


def test_doubt_says_what_it_counts_for_and_whom_it_is_confirmed_with():
    """Two that contradict each other: neither lies beyond the ± of so few, and both are of one station."""
    row = 'readings = [{ z = "8 mm", angles = "0 0 deg", values = "42.001 42.013 mm" }]'
    text = re.sub(r"readings = \[\n.*?\n\]", row, ELEVEN, flags=re.DOTALL)
    shown = html(STEP, at(text, land="shell.bore[0]"))
    assert shown.count('class="doubt"') == 2
    assert "so it counts as it stands" in shown
    assert "nothing is said to hold" not in shown
    assert "It is so, all 2 here" in shown


def test_slip_is_doubted_in_a_case_that_has_faults_elsewhere(opened):
    shop = opened(ELEVEN.replace('length = "50 mm"', 'length = "5O mm"'))
    assert lands_read(shop.text)[0].readings.count == 11
    looked = shop.get(**TWELFTH, typed="42.012")
    assert 'class="doubt"' in looked
    assert "elsewhere in the case" in looked
    asked_of(shop.do("take", TWELFTH, typed="42.012"))
    assert "42.012 mm" in shop.text


def test_verdict_names_the_doubt_before_any_answer():
    text = ELEVEN.replace("42.001 42.000 42.001 mm", "42.001 42.012 42.001 mm")
    found = verdict_view(bench(text))
    assert found.state == "unjudged"
    assert "stands out" in found.lines[0]
    assert "Nothing holds" in found.lines[0]
    assert "stands out" not in " ".join(verdict_view(bench(ELEVEN)).lines)


def test_reading_and_station_are_taken_away_but_never_the_last(opened):
    shop = opened(ELEVEN)
    asked_of(shop.do("drop", TWELFTH | {"at": "1"}))
    rows = shop.tables["shell"]["bore"][0]["readings"]
    assert (rows[2]["angles"], rows[2]["values"]) == ("0 90 deg", "42.001 42.001 mm")
    for row in (1, 1):
        asked_of(shop.do("drop-station", {"land": "shell.bore[0]", "station": f"row {row}"}))
    assert [row["z"] for row in shop.tables["shell"]["bore"][0]["readings"]] == ["8 mm"]
    refused = shop.do("drop-station", {"land": "shell.bore[0]", "station": "row 0"})
    assert refused.status_code == 422
    assert "give its size instead" in refused.text
    asked_of(shop.do("size", {"land": "shell.bore[0]"}, diameter="42.001", plus_minus="4"))
    land = shop.tables["shell"]["bore"][0]
    assert land == {"from": "0 mm", "to": "50 mm", "diameter": "42.001 mm", "plus_minus": "4 um"}
    assert parse_case(shop.text).shell_measured == ()


def test_column_is_shown_before_it_is_taken(opened):
    shop = opened(PLAIN)
    asked = {"land": "shell.bore"}
    wrong = shop.get(**asked, column="42.001\n42,002\n42.000")
    assert "the decimal sign is a point" in wrong
    assert "Take these" not in wrong
    column = "42.001 mm\n42.002 mm\r\n1.65355 in; 42.000\n42.001"
    shown = shop.get(**asked, column=column)
    assert "Take these 5" in shown
    assert shop.text == PLAIN
    asked_of(shop.do("column", asked, column=column))
    rows = shop.tables["shell"]["bore"][0]["readings"]
    assert [(row["z"], row["angles"], row["values"]) for row in rows] == [
        ("8 mm", "0 45 90 135 deg", "42.001 42.002 42.00017 42.000 mm"),
        ("25 mm", "0 deg", "42.001 mm"),
    ]
    more = "42.001 42.002 42.000 42.001 42.013 42.002"
    shown = shop.get(land="shell.bore[0]", column=more)
    assert re.findall(r">([\d.]+ mm) \? stands out<", shown) == ["42.013 mm"]
    refused = shop.do("column", {"land": "shell.bore[0]"}, column="42.001\n42,002")
    assert refused.status_code == 422
    assert "no place is planned" in shop.get(**asked, column="42 " * 13)


def test_inch_fraction_of_a_column_is_one_reading():
    text = starter("plain", "inch")
    found = column_of(here_of(replace(bench(text, "inch"), asked={})), "1 21/32 1.6563; 1 21/32 in")
    assert [(line.typed, line.fault) for line in found] == [
        ("1 21/32", ""),
        ("1.6563", ""),
        ("1 21/32 in", ""),
    ]
    assert [line.taken.size.number for line in found] == ["1.65625", "1.6563", "1.65625"]


def test_new_station_has_the_gauge_of_its_land_or_its_own(opened):
    text = ELEVEN.replace('gauge = "bore gauge"\nreadings', "readings").replace(
        '" },', '", gauge = "bore gauge" },'
    )
    shop = opened(text)
    asked_of(
        shop.do("take", {"land": "shell.bore[0]", "station": "z 15 mm", "stations": "15 mm"}, typed="42")
    )
    assert shop.tables["shell"]["bore"][0]["readings"][3]["gauge"] == "bore gauge"
    bare = re.sub(r"\n\[gauge\..*?(?=\n\[size\])", "", PLAIN, flags=re.S)
    shop = opened(bare)
    assert "choose a gauge first" in shop.do("take", {"land": "shell.bore"}, typed="42.001").text
    assert 'value="preset.gauge.&#34;two-point bore gauge&#34;"' in shop.get()


def test_plan_is_of_the_address_and_what_was_read_stays(opened):
    shop = opened(ELEVEN)
    shown = shop.get(land="shell.bore[0]", stations="4 25 46 mm", angles="0 60 120")
    strip = re.search(r'<ol class="stations".*?</ol>', shown, re.S)[0]
    assert re.findall(r"<b>([\d.]+)<", strip) == ["4.0", "8.0", "25.0", "42.0", "46.0"]
    assert "0 of 3 read" in strip
    as_they_are = re.search(r'name="stations" value="([^"]*)"', shown)[1]
    assert as_they_are == "4 25 46 mm"
    assert 'value="8 25 42 mm"' in shop.get(land="shell.bore[0]")
    wrong = shop.get(land="shell.bore[0]", stations="4,5 25", angles="x")
    assert wrong.count("field-fault") == 2


HOSTILE = '"><script>alert(1)</script>{{7*7}}'


def test_hostile_words_are_text_everywhere(opened):
    shop = opened(ELEVEN.replace('title = "Plain', 'title = "<i>Plain'))
    names = ("land", "station", "at", "stations", "angles", "gauge", "part_temperature", "typed", "column")
    names = (*names, "dial bore gauge", "ring bore gauge", HOSTILE)
    for name in names:
        shown = shop.get(**({"land": "shell.bore[0]"} | {name: HOSTILE}))
        assert "<script>alert" not in shown
        assert "<h1" in shown
    for action, form in (
        ("take", {"typed": HOSTILE}),
        ("column", {"column": HOSTILE}),
        ("confirm", {"row": HOSTILE}),
    ):
        answer = shop.do(action, TWELFTH, **form)
        assert answer.status_code == 422
        assert "<script>alert" not in answer.text
    answer = shop.do("size", {"land": "shell.bore[0]"}, diameter=HOSTILE, plus_minus="1")
    assert answer.status_code == 422
    assert "42.001 42.000 42.001 mm" in shop.text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "x = [",
        "shell = 3",
        '[shell]\nbore = "x"',
        "[shell]\nbore = [1, 2]",
        '[[shell.bore]]\nreadings = [1, { z = 3, values = "a b", angles = 4 }]',
        '[[shell.bore]]\nfrom = "0 mm"\nto = "0 mm"\nreadings = []',
        ELEVEN.replace("42.001 42.000 42.001 mm", "42.001 forty 42.001 mm"),
        ELEVEN.replace("42.001 42.000 42.001 mm", "42.001 nan 42.001 mm"),
        ELEVEN.replace("42.001 42.000 42.001 mm", "1e400 42.000 42.001 mm"),
        ELEVEN.replace("42.001 42.000 42.001 mm", "42.001 4_2 42.001 mm"),
        ELEVEN.replace('"0 45 90 deg"', '"0 45 deg"'),
        ELEVEN.replace('z = "25 mm"', 'z = "250 mm"'),
    ],
)
def test_faults_of_the_file_leave_the_step_whole(text):
    shown = html(STEP, at(text, land="shell.bore[0]", typed="42.001", column="1 2"))
    assert "Lands" in shown
    assert STEP.mark(bench(text)) in ("nothing", "fault", "partly", "given")
    if "shell" in text and "plain" in text.lower():
        assert "field-fault" in shown


def test_mark_says_how_far_the_lands_are_read():
    assert STEP.mark(bench(PLAIN)) == "nothing"
    assert STEP.mark(bench(ELEVEN)) == "given"
    assert (
        STEP.mark(bench(ELEVEN.replace("42.001 42.000 42.001 mm", "42.001 42.012 42.001 mm"))) == "partly"
    )
    assert (
        STEP.mark(bench(ELEVEN.replace("0 45 90 135", "0 180 0 180").replace("0 45 90", "0 0 180")))
        == "partly"
    )
    assert STEP.mark(bench(ELEVEN.replace("42.001 42.000 42.001 mm", "42.001 x 42.001 mm"))) == "fault"
    assert STEP.mark(bench(demo(TRIKE))) == "given"


def test_size_from_readings_leads_to_its_own_land():
    made = field(bench(demo(TRIKE)), "shell.bore[1].diameter", "bore")
    assert made.href == "readings?land=shell.bore%5B1%5D"
    assert "Shell bore, land 2</span>" in html(STEP, at(demo(TRIKE), land="shell.bore[1]"))


def test_what_the_readings_come_to_is_that_of_the_case():
    text = demo(TRIKE)
    land = parse_case(text).shell_measured[0]
    shown = html(STEP, at(text, land="shell.bore[0]"))
    assert f"{land.diameter:.4f}\xa0mm ± {1e3 * land.plus_minus:.1f}\xa0µm" in shown
    assert "blind to odd lobes" in shown
    assert all(part.name in shown for part in land.errors.components)
    inch = html(STEP, replace(bench(text, "inch"), asked={"land": "shell.bore[0]"}))
    assert f"{land.diameter / 25.4:.5f}\xa0in" in inch


def test_size_given_instead_takes_the_readings_and_their_gauge_away():
    land = STEP.view(at(ELEVEN, land="shell.bore[0]"))["here"].land
    edits = giving_a_size(at(ELEVEN), land, "42 mm", "5 um")
    assert [e.path for e in edits if not e.typed] == ["shell.bore[0].readings", "shell.bore[0].gauge"]


def test_readings_with_comments_stay_in_the_file_as_comments_where_a_size_is_given_instead(opened):
    remarks = ELEVEN.replace("readings = [\n", "readings = [  # on a Friday\n    # the near end first\n")
    shop = opened(remarks)
    land = {"land": "shell.bore[0]"}
    assert "Its size cannot be given from here" not in shop.get(**land)
    asked_of(shop.do("size", land, diameter="42.001", plus_minus="4"))
    assert shop.tables["shell"]["bore"] == [
        {"from": "0 mm", "to": "50 mm", "diameter": "42.001 mm", "plus_minus": "4 um"}
    ]
    rows = re.search(r"^readings = \[.*?^\]", remarks, flags=re.DOTALL | re.MULTILINE)[0].splitlines()
    off = [re.sub(r"^( *)(?=[^ #])", r"\1#", row) for row in rows]
    assert off[0] == "#readings = [  # on a Friday"
    assert off[1] == "    # the near end first"
    assert off[-2].startswith('    #{ z = "42 mm"')
    assert off[-2].endswith("# the far end")
    assert "\n".join(off) in shop.text
    asked_of(shop.do("take", land | {"station": "z 25 mm", "at": "0"}, typed="42.002"))
    assert [row["z"] for row in shop.tables["shell"]["bore"][0]["readings"]] == ["25 mm"]
    assert "\n".join(off) in shop.text


def test_what_keeps_a_size_from_being_given_is_said_before_it_is_typed(opened):
    """In a list within a list a row is no line that could become a comment."""
    rows = re.search(r"readings = \[\n.*?\n\]", ELEVEN, flags=re.DOTALL)[0]
    nested = f'bore = [{{ from = "0 mm", to = "50 mm", gauge = "bore gauge", {rows} }}]\n'
    text = re.sub(r"\[\[shell\.bore\]\].*?\n\]\n", "", ELEVEN, flags=re.DOTALL)
    shop = opened(text.replace("[shell]\n", f"[shell]\n{nested}"))
    land, before = {"land": "shell.bore[0]"}, shop.text
    shown = shop.get(**land)
    assert "would take the comment # the far end with it; change it there in an editor." in shown
    assert "Take this size" not in shown
    answer = shop.do("size", land, diameter="42.001", plus_minus="4")
    assert answer.status_code == 422
    assert "would take the comment # the far end with it" in answer.text
    assert shop.text == before
    bare = before.replace("  # the far end", "")
    (shop.folder / "mine.toml").write_text(bare, "utf-8")
    assert "Take this size" in shop.get(**land)
    asked_of(shop.do("size", land, diameter="42.001", plus_minus="4"))
    assert "readings" not in shop.tables["shell"]["bore"][0]
