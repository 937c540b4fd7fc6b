"""The shop sheet of sleeves as they are really made: its steps and its section follow the case."""

from __future__ import annotations

import io
from functools import cache
from math import radians, tan

import jsonschema
import pytest
from made_cases import BLANK, FLANGED, MADE, PROUD, SHOULDERED
from small_cases import SLIPS_IN

import hoopwright
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.document.sheet import sizes_part
from hoopwright.record.sheet.half_section import half_section
from hoopwright.record.sheet.page import WIDTH, sheet_page
from hoopwright.record.sheet.pdf import sheet_pdf
from hoopwright.shop_sheet.as_made import (
    against,
    facing,
    finishing_steps,
    flange_steps,
    home_steps,
    roughing,
    support,
)

pypdf = pytest.importorskip("pypdf")

METRIC, INCH = Units("metric"), Units("inch")


@cache
def case(text: str):
    return parse_case(text, file="made.toml")


def texts(steps):
    return [step.text for step in steps]


# ---- steps -----------------------------------------------------------------------------------


def test_what_stays_proud_and_a_flange_are_not_faced():
    """Both were told to be faced off: the flange itself, too."""
    assert facing(case(FLANGED), METRIC) == (
        "Face: the right end flush, take off only what stands proud. Do not face the left flange."
    )
    ends = "Do not face the left end (stands {} proud) or the right end (stands {} proud)."
    assert facing(case(PROUD), METRIC) == ends.format("3.000 mm", "4.000 mm")
    assert facing(case(PROUD), INCH) == ends.format("0.1181 in", "0.1575 in")
    assert "the right end is on its shoulder" in facing(case(SHOULDERED), METRIC)
    assert facing(case(SLIPS_IN), METRIC) == "Face: both ends flush; take off only what stands proud."
    for text in (FLANGED, PROUD):
        assert "both ends flush" not in facing(case(text), METRIC)


def test_a_sleeve_is_pushed_home_against_what_stops_it():
    (flange,), (shoulder,) = (texts(home_steps(case(t), METRIC, "left")) for t in (FLANGED, SHOULDERED))
    assert "the flange meets the shell's left face" in flange
    assert "stop when it touches the shoulder" in shoulder
    (proud,) = texts(home_steps(case(PROUD), METRIC, "left"))
    assert proud == "Stop when its left end stands 3.000 mm proud and its right end stands 4.000 mm proud."
    assert home_steps(case(SLIPS_IN), METRIC, "left") == []
    found = [against(case(t), METRIC, "left") for t in (FLANGED, SHOULDERED, PROUD, SLIPS_IN)]
    assert found == [
        "its flange, on the shell's left face",
        "the shoulder",
        "a stop 4.000 mm beyond the shell's right face",
        "a stop",
    ]


def test_the_shell_rests_on_a_ring_that_lets_a_proud_end_through():
    assert "ring" in support(case(PROUD), METRIC, "right")
    assert "comes out by 4.000 mm" in support(case(PROUD), METRIC, "right")
    assert "comes out by 3.000 mm" in support(case(PROUD), METRIC, "left")
    assert "the way out clear" in support(case(FLANGED), METRIC, "right")
    assert "the way out clear" not in support(case(SHOULDERED), METRIC, "right")


def test_a_blank_is_bored_and_threaded_after_pressing_with_its_sizes():
    steps = finishing_steps(case(BLANK), METRIC)
    assert [(s.id, s.text) for s in steps] == [
        ("bore_after", "Now bore it to Ø 35.400 mm, z 14.0 to 26.0 mm."),
        (
            "thread_after",
            "Now cut the thread 1.370 in x 24 tpi left, left end: LEFT-HAND, z 0.0 to 14.0 mm.",
        ),
        ("thread_after", "Now cut the thread 1.370 in x 24 tpi right, right end, z 26.0 to 40.0 mm."),
    ]
    assert (
        roughing(case(BLANK), METRIC) == "Rough the outside; first bore the blank to Ø 30.000 mm: it moves."
    )
    assert finishing_steps(case(SLIPS_IN), METRIC) == []
    assert texts(flange_steps(case(FLANGED), METRIC)) == [
        "Flange Ø 54.000 mm, 3.000 mm thick: face it in the same setting as the outside."
    ]


# ---- section ---------------------------------------------------------------------------------


def section(text, units=METRIC):
    d = {"sizes": sizes_part(case(text)), "turn": {"cut": None, "bands": []}, "bore": {"done": False}}
    return half_section(d, units, WIDTH["A4"])


def outlines(found):
    return [i["points"] for i in found["items"] if i["kind"] == "face" and not i["filled"]]


def test_the_section_has_the_flange_and_the_chamfer_as_deep_as_stated():
    shell, sleeve = outlines(section(FLANGED))
    scale = (max(x for x, _ in shell) - min(x for x, _ in shell)) / 16.0
    assert min(y for _, y in sleeve) - min(y for _, y in shell) == pytest.approx(scale * 4.0)
    assert min(x for x, _ in shell) - min(x for x, _ in sleeve) == pytest.approx(scale * 3.0)
    right = max(x for x, _ in sleeve)
    corner = min(y for x, y in sleeve if x == pytest.approx(right))
    flat = min(y for x, y in sleeve if x == pytest.approx(right - 1.5 * scale))
    assert corner - flat == pytest.approx(scale * 1.5 * tan(radians(15.0)))
    said = [i["text"] for i in section(FLANGED)["items"] if i["kind"] == "words"]
    assert "chamfer 1.500 mm × 15°" in said
    assert any("flange Ø 54.000" in one for one in (*said, *section(FLANGED)["beside"]))


def test_the_section_of_a_blank_is_as_pressed_with_its_finished_bore_dashed():
    found = section(BLANK)
    shell, sleeve = outlines(found)
    scale = (max(x for x, _ in shell) - min(x for x, _ in shell)) / 40.0
    axis = max(y for _, y in sleeve) + 15.0 * scale
    dashed = [i for i in found["items"] if i["kind"] == "line" and i["dash"] == "dashed"]
    flat = {round((axis - i["from"][1]) / scale, 3) for i in dashed if i["from"][1] == i["to"][1]}
    thread = case(BLANK).sleeve.bore[0].thread
    assert flat == {round(0.5 * thread.major, 3), 17.7}
    said = [*(i["text"] for i in found["items"] if i["kind"] == "words"), *found["beside"]]
    assert said.count("Ø 30.000 blank") == 1
    assert "after pressing, 14.0 to 26.0 mm: Ø 35.400" in said
    assert not [i for i in section(SLIPS_IN)["items"] if i.get("dash") == "dashed"]


# ---- the head ----------------------------------------------------------------------------------


def test_the_verdict_is_said_once():
    d = hoopwright.sheet(case(SLIPS_IN)).document()
    assert d["verdict"].startswith("Holds")
    assert sheet_page(d, METRIC, "A4")["state"] == ""
    other = d | {"state": "fails", "verdict": "Do not cut: one way to fail does not hold."}
    assert sheet_page(other, METRIC, "A4")["state"] == "fails. "


@pytest.mark.slow
@pytest.mark.parametrize("name", ["flange", "blank"])
def test_the_whole_sheet_follows_the_case(name):
    d = hoopwright.sheet(case(MADE[name])).document()
    schema = hoopwright.document_schema()
    whole = {key: value for key, value in schema.items() if key != "oneOf"}
    jsonschema.Draft202012Validator({**whole, "$ref": "#/$defs/sheet"}).validate(d)
    ids = [step["id"] for step in d["press"]["steps"]]
    middle = {
        "flange": ["press", "home", "face"],
        "blank": ["press", "bore_after", *["thread_after"] * 2, "face"],
    }
    at = ids.index("press")
    assert ids[at : at + len(middle[name])] == middle[name]
    assert "tap" not in ids
    (page,) = pypdf.PdfReader(io.BytesIO(sheet_pdf(sheet_page(d, METRIC, "A4")))).pages
    assert "Verdict when printed: Holds" in " ".join(page.extract_text().split())
