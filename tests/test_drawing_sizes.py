"""The sizes of a drawing are those of `size`; what `size` does not give is no number."""

from __future__ import annotations

import re
from functools import cache

import jsonschema
import pytest
from drawing_cases import COARSE, GAUGE, STATED, TROUBLESOME, plan_of, small, without_a_size
from made_cases import BLANK

import hoopwright
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.drawing.document import document
from hoopwright.drawing.features import bore_features, metals, sizes_to_work_to, sleeve_features
from hoopwright.drawing.files import Drawing
from hoopwright.drawing.layout import stamp_lines
from hoopwright.drawing.marks import DimensionMark, Label
from hoopwright.drawing.tolerance_class import GRADES, LOWER_DEVIATIONS, RANGES, inside
from hoopwright.interface import sized
from hoopwright.record.case_inputs import drawing_part
from hoopwright.sizing.plan import size_case

SCHEMA = hoopwright.document_schema()


@cache
def solved(units):
    case = small(units=units, more=GAUGE + STATED)
    return size_case(case) if units == "metric" else plan_of(case)


def drawing_of(plan, units="metric"):
    return Drawing.of_plan(plan, Units(units))


def shown(made):
    found = document(made.content, made.sheet, made.units, {"pdf": "x.pdf", "dxf": "x.dxf"})
    whole = {key: value for key, value in SCHEMA.items() if key != "oneOf"}
    jsonschema.Draft202012Validator({**whole, "$ref": "#/$defs/drawing"}).validate(found)
    return found


def texts(made):
    """Every text on the sheet, those of dimensions too."""
    marks = [*made.sheet.views, *made.sheet.sheet]
    marks += [inner for mark in marks if isinstance(mark, DimensionMark) for inner in mark.marks]
    return [mark.text for mark in marks if isinstance(mark, Label)]


# ---- against `size` ---------------------------------------------------------------------------


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_limits_of_a_drawing_are_those_of_size(units):
    """A drawing by hand gave the stated 42.040 ± 0.004 where `size` says 42.036 to 42.072."""
    plan = solved(units)
    bands = sized(plan, None).document()["turn_to"]["bands"]
    made = drawing_of(plan, units)
    fitted = [one for one in shown(made)["sizes"] if one["basis"] == "size"]
    assert len(fitted) == len(bands) == 1
    for one, band in zip(fitted, bands, strict=True):
        assert (one["low_mm"], one["high_mm"]) == (band["low_mm"], band["high_mm"])
        for ours, theirs in (("shown", "readable"), ("shop_shown", "shop_readable")):
            assert one[f"{ours}_mm"] == band[f"{theirs}_mm"]
            assert one[f"{ours}_in"] == band[f"{theirs}_in"]
        unit, decimals = ("in", 4) if units == "inch" else ("mm", 3)
        low, high = (f"{value:.{decimals}f}" for value in band[f"readable_{unit}"])
        assert one[f"text_{unit}"] == [f"Ø{high}", f"Ø{low}"]
        assert one["plotted_mm"] == pytest.approx(0.5 * (band["low_mm"] + band["high_mm"]))
        assert f"Ø{low}" in texts(made)
        shop = [f"{value:.{decimals}f}" for value in band[f"shop_readable_{unit}"]]
        assert f"{shop[0]} to {shop[1]} {unit}" in texts(made)
        assert shop[0] != low
    assert not any(re.search(r"Ø(42\.04(0|$| )|1\.6551)", text) for text in texts(made))


def test_limits_of_what_the_case_states_are_rounded_inwards():
    """42.000 ± 0.005 mm is 1.65335 to 1.65374 in: no limit on the drawing lies beyond."""
    wider = (('bore_plus_minus = "4 um"', 'bore_plus_minus = "5 um"'),)
    made = drawing_of(plan_of(small(more=GAUGE + STATED, changed=wider)), "inch")
    found = {one["name"]: one for one in shown(made)["sizes"]}
    bore = found["shell bore 1"]
    assert bore["text_in"] == ["Ø1.6537", "Ø1.6534"]
    assert bore["text_mm"] == ["Ø42 ±0.005"]
    assert 25.4 * 1.6534 >= bore["low_mm"] > 25.4 * 1.6533
    assert bore["high_mm"] >= 25.4 * 1.6537
    assert found["sleeve length 1"]["text_mm"] == ["16 ±0.1"]
    assert found["sleeve bore 1"]["text_mm"] == ["Ø34 ±0.05"]


def test_a_bore_cut_to_a_sleeve_has_the_limits():
    turned = (('outside_diameter = "42.040 mm"', 'turned = true\noutside_diameter = "42.040 mm"'),)
    made = drawing_of(plan_of(small(changed=turned)))
    found = {one["name"]: one for one in shown(made)["sizes"]}
    assert shown(made)["cut"] == "shell"
    assert found["shell bore 1"]["basis"] == "size"
    assert found["sleeve outside 1"]["text_mm"] == ["(Ø42.04)"]
    (line,) = sizes_to_work_to(made.content, Units("metric"))
    assert line.name.startswith("shell bore, land 1")
    high, low = (text.removeprefix("Ø") for text in found["shell bore 1"]["text_mm"])
    assert line.limits == f"{low} to {high} mm"
    assert re.fullmatch(r"42 mm [A-Z]\d lies inside|none", line.within)


def test_finished_parts_stand_in_brackets():
    both = (
        ('outside_diameter = "42.040 mm"', 'turned = true\noutside_diameter = "42.040 mm"'),
        ('bore_diameter = "42.000 mm"', 'bored = true\nbore_diameter = "42.000 mm"'),
    )
    made = drawing_of(plan_of(small(changed=both)))
    fitted = [one for one in shown(made)["sizes"] if one["name"] in ("sleeve outside 1", "shell bore 1")]
    assert [one["text_mm"] for one in fitted] == [["(Ø42.04)"], ["(Ø42)"]]
    assert sizes_to_work_to(made.content, Units("metric")) == ()


# ---- no number where there is none ------------------------------------------------------------


def never_cut():
    return without_a_size(plan_of(small()))


def not_makeable():
    return plan_of(small(more=COARSE), least_um=30.0, greatest_um=40.0)


@pytest.mark.parametrize("make", [never_cut, not_makeable])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_size_that_size_does_not_give_is_not_on_the_drawing(make, units):
    made = drawing_of(make(), units)
    (fitted,) = [one for one in shown(made)["sizes"] if one["name"] == "sleeve outside 1"]
    assert fitted["basis"] == "not stated"
    assert fitted["shown_mm"] is fitted["shown_in"] is fitted["low_mm"] is None
    assert "Ø not stated" in texts(made)
    assert shown(made)["stamp"] == ['Not to be made: the verdict is "fails"']
    assert 'Not to be made: the verdict is "fails"' in texts(made)
    number = r"42\.0[1-9]|1\.65[5-9]"  # of the sleeve, as stated or in any window
    assert not any(re.search(number, text) for text in texts(made))


def test_what_the_verdict_does_not_allow_stands_across_the_sheet():
    from dataclasses import replace

    found = drawing_of(solved("metric")).content
    assert found.state == "holds"
    assert stamp_lines(found) == ()
    for state in ("fails", "undecided", "contradicted"):
        assert stamp_lines(replace(found, state=state)) == (f'Not to be made: the verdict is "{state}"',)
    in_part = replace(found, state="holds as far as judged")
    assert stamp_lines(in_part) == ("Holds as far as judged only",)
    sample = replace(
        in_part, plan=replace(found.plan, case=replace(found.case, sample=True, invented=True))
    )
    assert stamp_lines(sample) == ("Sample values", "Invented")


# ---- what is stated ---------------------------------------------------------------------------


def test_features_are_as_the_case_states_them_and_else_not_stated():
    units = Units("metric")
    stated = drawing_of(solved("metric")).content
    found = {one.name: one.value for one in (*metals(stated), *sleeve_features(stated, units))}
    assert found["sleeve"] == "E355 steel tube, normalised"
    assert found["cut from"] == "tube 45 x 6"
    assert found["faces square to outside"] == "within 0.02 mm"
    assert found["outside round"] == "within 0.005 mm"
    assert found["texture of outside"] == "not stated"
    bare = drawing_of(plan_of(small())).content
    assert metals(bare)[1].value == "not stated"
    told = [
        one
        for one in (*sleeve_features(bare, units), *bore_features(bare, units))
        if one.value != "not stated"
    ]
    assert told == []
    made = drawing_of(plan_of(small()))
    assert texts(made).count("not stated") >= 12


def test_texture_of_the_outside_is_the_roughness_of_the_fit():
    case = parse_case(TROUBLESOME)
    content = drawing_of(plan_of(case)).content
    found = {one.name: one.value for one in sleeve_features(content, Units("metric"))}
    assert found["texture of outside"] == "Rz 6 µm"
    assert found["class of threads"] == "6H"
    assert "basic" in found["minor diameter of thread"]


def test_the_left_hand_is_marked():
    found = {one["name"]: one for one in shown(drawing_of(plan_of(parse_case(TROUBLESOME))))["sizes"]}
    assert found["sleeve thread 4"]["text_mm"] == ["1.370 in x 24 tpi left", "LEFT HAND, 6H"]
    assert found["sleeve thread 4"]["left_hand"] is True
    assert found["sleeve thread 1"]["text_mm"] == ["1.370 in x 24 tpi right", "6H"]


def test_a_relief_is_as_stated_and_a_taper_is_noted():
    made = drawing_of(plan_of(parse_case(TROUBLESOME)))
    found = {one["name"]: one for one in shown(made)["sizes"]}
    assert found["sleeve outside 2"]["text_mm"] == ["Ø40.2"]
    assert found["sleeve outside 3"]["tapered_um"] == pytest.approx(-6.0)
    assert found["sleeve outside 3"]["text_mm"][0].startswith("mean Ø")
    assert any("right end is 0.006 mm smaller" in text for text in texts(made))


def test_drawing_keys_without_a_thread_are_named_and_roughness_is_not():
    keys = '[drawing.sleeve]\nthread_class = "6H"\n[drawing.bore]\nroundness = "8 um"\n'
    rough = (("friction_high = 0.2", 'friction_high = 0.2\nroughness_sleeve = "6 um"'),)
    (told,) = small(more=keys, changed=rough).without_effect
    needs = "[[sleeve.bore]] thread or [[sleeve.bore]] bored_after or [sleeve] bored_after"
    assert str(told) == f"[drawing.sleeve] thread_class changes nothing here: it needs {needs}"
    assert parse_case(BLANK + '[drawing.sleeve]\nthread_class = "6H"\n').without_effect == ()
    (told,) = small(more="", changed=rough).without_effect
    assert (told.table, told.key) == ("[fit]", "roughness_sleeve")


def test_a_record_states_what_the_drawing_says():
    given = drawing_part(small(more=STATED))
    part = SCHEMA["$defs"]["record"]["properties"]["drawing"]
    jsonschema.Draft202012Validator(part).validate(given)
    assert given["projection"] == "first angle"
    assert given["sleeve"]["length_plus_minus_mm"] == pytest.approx(0.1)
    assert given["bore"]["roundness_mm"] == pytest.approx(0.008)
    assert drawing_part(small())["sleeve"]["squareness_mm"] is None


@pytest.mark.slow
def test_no_number_hangs_on_what_a_drawing_says_but_on_the_wall_of_the_sleeve():
    """Its runouts and the ± of its bore are of the wall that is judged: tests/test_thin_side.py."""
    wall = re.compile(r"^(bore_plus_minus|bore_runout|thread_runout) = .*\n", re.MULTILINE)
    others = wall.sub("", STATED)
    assert others != STATED
    before, after = (hoopwright.check(small(more=GAUGE + more)).document() for more in ("", others))
    for one in (before, after):
        one["case"].pop("sha256")
    assert before == after


# ---- ISO 286 ----------------------------------------------------------------------------------

SEEN = {
    25: ((9, 13, 21, 33, 52), (22, 28, 35)),
    45: ((11, 16, 25, 39, 62), (26, 34, 43)),
    60: ((13, 19, 30, 46, 74), (32, 41, 53)),
}
"""Grades 5 to 9, and least deviations p, r and s, µm, by a size in the range."""


def column(size):
    return next(k for k, top in enumerate(RANGES[1:]) if size <= top)


@pytest.mark.parametrize("size", SEEN)
def test_grades_and_deviations_are_those_seen(size):
    k = column(size)
    widths, deviations = SEEN[size]
    assert tuple(GRADES[grade][k] for grade in (5, 6, 7, 8, 9)) == widths
    assert tuple(LOWER_DEVIATIONS[name][k] for name in "prs") == deviations


def test_tables_follow_the_formulae_of_iso_286_1():
    """i = 0.45 ∛D + 0.001 D, D the geometric mean of the main range; from memory. The tables are rounded
    with steps smoothed: 6 % and 2 µm, 4 µm for the letter t."""
    main = {
        **dict.fromkeys((0, 1), (18, 30)),
        **dict.fromkeys((2, 3), (30, 50)),
        **dict.fromkeys((4, 5), (50, 80)),
    }
    main |= {**dict.fromkeys((6, 7), (80, 120)), **dict.fromkeys((8, 9, 10), (120, 180))}
    for k, (low, high) in main.items():
        mean = (low * high) ** 0.5
        unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
        for grade, times in ((5, 7), (6, 10), (7, 16), (8, 25), (9, 40)):
            assert GRADES[grade][k] == pytest.approx(times * unit, rel=0.06)
        own = (RANGES[k] * RANGES[k + 1]) ** 0.5
        seven = GRADES[7][k]
        expected = {"m": seven - GRADES[6][k], "n": 5.0 * mean**0.34, "u": seven + own}
        expected |= {"t": seven + 0.63 * own, "x": seven + 1.6 * own}
        for name, value in expected.items():
            if LOWER_DEVIATIONS[name][k] is not None:
                assert LOWER_DEVIATIONS[name][k] == pytest.approx(
                    value, abs=max(0.06 * value, 4.0 if name == "t" else 2.0)
                )


def test_the_widest_class_that_lies_inside_is_named():
    found = inside(41.0400, 41.0602, basic=41.0)
    assert (found.name, found.low, found.high) == ("s6", 41.043, 41.059)
    assert inside(41.0337, 41.0602, basic=41.0).name == "r7"
    assert inside(41.0337, 41.0422, basic=41.0) is None  # 8.5 µm hold no grade of 11
    hole = inside(40.98, 41.01, basic=41.0, hole=True)
    assert (hole.name, hole.low, hole.high) == ("K7", 40.982, 41.007)
    assert inside(12.0, 12.1, basic=12.0) is None
