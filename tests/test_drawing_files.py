"""The sheet, and its two files read back: every dimension as the document has it, nothing half written."""

from __future__ import annotations

import io
import json
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from drawing_cases import GAUGE, STATED, TROUBLESOME, plan_of, small
from pypdf import PdfReader
from small_cases import SLIPS_IN

import hoopwright
from hoopwright import status
from hoopwright.case.read import parse_case, read_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.drawing import files, needed
from hoopwright.drawing.files import Drawing
from hoopwright.drawing.layout import SCALES
from hoopwright.drawing.marks import DimensionMark, Label, corners
from hoopwright.drawing.profile import profile
from hoopwright.drawing.wording import dimension_lines
from hoopwright.errors import CaseError, OutputError
from hoopwright.record.atomic_write import write_files

ezdxf = pytest.importorskip("ezdxf", reason="drawings are an extra")
ROOT = Path(__file__).parents[1]
DEMOS = [p for p in sorted((ROOT / "cases").glob("*.toml")) if not p.name.endswith(".expected.toml")]
DEMO_NAMES = [path.stem for path in DEMOS]
CASES = {path.stem: path for path in DEMOS} | {"troublesome": TROUBLESOME, "small": ""}


@cache
def made(name, units):
    given = CASES[name]
    case = (
        small(more=GAUGE + STATED)
        if not given
        else (parse_case(given) if isinstance(given, str) else read_case(given))
    )
    return Drawing.of_plan(plan_of(case), Units(units))


@cache
def read_back(name, units):
    document = ezdxf.read(io.StringIO(made(name, units).dxf().decode()))
    faults = document.audit()
    assert not faults.errors
    assert not faults.fixes
    return document


def dimensions(marks):
    return [mark for mark in marks if isinstance(mark, DimensionMark)]


# ---- DXF --------------------------------------------------------------------------------------


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("name", ["small", "troublesome"])
def test_every_dimension_of_the_dxf_is_that_of_the_document(name, units):
    """Measured in the unit of the drawing, with the text of the document."""
    drawing, found = made(name, units), read_back(name, units).modelspace().query("DIMENSION")
    sizes = [one for one in drawing.content.sizes if one.feature != "chamfer"]
    unit = 25.4 if units == "inch" else 1.0
    expected = sorted(
        (round(one.plotted / unit, 7), "\\P".join(dimension_lines(one, Units(units)))) for one in sizes
    )

    def text(entity):
        return entity.dxf.text.replace(" / ", "\\P").replace(", 6H", "\\P6H").replace(", LEFT", "\\PLEFT")

    def expected_text(words):
        return words.replace(", 6H", "\\P6H")

    measured = sorted((round(one.dxf.actual_measurement, 7), text(one)) for one in found)
    assert measured == sorted((value, expected_text(words)) for value, words in expected)
    for one in found:
        assert one.get_measurement() == pytest.approx(one.dxf.actual_measurement)
        shown = [e.dxf.text for e in one.get_geometry_block() if e.dxftype() == "TEXT"]
        assert "\\P".join(reversed(shown)) == one.dxf.text


@pytest.mark.parametrize(("units", "code"), [("metric", 4), ("inch", 1)])
def test_the_dxf_is_one_to_one_in_its_unit_with_real_line_types(units, code):
    found, drawing = read_back("troublesome", units), made("troublesome", units)
    unit = 25.4 if units == "inch" else 1.0
    assert found.header["$INSUNITS"] == code
    layers = {layer.dxf.name: layer for layer in found.layers}
    assert layers["CENTRE"].dxf.linetype == "LONG_DASHED_DOTTED"
    assert (layers["OUTLINE"].dxf.lineweight, layers["NARROW"].dxf.lineweight) == (50, 25)
    points = [
        p
        for line in found.modelspace().query('LWPOLYLINE[layer=="OUTLINE"]')
        for p in line.get_points("xy")
    ]
    ends = [min(x for x, _ in points), max(x for x, _ in points)]
    assert ends == pytest.approx([0.0, 60.0 / unit])
    sleeve = profile(drawing.content, "sleeve")
    assert max(y for x, y in points if y < 25.0 / unit) == pytest.approx(sleeve.greatest / unit)
    (port,) = [v for v in found.layout("Layout1").query("VIEWPORT") if v.dxf.id != 1]
    assert port.dxf.height / port.dxf.view_height == pytest.approx(drawing.sheet.scale)
    across = [one for one in found.modelspace().query("TEXT") if one.dxf.layer == "STAMP"]
    assert [one.dxf.text for one in across] == list(drawing.stamp)
    assert "Invented" in drawing.stamp
    centres = list(found.modelspace().query('LWPOLYLINE[layer=="CENTRE"]'))
    assert len(centres) == 2


def test_equal_drawings_give_equal_bytes():
    again = Drawing.of_plan(made("small", "metric").content.plan, Units("metric"))
    assert again.dxf() == made("small", "metric").dxf()
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


@pytest.mark.slow
def test_equal_drawings_give_equal_pages():
    again = Drawing.of_plan(made("small", "metric").content.plan, Units("metric"))
    assert again.pdf() == made("small", "metric").pdf()


# ---- the sheet --------------------------------------------------------------------------------


BY_COST = [pytest.param(name, marks=pytest.mark.slow) if name in DEMO_NAMES else name for name in CASES]


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("name", BY_COST)
def test_no_text_lies_on_another_and_all_lie_on_the_sheet(name, units):
    sheet = made(name, units).sheet
    labels = [one for one in (*sheet.views, *sheet.sheet) if isinstance(one, Label) and one.tone != "stamp"]
    labels += [one for mark in dimensions(sheet.views) for one in mark.marks if isinstance(one, Label)]
    boxes = [(corners([one]), one.text) for one in labels]
    for ((left, bottom), (right, top)), text in boxes:
        assert left >= 10.0, text
        assert bottom >= 10.0, text
        assert right <= sheet.width - 9.0, text
        assert top <= sheet.height - 9.0, text
    for ((a, b), one), ((c, d), other) in combinations(boxes, 2):
        apart = b[0] <= c[0] or d[0] <= a[0] or b[1] <= c[1] or d[1] <= a[1]
        assert apart, (one, other)
    assert sheet.scale in SCALES


@pytest.mark.parametrize("name", BY_COST)
def test_every_size_has_one_dimension_and_one_place(name):
    drawing = made(name, "metric")
    names = [one.name for one in dimensions(drawing.sheet.views)]
    assert sorted(names) == sorted(one.name for one in drawing.content.sizes if one.feature != "chamfer")


def test_the_profile_has_chamfers_crests_and_the_middle_of_the_limits():
    drawing = made("troublesome", "metric")
    own, sizes = profile(drawing.content, "sleeve"), drawing.content.of("sleeve", "outside")
    assert own.ends == (2.0, 57.0)
    assert own.outer[0][1] < own.outer[1][1] == pytest.approx(0.5 * sizes[0].plotted)
    assert own.outer[1][0] == pytest.approx(3.0)
    assert own.inner[0][1] == pytest.approx(0.5 * drawing.content.case.sleeve.bore[0].thread.minor)
    assert own.threads[0][:2] == (2.0, 14.0)


def test_the_end_that_goes_in_first_is_marked_and_where_it_goes_in():
    case = small(changed=(("[press]", '[press]\nenters_from = "right"'),))
    for one, side in ((case, "left"), (small(), "right")):
        sheet = Drawing.of_plan(plan_of(one), Units("metric")).sheet
        at = {m.text: m.at[0] for m in sheet.views if isinstance(m, Label)}
        first, mouth = at["this end goes in first"], at["sleeve goes in here"]
        assert (first < mouth) == (side == "left")


@pytest.mark.slow
def test_the_page_is_one_and_says_what_the_document_says():
    reader = PdfReader(io.BytesIO(made("troublesome", "metric").pdf()))
    assert len(reader.pages) == 1
    assert [round(float(v) * 25.4 / 72.0) for v in reader.pages[0].mediabox[2:]] == [210, 297]
    text = reader.pages[0].extract_text()
    for one in made("troublesome", "metric").content.sizes:
        for line in () if one.feature == "chamfer" else dimension_lines(one, Units("metric")):
            assert line in text
    for words in ("LEFT HAND", "Invented", made("troublesome", "metric").content.case.sha256):
        assert words in text


@pytest.mark.slow
def test_a_drawing_that_does_not_fit_its_sheet_is_refused():
    place = 'from = "{0} mm"\nto = "{1} mm"\ndiameter = "42.0{2} mm"\n'
    lands = "".join(
        "[[sleeve.outside]]\n" + place.format(k / 4, (k + 1) / 4, 40 + k % 2) for k in range(64)
    )
    single = 'outside_diameter = "42.040 mm"\noutside_plus_minus = "4 um"\n'
    case = small(changed=((single, ""), ("[fit]", f"{lands}[fit]")))
    advice = "write lands and zones that need not differ as one"
    with pytest.raises(CaseError) as caught:
        Drawing.of_plan(plan_of(case), Units("metric"))
    assert str(caught.value) == f"small.toml: its drawing does not fit on one sheet; {advice}"


# ---- the command ------------------------------------------------------------------------------


@pytest.fixture
def case_file(tmp_path):
    path = tmp_path / "my bush.toml"
    path.write_text(SLIPS_IN + GAUGE, encoding="utf-8")
    return path


def test_the_command_writes_both_files_and_says_so(case_file, tmp_path, capsys):
    out = tmp_path / "drawings"
    assert (
        main(["drawing", str(case_file), "--out", str(out), "--json", "--units", "inch"]) == status.ALL_HOLD
    )
    found = json.loads(capsys.readouterr().out)
    assert sorted(p.name for p in out.iterdir()) == sorted(found["files"].values())
    assert found["files"] == {"pdf": "my-bush_drawing.pdf", "dxf": "my-bush_drawing.dxf"}
    assert (found["units"], found["paper"]) == ("inch", "letter")
    assert len(PdfReader(out / found["files"]["pdf"]).pages) == 1
    assert ezdxf.readfile(out / found["files"]["dxf"]).header["$INSUNITS"] == 1
    sizes = hoopwright.size(hoopwright.read_case(case_file)).document()
    assert found["verdict"] == sizes["verdict"]
    (fitted,) = [one for one in found["sizes"] if one["basis"] == "size"]
    assert fitted["shown_mm"] == sizes["turn_to"]["bands"][0]["readable_mm"]


def test_a_drawing_that_is_there_is_left_and_nothing_is_written_beside_it(case_file, capsys, monkeypatch):
    there = case_file.with_name("my-bush_drawing.dxf")
    there.write_text("older")
    drawing = made("small", "metric")
    monkeypatch.setattr(files.Drawing, "of", classmethod(lambda *_given: drawing))
    monkeypatch.setattr(files, "as_pdf", lambda _sheet: b"")
    assert main(["drawing", str(case_file), "--out", str(case_file.parent)]) == status.NOT_WRITTEN
    assert (
        capsys.readouterr().err == f"{there}: already exists and was left unchanged; use another folder\n"
    )
    assert there.read_text() == "older"
    assert sorted(p.name for p in case_file.parent.iterdir()) == ["my bush.toml", "my-bush_drawing.dxf"]


def test_files_that_belong_together_are_all_there_or_none(tmp_path):
    for second in ("folder", "x" * 300):
        if second == "folder":
            (tmp_path / second).mkdir()
        with pytest.raises(OutputError):
            write_files({tmp_path / "a": b"1", tmp_path / second: b"2"})
        assert not (tmp_path / "a").exists()
    write_files({tmp_path / "new" / "a": b"1", tmp_path / "new" / "b": b"2"})
    assert sorted(p.name for p in (tmp_path / "new").iterdir()) == ["a", "b"]


def test_without_the_extra_one_line_says_what_to_install(case_file, capsys, monkeypatch):
    monkeypatch.setattr(needed, "find_spec", lambda _name: None)
    assert main(["drawing", str(case_file)]) == status.BAD_INPUT
    line = (
        'a drawing needs packages that are not installed (ezdxf); run: pip install "hoopwright[drawing]"\n'
    )
    assert capsys.readouterr().err == line


def test_standard_input_has_no_name_for_a_drawing(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["drawing", "-"])
    assert ended.value.code == status.BAD_INPUT
    assert "a drawing is named after its case file" in capsys.readouterr().err
