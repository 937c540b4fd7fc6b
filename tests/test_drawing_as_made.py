"""The drawing of sleeves as they are really made: the blank is what is dimensioned, with its flange, its
lead-ins as stated, and what is cut after pressing as a chain line with two dots."""

from __future__ import annotations

import io
from functools import cache
from itertools import combinations
from math import radians, tan

import jsonschema
import pytest
from drawing_cases import plan_of
from made_cases import BLANK, MADE

import hoopwright
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.drawing.document import document
from hoopwright.drawing.files import Drawing
from hoopwright.drawing.marks import DimensionMark, Label, Line, corners
from hoopwright.drawing.profile import profile
from hoopwright.drawing.wording import dimension_lines

ezdxf = pytest.importorskip("ezdxf", reason="drawings are an extra")
SCHEMA = hoopwright.document_schema()


@cache
def plan(name):
    return plan_of(parse_case(MADE[name], file=f"{name}.toml"))


@cache
def drawing(name, units="metric"):
    return Drawing.of_plan(plan(name), Units(units))


def sizes(name):
    return {one.name: one for one in drawing(name).content.sizes}


def words(made):
    marks = [*made.sheet.views, *made.sheet.sheet]
    marks += [inner for mark in marks if isinstance(mark, DimensionMark) for inner in mark.marks]
    return [mark.text for mark in marks if isinstance(mark, Label)]


def sentences(made):
    """The words beside the views in the order in which they are read."""
    labels = [one for one in made.sheet.sheet if isinstance(one, Label)]
    return " ".join(one.text for one in sorted(labels, key=lambda one: (-one.at[1], one.at[0])))


def text(size):
    return dimension_lines(size, Units("metric"))


def test_a_flange_has_its_diameter_and_its_thickness():
    found = sizes("flange")
    assert text(found["sleeve flange 1"]) == ("Ø54",)
    assert text(found["sleeve flange thickness 1"]) == ("3",)
    assert (found["sleeve flange 1"].z_start, found["sleeve flange 1"].z_end) == (-3.0, 0.0)
    own = profile(drawing("flange").content, "sleeve")
    assert own.greatest == 27.0
    assert own.outer[:3] == ((-3.0, 27.0), (0.0, 27.0), (0.0, pytest.approx(21.02, abs=0.04)))
    marks = {m.name: m for m in drawing("flange").sheet.views if isinstance(m, DimensionMark)}
    flange, neck = marks["sleeve flange 1"], marks["sleeve outside 1"]
    assert (
        flange.through[0] < flange.start[0] < neck.start[0] < neck.through[0]
    )  # what it hides, at the other end
    assert "its flange rests on the left face" in sentences(drawing("flange"))


def test_a_lead_in_is_as_deep_as_stated_and_says_its_angle():
    own = profile(drawing("flange").content, "sleeve")
    (before, flat), (end, low) = own.outer[-2:]
    assert (before, end) == (14.5, 16.0)
    assert flat - low == pytest.approx(1.5 * tan(radians(15.0)))
    assert "lead-in 1.5 × 15°" in words(drawing("flange"))
    assert "is drawn as deep" not in sentences(drawing("flange"))
    assert "lead-in 1 long, angle not stated" in words(drawing("proud"))
    assert "not stated is drawn as deep as long" in sentences(drawing("proud"))
    assert text(sizes("flange")["sleeve chamfer 2"]) == ("1.5 × 15°",)


def test_a_blank_is_dimensioned_as_it_is_pressed():
    """It was drawn finished, with threads that are not there yet."""
    found = sizes("blank")
    assert [one for one in found if one.startswith(("sleeve bore ", "sleeve thread"))] == [
        "sleeve bore 1",
        "sleeve thread after pressing 1",
        "sleeve bore after pressing 2",
        "sleeve thread after pressing 3",
        *(f"sleeve bore length {k}" for k in (1, 2, 3)),
    ]
    blank = found["sleeve bore 1"]
    assert (blank.z_start, blank.z_end, text(blank)) == (0.0, 40.0, ("Ø30",))
    assert text(found["sleeve bore after pressing 2"]) == ("after pressing Ø35.4",)
    assert text(found["sleeve thread after pressing 1"]) == (
        "after pressing 1.370 in x 24 tpi left",
        "LEFT HAND",
    )
    own = profile(drawing("blank").content, "sleeve")
    assert {r for _, r in own.inner} == {15.0}
    assert own.threads == ()
    assert [(a, b) for a, b, _ in own.later] == [(0.0, 14.0), (14.0, 26.0), (26.0, 40.0)]


def test_what_is_cut_later_is_one_chain_line_from_face_to_face():
    sheet = drawing("blank").sheet
    (line,) = [one for one in sheet.views if isinstance(one, Line) and one.style == "phantom"]
    at = [
        ((x - sheet.origin[0]) / sheet.scale, (y - sheet.origin[1]) / sheet.scale) for x, y in line.points
    ]
    thread = 0.5 * parse_case(BLANK).sleeve.bore[0].thread.major
    expected = [(0.0, thread), (14.0, thread), (14.0, 17.7), (26.0, 17.7), (26.0, thread), (40.0, thread)]
    assert at == [pytest.approx(one) for one in expected]
    part = BLANK.replace('bored_after = "1.37 in x 24 left"\n', "").replace(
        'bored_after = "1.37 in x 24 right"\n', ""
    )
    sheet = Drawing.of_plan(plan_of(parse_case(part)), Units("metric")).sheet
    (line,) = [one for one in sheet.views if isinstance(one, Line) and one.style == "phantom"]
    at = [(y - sheet.origin[1]) / sheet.scale for _, y in line.points]
    assert at == pytest.approx([15.0, 17.7, 17.7, 15.0])


@pytest.mark.parametrize("name", MADE)
def test_the_document_fits_its_schema(name):
    made = drawing(name)
    found = document(made.content, made.sheet, made.units, {"pdf": "x.pdf", "dxf": "x.dxf"})
    whole = {key: value for key, value in SCHEMA.items() if key != "oneOf"}
    jsonschema.Draft202012Validator({**whole, "$ref": "#/$defs/drawing"}).validate(found)
    assert {one["name"] for one in found["sizes"] if one["after_pressing"]} == {
        one for one in sizes(name) if "after pressing" in one
    }


@pytest.mark.parametrize(("name", "units"), [("blank", "metric"), ("flange", "inch")])
def test_every_dimension_of_the_dxf_is_that_of_the_document(name, units):
    made = drawing(name, units)
    read = ezdxf.read(io.StringIO(made.dxf().decode()))
    faults = read.audit()
    assert not faults.errors
    assert not faults.fixes
    unit = 25.4 if units == "inch" else 1.0

    def plain(lines):
        return "".join(lines).replace("\\P", "").replace(" / ", "").replace(", LEFT", "LEFT")

    expected = sorted(
        (round(one.plotted / unit, 7), plain(dimension_lines(one, Units(units))))
        for one in made.content.sizes
        if one.feature != "chamfer"
    )
    found = read.modelspace().query("DIMENSION")
    assert sorted((round(one.get_measurement(), 7), plain([one.dxf.text])) for one in found) == expected
    phantom = read.modelspace().query('LWPOLYLINE[layer=="PHANTOM"]')
    assert len(phantom) == (name == "blank")
    layers = {layer.dxf.name: layer for layer in read.layers}
    assert layers["PHANTOM"].dxf.linetype == "LONG_DASHED_DOUBLE_DOTTED"
    pattern = [
        tag.value
        for tag in read.linetypes.get("LONG_DASHED_DOUBLE_DOTTED").pattern_tags.tags
        if tag.code == 49
    ]
    assert [round(v * unit, 3) for v in pattern] == [6.0, -0.75, 0.13, -0.75, 0.13, -0.75]


def test_a_sleeve_that_stays_proud_says_where_it_stands():
    said = sentences(drawing("proud"))
    assert "left end is 3 mm outside the left face" in said
    assert "its right end 4 mm outside the right face; what stands proud is not faced" in said
    assert "its right end rests on a shoulder" in sentences(drawing("shoulder"))
    assert "not faced" not in sentences(drawing("flange"))
    assert "pressed in as a blank" in sentences(drawing("blank"))


@pytest.mark.parametrize("name", MADE)
def test_no_text_lies_on_another(name):
    sheet = drawing(name).sheet
    labels = [one for one in (*sheet.views, *sheet.sheet) if isinstance(one, Label) and one.tone != "stamp"]
    marks = [one for one in sheet.views if isinstance(one, DimensionMark)]
    labels += [one for mark in marks for one in mark.marks if isinstance(one, Label)]
    boxes = [(corners([one]), one.text) for one in labels]
    for ((a, b), one), ((c, d), other) in combinations(boxes, 2):
        apart = b[0] <= c[0] or d[0] <= a[0] or b[1] <= c[1] or d[1] <= a[1]
        assert apart, (one, other)
    names = [one.name for one in marks]
    assert sorted(names) == sorted(
        one.name for one in drawing(name).content.sizes if one.feature != "chamfer"
    )
