"""The shop sheet: what a turner asks for, one page, no stop above the computed one, no size to be made that
may not be."""

from __future__ import annotations

import copy
import io
import random
import re
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import jsonschema
import pytest
from plain_pair import PRESSED
from small_cases import SLIPS_IN, with_sleeve

import hoopwright
from hoopwright import status
from hoopwright.case.quantity import converted
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.display.gauge import Gauge
from hoopwright.document.sheet import MAX_MARKS, thinned
from hoopwright.page.outputs import OutputFolder
from hoopwright.record.sheet.half_section import half_section, hatching
from hoopwright.record.sheet.page import MAX_PASSES, WIDTH, sheet_page, thin_passes
from hoopwright.record.sheet.pdf import FULL, fill, fitted, sheet_pdf

pypdf = pytest.importorskip("pypdf")

ROOT = Path(__file__).parents[1]
METRIC, INCH = Units("metric"), Units("inch")


@cache
def sheet(text: str = SLIPS_IN):
    return hoopwright.sheet(parse_case(text, file="small.toml"))


def test_the_file_names_the_text_of_its_case(tmp_path):
    sheet().write(tmp_path)
    (found,) = OutputFolder(tmp_path).found().papers
    assert (found.files, found.sha256) == (("small-sheet-001.pdf",), sheet().case.sha256)


def pages(made: bytes):
    return pypdf.PdfReader(io.BytesIO(made)).pages


def words(made: bytes) -> str:
    (page,) = pages(made)
    return re.sub(r"\s+", " ", page.extract_text())


PUSHED = {
    "blocked": "",
    "method": "push",
    "steps": [],
    "enters_from": "left",
    "first": "right",
    "ram_diameter_mm": 50.0,
    "gauge_unit": None,
    "gauge_division_MPa": None,
    "table": {"metric": [], "inch": []},
    "greatest_stop_N": 0.0,
}


def pushed(count: int, rng: random.Random, gauge: Gauge | None) -> dict:
    """Block 4 of a sleeve that is pushed in, with forces at random."""
    rows = []
    for k in range(count):
        stop = 10.0 ** rng.uniform(2.0, 5.5)
        row = {"travel_mm": 5.0 * (k + 1), "bearing_mm": 5.0, "closed_form_N": 1.0}
        row |= {"least_N": 0.3 * stop, "likely_N": 0.6 * stop, "stop_N": stop}
        if gauge is not None:
            at = stop / 1963.5
            row |= {"gauge_least_MPa": gauge.nearest(0.3 * at), "gauge_likely_MPa": gauge.nearest(0.6 * at)}
            row |= {
                "gauge_stop_MPa": gauge.below(at),
                "gauge_too_coarse": gauge.too_coarse(stop=at, likely=0.6 * at),
            }
        rows.append(row)
    table = {"metric": thinned(rows), "inch": thinned(rows)}
    if gauge is None:
        return PUSHED | {"table": table}
    division = converted(gauge.division, gauge.unit, "MPa")
    return PUSHED | {"table": table, "gauge_unit": gauge.unit, "gauge_division_MPa": division}


# ---- the turner's list -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("block", "asked"),
    [
        ("bore", ("jig", "bore", "cool", "deburr", "clean")),
        ("read", ("set_gauge", "measure")),
        ("turn", ("turn", "chamfer", "deburr", "cool", "finish")),
        ("press", ("again", "clean", "first", "heat", "slip_in", "face", "measure", "mark")),
    ],
)
def test_a_turner_finds_every_step_in_its_order(block, asked):
    steps = sheet().document()[block]["steps"]
    found = [step["id"] for step in steps]
    assert [one for one in found if one in asked] == list(asked)
    shown = words(made(METRIC))
    for step in steps:
        assert re.sub(r"\s+", "", step["text"]) in shown.replace(" ", "")


@cache
def made(units: Units, paper: str = "A4") -> bytes:
    d = sheet(SLIPS_IN.replace("[shell]", f'units = "{units.system}"\n[shell]', 1)).document()
    return sheet_pdf(sheet_page(d, units, paper))


@pytest.mark.slow
def test_sizes_stand_on_it_as_the_gauge_shows_them_in_the_shop():
    shop = SLIPS_IN + '[size]\nshop_temperature = "30 degC"\n'
    d = sheet(shop).document()
    (band,) = d["turn"]["bands"]
    low, high = band["shop_readable_mm"]
    assert d["turn"]["shop_temperature_degC"] == 30.0
    assert low <= band["shop_aim_mm"] <= high
    assert band["shop_aim_mm"] == pytest.approx(
        0.5 * (band["shop_low_mm"] + band["shop_high_mm"]), abs=6e-4
    )
    shown = words(sheet_pdf(sheet_page(d, METRIC, "A4")))
    for text in (f"{band['shop_aim_mm']:.3f}", f"{low:.3f} to {high:.3f}", "shop at 30 °C"):
        assert text in shown
    assert (
        f"Ø {band['readable_mm'][0]:.3f} to {band['readable_mm'][1]:.3f}" in shown
    )  # of the section, at 20 °C


def test_cells_for_readings_are_stations_by_angles():
    d = sheet().document()
    assert [len(one["angles_deg"]) for one in d["read"]["stations"]] == [4, 4, 4]
    page = sheet_page(d, METRIC, "A4")
    assert page["read"]["head"] == ["z mm", "0°", "45°", "90°", "135°", "°C"]
    assert page["read"]["rows"] == ["2.4", "8.0", "13.6"]


def test_by_heat_block_4_tells_temperatures_and_handling_time():
    shown = words(made(METRIC))
    assert "Slip in from the left" in shown
    for text in ("110 °C", "20 °C", "in hand", "STOP"):
        assert (text in shown) is (text != "STOP")


@pytest.mark.slow
def test_inch_readers_get_inches_on_paper_of_theirs():
    shown = words(made(INCH, "letter"))
    assert "230 °F" in shown
    assert not re.search(r"\d (mm|µm|°C|N)\b", shown)
    (page,) = pages(made(INCH, "letter"))
    assert tuple(round(float(x)) for x in page.mediabox[2:]) == (612, 792)


# ---- stop values -----------------------------------------------------------------------------


@pytest.mark.parametrize(("units", "newton"), [(METRIC, 1.0), (INCH, 4.4482216152605)])
def test_no_stop_on_the_sheet_exceeds_the_computed_one(units, newton):
    rng = random.Random(30)
    base = sheet().document()
    for k in range(60):
        gauge = (None, Gauge("bar", 5.0, True), Gauge("psi", 20.0, True), Gauge("MPa", 0.5, True))[k % 4]
        part = pushed(rng.randint(1, 30), rng, gauge)
        page = sheet_page({**base, "press": part}, units, "A4")
        (name, *stops), marks = page["press"]["rows"][2], part["table"][units.system]
        assert name == f"STOP {units.label('N') if gauge is None else gauge.unit}"
        assert len(stops) == len(marks) <= MAX_MARKS
        for stop, row in zip(stops, marks, strict=True):
            force = newton if gauge is None else 1963.5 * converted(1.0, gauge.unit, "MPa")
            assert float(stop.strip(" *")) * force <= row["stop_N"] * (1.0 + 1e-8)


def test_marks_are_thinned_evenly_and_home_is_among_them():
    rows = [{"travel_mm": k} for k in range(60)]
    for count in (1, 12, 13, 14, 40, 60):
        found = [row["travel_mm"] for row in thinned(rows[:count])]
        assert found[-1] == count - 1
        assert len(found) <= MAX_MARKS
        assert len({b - a for a, b in zip(found, found[1:], strict=False)}) <= 1
    assert thinned([]) == []


# ---- what may not be made ----------------------------------------------------------------------


def test_what_fails_is_not_to_be_made_and_the_sheet_says_so():
    found = sheet(with_sleeve(42.002))
    d = found.document()
    assert (found.state, found.status) == ("fails", status.SOME_FAIL)
    assert d["not_to_be_made"] == "Not to be made: the verdict is “fails”"
    assert d["not_to_be_made"] in words(sheet_pdf(sheet_page(d, METRIC, "A4")))
    assert "Not to be made" not in words(made(METRIC))
    assert sheet().status == status.ALL_HOLD


@pytest.mark.slow
def test_a_band_that_no_gauge_can_show_keeps_it_from_being_made():
    coarse = '[gauge.rule]\nresolution = "1 um"\nmax_error = "200 um"\n[size]\ngauge = "rule"\n'
    found = sheet(SLIPS_IN + coarse)
    assert found.state == "fails"
    assert found.verdict.startswith("Not makeable with this gauge")
    assert found.document()["not_to_be_made"]


def test_what_is_invented_says_so():
    assert "Invented data" not in words(made(METRIC))
    d = copy.deepcopy(sheet().document())
    d["case"]["invented"] = True
    assert "Invented data" in words(sheet_pdf(sheet_page(d, METRIC, "A4")))


# ---- one page ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("units", "paper"), [pytest.param(METRIC, "A4", marks=pytest.mark.slow), (INCH, "letter")]
)
def test_a_long_case_is_one_page_all_the_same(units, paper):
    """40 lands, 30 passes, 60 stations, and a title and a verdict without end."""
    d = copy.deepcopy(sheet().document())
    rng = random.Random(1)
    d["case"]["title"], d["verdict"] = "W" * 150, "does not hold " * 60
    d["not_to_be_made"] = "Not to be made: the verdict is “undecided”"
    d["case"]["invented"] = True
    d["turn"]["bands"] *= 40
    d["read"]["stations"] *= 20
    d["bore"]["passes"] = [
        {"diameter_mm": 30.0 + k, "per_side_mm": 0.5, "measure_after": k == 28} for k in range(30)
    ]
    d["press"] = pushed(60, rng, Gauge("bar", 5.0, True)) | {"steps": d["press"]["steps"] * 2}
    for name in ("shell_outside", "shell_bore", "sleeve_outside"):
        (land,) = d["sizes"][name]
        d["sizes"][name] = [{**land, "z_start_mm": 0.4 * k, "z_end_mm": 0.4 * (k + 1)} for k in range(40)]
    page = sheet_page(d, units, paper)
    shown = fitted(page)
    (only,) = pages(sheet_pdf(page))
    text = only.extract_text()
    for said in ("Remarks", "turned by", "1 of 1", "STOP", "Do not measure this print.", "as much each"):
        assert said in re.sub(r"\s+", " ", text), said
    assert shown["scale"] >= 0.58
    assert fill(shown) <= 1.0


def test_a_usual_case_leaves_room_for_remarks_and_large_words():
    shown = fitted(sheet_page(sheet().document(), METRIC, "A4"))
    assert shown["scale"] >= 0.94
    assert fill(shown) <= FULL


def test_passes_between_the_first_and_the_last_are_left_out():
    rows = [[str(k), f"{30 + k}.000", "0.500"] for k in range(1, 31)]
    found = thin_passes(rows)
    assert len(found) == MAX_PASSES
    assert found[-1] == rows[-1]
    assert found[0] == rows[0]
    assert thin_passes(rows[:MAX_PASSES]) == rows[:MAX_PASSES]


def test_the_section_is_to_one_scale_and_hatched_inside_its_outline():
    d = sheet().document()
    found = half_section(d, METRIC, WIDTH["A4"])
    shell, sleeve = [i["points"] for i in found["items"] if i["kind"] == "face" and not i["filled"]]
    across = max(y for _, y in shell) - min(y for _, y in shell)
    along = max(x for x, _ in shell) - min(x for x, _ in shell)
    assert along / across == pytest.approx(16.0 / 10.0)
    assert max(y for _, y in sleeve) > max(y for _, y in shell)
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    lines = list(hatching(square, 1.0, 1.0))
    lengths = [((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 for (x0, y0), (x1, y1) in lines]
    assert sum(lengths) == pytest.approx(100.0, rel=0.02)  # the area over the spacing
    for (x0, y0), (x1, y1) in lines:
        assert y1 - y0 == pytest.approx(x1 - x0)
        assert min(x0, x1, y0, y1) >= -1e-9
        assert max(x0, x1, y0, y1) <= 10.0 + 1e-9


# ---- the command ------------------------------------------------------------------------------


def test_the_command_writes_a_new_file_each_time_and_never_half_of_one(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("hoopwright.interface.sheet", lambda _case: sheet())
    case = tmp_path / "small.toml"
    case.write_text(SLIPS_IN, encoding="utf-8")
    (tmp_path / "small-sheet-001.pdf").write_bytes(b"another")
    assert main(["sheet", str(case), "--out", str(tmp_path)]) == status.ALL_HOLD
    file = tmp_path / "small-sheet-002.pdf"
    assert f"written: {file}" in capsys.readouterr().out
    (page,) = pages(file.read_bytes())
    assert tuple(round(float(x)) for x in page.mediabox[2:]) == (595, 842)
    assert (tmp_path / "small-sheet-001.pdf").read_bytes() == b"another"
    assert main(["sheet", str(case), "--out", str(tmp_path / "none")]) == status.NOT_WRITTEN
    assert capsys.readouterr().err.count("\n") == 1
    assert main(["sheet", str(case), "--out", str(tmp_path), "--paper", "letter", "--quiet"]) == 0
    (page,) = pages((tmp_path / "small-sheet-003.pdf").read_bytes())
    assert round(float(page.mediabox[2])) == 612
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        *(f"small-sheet-00{k}.pdf" for k in (1, 2, 3)),
        "small.toml",
    ]


def test_the_document_fits_its_schema_and_so_does_a_pushed_one():
    schema = hoopwright.document_schema()
    whole = {key: value for key, value in schema.items() if key != "oneOf"}
    validator = jsonschema.Draft202012Validator({**whole, "$ref": "#/$defs/sheet"})
    d = sheet().document()
    assert list(validator.iter_errors(d)) == []
    assert (
        list(validator.iter_errors({**d, "press": pushed(9, random.Random(2), Gauge("bar", 5.0, True))}))
        == []
    )
    assert list(validator.iter_errors({**d, "surprise": 1}))
    assert d["removal"]["free_shell_degC"] < d["removal"]["shell_limit_degC"]


@pytest.mark.slow
def test_a_pushed_sleeve_has_its_travel_marks_proof_and_removal():
    d = sheet(
        PRESSED.replace('capacity = "100 kN"', 'capacity = "100 kN"\nram_diameter = "50 mm"')
    ).document()
    ids = [step["id"] for step in d["press"]["steps"]]
    assert ids == ["again", "clean", "first", "pusher", "support", "press", "face", "measure", "mark"]
    shown = words(sheet_pdf(sheet_page(d, METRIC, "A4")))
    assert "STOP bar" in shown
    assert "Proof, on the bench: push it back the way it came with 3100 N" in shown
    assert d["removal"]["strong_enough"] is True


@pytest.mark.slow
@pytest.mark.parametrize("name", ["cargo_trike_crank_shell", "thin_steel_shell", "worn_bearing_housing"])
def test_the_sheet_of_a_demo_is_one_page(name):
    case = hoopwright.read_case(ROOT / "cases" / f"{name}.toml")
    d = hoopwright.sheet(case).document()
    units = Units(case.units)
    shown = words(sheet_pdf(sheet_page(d, units, "A4" if case.units == "metric" else "letter")))
    assert "Invented data" in shown
    assert ("Not to be made" in shown) is (d["state"] in ("fails", "undecided"))


def test_what_the_command_says_fits_the_screen(tmp_path, capsys, monkeypatch):
    said = SimpleNamespace(
        verdict="Do not cut: " + "one more does not hold, " * 12,
        status=status.SOME_FAIL,
        write=lambda _folder, **_: tmp_path / "x.pdf",
    )
    monkeypatch.setattr("hoopwright.interface.sheet", lambda _case: said)
    case = tmp_path / "small.toml"
    case.write_text(SLIPS_IN, encoding="utf-8")
    assert main(["sheet", str(case)]) == status.SOME_FAIL
    shown = capsys.readouterr().out.partition("written:")[0]
    assert max(map(len, shown.splitlines())) <= 80
    assert " ".join(shown.split()) == said.verdict.strip()
