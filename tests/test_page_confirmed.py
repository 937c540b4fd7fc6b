"""A person says of what stands out that it is so; of nothing else."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

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
