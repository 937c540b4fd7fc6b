"""A person says of what stands out that it is so; of nothing else."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_parts import HOME
from page_readings import ELEVEN, TWELFTH, Bench, asked_of

from hoopwright.case.read import lands_read

FEW = re.sub(
    r"readings = \[\n.*?\n\]",
    """readings = [
    { z = "8 mm", angles = "0 45 90 135 deg", values = "42.001 42.000 42.030 42.007 mm", confirmed = true },
    { z = "25 mm", angles = "0 45 90 135 deg", values = "42.000 42.001 42.001 42.000 mm" },
    { z = "42 mm", angles = "0 45 90 135 deg", values = "42.001 42.000 42.001 42.000 mm" },
]""",
    ELEVEN,
    flags=re.DOTALL,
)
"""A station that was confirmed when one of its readings stood out; with the last station a second does."""


def test_what_is_so_counts_but_nothing_new_is_confirmed_with_it(tmp_path):
    with Bench(tmp_path / "served", ELEVEN) as shop:
        asked_of(shop.do("take", TWELFTH, typed="42.012"))
        asked_of(shop.do("confirm", {"land": "shell.bore[0]"}, row="2"))
        rows = shop.tables["shell"]["bore"][0]["readings"]
        assert [row.get("confirmed") for row in rows] == [None, None, True]
        assert 'class="doubt"' not in shop.get(land="shell.bore[0]")
        asked_of(
            shop.do("take", TWELFTH | {"at": "0"}, typed="42.002")
        )  # no slip: what was seen stays seen
        assert shop.tables["shell"]["bore"][0]["readings"][2]["confirmed"] is True
        asked_of(shop.do("take", TWELFTH | {"at": "1"}, typed="41.985"))
        assert "confirmed" not in shop.tables["shell"]["bore"][0]["readings"][2]
        assert 'class="doubt"' in shop.get(land="shell.bore[0]")


def test_what_is_read_elsewhere_confirms_nothing_at_a_station_that_was(tmp_path):
    first_two = re.sub(r".*z = \"42 mm\".*\n", "", FEW)
    (land,) = lands_read(first_two)
    assert [one.written for one in land.outliers] == ["42.030 mm"]
    with Bench(tmp_path / "served", first_two) as shop:
        asked = {"land": "shell.bore[0]", "stations": "8 25 42 mm"}
        asked_of(shop.do("column", asked | {"station": "z 42 mm", "at": "0"}, column="42.001 42 42.001 42"))
        (land,) = lands_read(shop.text)
        assert [(one.written, one.confirmed) for one in land.outliers] == [
            ("42.030 mm", False),
            ("42.007 mm", False),
        ]


def test_station_taken_away_confirms_nothing_at_another(tmp_path):
    """Without the station that it went with, a second reading stands out at one that was confirmed."""
    hiding = '    { z = "2 mm", angles = "0 45 90 135 deg", values = "42.007 42.000 42.007 42.007 mm" },\n'
    text = FEW.replace("readings = [\n", f"readings = [\n{hiding}")
    assert [one.written for one in lands_read(text)[0].outliers] == ["42.030 mm"]
    with Bench(tmp_path / "served", text) as shop:
        asked_of(shop.do("drop-station", {"land": "shell.bore[0]", "station": "row 0", "at": "0"}))
        (land,) = lands_read(shop.text)
        assert [(one.written, one.confirmed) for one in land.outliers] == [
            ("42.030 mm", False),
            ("42.007 mm", False),
        ]


def test_nothing_is_confirmed_before_it_stands_out(tmp_path):
    with Bench(tmp_path / "served", ELEVEN) as shop:
        answer = shop.do("confirm", {"land": "shell.bore[0]"}, row="0")
        assert answer.status_code == 422
        assert "nothing stands out at that station" in answer.text
        assert shop.text == ELEVEN


def boxes(shown):
    return re.findall(r'<div class="confirmed">.*?</form>', shown, flags=re.DOTALL)


def test_what_was_confirmed_says_so_and_can_be_taken_back(tmp_path):
    asked = {"land": "shell.bore[0]"}
    with Bench(tmp_path / "served", FEW) as shop:
        (box,) = boxes(shop.get(**asked))
        assert "8.0\xa0mm along: confirmed" in box
        assert "90°: 42.030\xa0mm, " in box
        assert "above what the others say of its place. It counts as it was read." in box
        assert 'class="doubt"' not in shop.get(**asked)
        asked_of(shop.do("take-back", asked, row="0"))
        assert shop.text.replace('"  }', '" }') == FEW.replace(", confirmed = true", "")
        shown = shop.get(**asked)
        assert boxes(shown) == []
        assert "90°, 8.0\xa0mm along: 42.030\xa0mm, read it again" in shown
        asked_of(shop.do("confirm", asked, row="0"))
        assert len(boxes(shop.get(**asked))) == 1


def test_no_script_is_needed_to_take_a_confirmation_back(tmp_path):
    with Bench(tmp_path / "served", FEW) as shop:
        (box,) = boxes(shop.get(land="shell.bore[0]"))
        (action,) = re.findall(r'method="post" action="([^"]*)"', box)
        fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', box))
        answer = shop.client.post(action.replace("&amp;", "&"), data=fields, headers={"origin": HOME})
        assert answer.status_code == 303
        assert "confirmed" not in shop.text


def test_station_that_is_confirmed_with_nothing_standing_out_says_that_it_changes_nothing(tmp_path):
    text = FEW.replace("42.030", "42.001").replace("42.007", "42.000")
    with Bench(tmp_path / "served", text) as shop:
        (box,) = boxes(shop.get(land="shell.bore[0]"))
        assert "No reading stands out there now" in box
        asked_of(shop.do("take-back", {"land": "shell.bore[0]"}, row="0"))
        assert "confirmed" not in shop.text


def test_what_is_typed_beside_a_confirmed_reading_is_doubted_in_place_of_it(tmp_path):
    """The station is not said to be confirmed while a reading that is typed there takes that away."""
    station = {"land": "shell.bore[0]", "station": "row 0", "at": "0"}
    with Bench(tmp_path / "served", FEW) as shop:
        assert len(boxes(shop.get(**station, typed="42.002"))) == 1
        shown = shop.get(**station, typed="41.960")
        assert boxes(shown) == []
        assert 'class="doubt"' in shown


@pytest.mark.parametrize("row", ["1", "3", "", "-1", "x", "99999"])
def test_nothing_is_taken_back_where_nothing_is_confirmed(tmp_path, row):
    with Bench(tmp_path / "served", FEW) as shop:
        answer = shop.do("take-back", {"land": "shell.bore[0]"}, row=row)
        assert answer.status_code == 422
        assert ("nothing is confirmed at that station" if row == "1" else "no such station") in answer.text
        assert shop.text == FEW


def test_confirmation_of_a_station_in_a_table_of_its_own_is_switched_off(tmp_path):
    rows = [line.strip(" {},") for line in FEW.splitlines() if line.startswith("    { z")]
    tables = "".join(f"[[shell.bore.readings]]\n{re.sub(', (?=[a-z]+ =)', chr(10), row)}\n" for row in rows)
    text = re.sub(r"readings = \[\n.*?\n\]\n", tables, FEW, flags=re.DOTALL)
    with Bench(tmp_path / "served", text) as shop:
        assert shop.tables["shell"]["bore"][0]["readings"][0]["confirmed"] is True
        asked_of(shop.do("take-back", {"land": "shell.bore[0]"}, row="0"))
        assert shop.text == text.replace("confirmed = true", "#confirmed = true")


def test_refusal_is_said_where_nothing_is_left_to_be_read(tmp_path):
    """All readings are taken, so no entry stands there to say it."""
    with Bench(tmp_path / "served", FEW) as shop:
        assert 'id="entry"' not in shop.get(land="shell.bore[0]", stations="8 25 42 mm")
        answer = shop.do("take-back", {"land": "shell.bore[0]", "stations": "8 25 42 mm"}, row="1")
        assert re.search(r'role="alert">[^/]*△! </span>nothing is confirmed at that station', answer.text)
