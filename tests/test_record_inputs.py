"""A record holds what was read and given: every reading, every gauge, the log, and the sizes to cut to."""

from __future__ import annotations

import copy
import csv
import json
import re
from hashlib import sha256

import pytest
from foreign_units import texts_in
from record_cases import CASE, LOG, results, written_record
from test_record_pages import text_of

from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.document.size import land_part
from hoopwright.document.stations import stations_part
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.record.case_inputs import gauges_part
from hoopwright.record.pages.as_read import as_read
from hoopwright.record.pages.press import press
from hoopwright.record.pages.turn_to import turn_to


def typed() -> list[tuple[float, float, str]]:
    """z, angle and value of every reading of the case, read from its text by hand."""
    found = []
    for row in re.findall(
        r'\{ z = "([\d.]+) mm", angles = "([\d ]+) deg", values = "([\d. ]+) mm" \}', CASE
    ):
        z, angles, values = row
        found += [(float(z), float(a), v) for a, v in zip(angles.split(), values.split(), strict=True)]
    return found


def test_the_results_contain_every_reading_as_it_was_typed():
    (land,) = results()["readings"]
    shown = [
        (station["z_mm"], round(one["angle_deg"], 9), one["written"].removesuffix(" mm"))
        for station in land["stations"]
        for one in station["readings"]
    ]
    assert len(shown) == 8
    assert shown == typed()
    assert all(f"{float(text):.3f}" == text for _, _, text in shown)  # no digit lost, "40.000" stays so


def test_a_reading_keeps_the_digits_and_the_unit_it_was_typed_with():
    one = CASE.replace("40.002 40.001 40.001 40.000 mm", "1.57490 1.57480 1.5748 1.5748 in").replace(
        "UNITS", "inch"
    )
    (land,) = parse_case(one).shell_measured
    first, second = land_part(land)["stations"]
    assert [r["written"] for r in first["readings"]] == [
        "1.57490 in",
        "1.57480 in",
        "1.5748 in",
        "1.5748 in",
    ]
    assert first["readings"][0]["diameter_mm"] == pytest.approx(1.5749 * 25.4, abs=1e-9)
    assert second["readings"][0]["written"] == "40.001 mm"


def test_every_reading_is_on_the_pages_in_a_table_of_its_land():
    text = re.sub(r"\s+", " ", text_of((written_record("metric") / "record.pdf").read_bytes()))
    table = text.split("shell, bore, land 1 [mm]:")[1]
    assert "at z gauge part at 0° 45° 90° 135°" in table
    for z in (6.0, 26.0):
        values = " ".join(v for at, _, v in typed() if at == z)
        assert f"{z:.1f} mm two-point 20.0 °C {values}" in table


def test_readings_of_another_trade_stand_in_brackets_behind_those_of_the_reader():
    """40.002 mm = 1.57488 in (NIST SP 811: 25.4 mm exactly)."""
    cells = " ".join(texts_in(list(as_read(results(), Units("inch")))))
    assert "1.57488 in (40.002 mm)" in cells
    assert "0.24 in" in cells


def test_readings_without_angles_and_warm_parts_are_shown():
    gauge = Gauge("g", 1e-3, 2e-3)
    station = Station(5.0, (), (40.0, 40.001), gauge, 2.5, 0.5)
    land = {"part": "shell", "surface": "bore", "land": 1}
    land["stations"] = stations_part(LandReadings(0.0, 10.0, (station,)))
    _, block = as_read({"readings": [land]}, Units())
    *_, table = block["blocks"]
    assert table["head"] == ["at z", "gauge", "part at", "reading 1", "reading 2"]
    assert table["rows"] == [["5.0 mm", "g", "22.5 ± 0.5 °C", "40.0000 mm", "40.0010 mm"]]


def test_a_land_read_at_many_angles_takes_several_rows_and_loses_none():
    station = Station(5.0, tuple(15.0 * k for k in range(24)), (40.0,) * 24, Gauge("g", 1e-3, 2e-3))
    land = {"part": "shell", "surface": "bore", "land": 1}
    land["stations"] = stations_part(LandReadings(0.0, 10.0, (station,)))
    heads = [b["blocks"][1]["head"][3:] for b in list(as_read({"readings": [land]}, Units()))[1:]]
    assert [h for head in heads for h in head] == [f"{15 * k}°" for k in range(24)]


def test_every_gauge_is_recorded_in_full():
    (gauge,) = gauges_part(parse_case(CASE.replace("UNITS", "metric")))
    (used,) = {
        s.gauge
        for m in parse_case(CASE.replace("UNITS", "metric")).shell_measured
        for s in m.readings.stations
    }
    assert gauge["temperature_degC"] is used.temperature_rise is None  # as warm as what it reads
    assert gauge["comparator"] is used.comparator
    assert gauge["expansion_per_K"] == used.expansion
    assert len(gauge) == len(Gauge.__dataclass_fields__)  # a key a field


def test_the_press_log_is_recorded_row_by_row_with_its_file():
    part = results()["press_readings"]
    rows = [(float(a), 1e3 * float(b)) for a, b in list(csv.reader(LOG.splitlines()))[1:]]
    assert [(r["travel_mm"], r["force_N"]) for r in part["rows"]] == rows
    assert {r["gauge_MPa"] for r in part["rows"]} == {None}
    assert part["sha256"] == sha256((written_record("metric") / part["file"]).read_bytes()).hexdigest()


def planned() -> str:
    """The text of the case without loads, with a sleeve still to be turned in a warm shop."""
    text = CASE.replace("UNITS", "metric").replace('log = "log.csv"\n', "")
    text = text[: text.index("[service.clamped]")] + '[service]\nnone = "display piece"\n'
    return (
        text
        + '[size]\ngauge = "two-point"\nshop_temperature = "26 degC"\n[mesh]\nelements_through_wall = 2\n'
    )


@pytest.mark.slow
def test_the_sizes_to_cut_to_are_those_of_size(tmp_path, capsys):
    path = tmp_path / "hub.toml"
    path.write_text(planned(), encoding="utf-8")
    main(["size", str(path), "--json"])
    size = json.loads(capsys.readouterr().out)
    main(["record", str(path), "--out", str(tmp_path), "--quiet"])
    whole = json.loads((tmp_path / "hub-001" / "results.json").read_text(encoding="utf-8"))
    assert whole["turn_to"]["bands"]
    assert whole["turn_to"] == size["turn_to"]


def test_the_sizes_to_cut_to_are_on_the_pages_in_the_unit_of_the_reader():
    band = {"land": 1, "z_start_mm": 0.0, "z_end_mm": 41.5, "guard_um": 3.8}
    band |= {"readable_mm": [41.025, 41.044], "shop_readable_mm": [41.027, 41.046]}
    band |= {"readable_in": [1.6152, 1.6158], "shop_readable_in": None, "shop_aim_mm": 41.036, "ends": []}
    part = {"cut": "sleeve", "shop_temperature_degC": 24.0, "makeable": True, "confidence": 0.95}
    part |= {"gauge": "micrometer", "bands": [band]}
    for units, row in (
        (
            "metric",
            ["land 1", "z 0.0 to 41.5 mm", "41.025 to 41.044", "41.027 to 41.046", "41.036 mm", "3.8 µm"],
        ),
        (
            "inch",
            [
                "land 1",
                "z 0.00 to 1.63 in",
                "1.6152 to 1.6158",
                "no readable size",
                "1.6156 in",
                "0.15 thou",
            ],
        ),
    ):
        ((block),) = turn_to({"turn_to": part}, Units(units))
        assert block["blocks"][1]["rows"] == [row]
    assert turn_to({"turn_to": None}, Units()) == []


@pytest.mark.parametrize("unit", ["psi", "MPa"])
def test_the_pages_keep_the_unit_that_the_gauge_is_marked_in(unit):
    whole = copy.deepcopy(results())
    curve = whole["press"]["force_against_travel"]
    curve["gauge_unit"] = unit
    blocks = press(whole, Units())
    text = " ".join(texts_in(blocks))
    assert f"gauge, {unit}: least" in text
    assert re.search(rf"stop above .* gauge [\d.]+ {re.escape(unit)}", text)
    assert " bar" not in text.split("Or by heat")[0].split("Stop if")[0]
