"""Keys that a case gives and that change nothing in it: each is named, with what it lacks, and no other."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from strategies import Document, toml

from hoopwright.case import parse_case
from hoopwright.display import Units
from hoopwright.document.check import document as check_document
from hoopwright.document.press import document as press_document
from hoopwright.pipeline import check_case
from hoopwright.pressing.plan import press_plan
from hoopwright.screen.check import report as check_report
from hoopwright.starters import starter_text

ENDURANCE = {"amplitude": "60 MPa", "at_cycles": 10, "slope": 9, "source": "made up"}
CUP = {"bearing": "6 mm", "from": "0 mm", "to": "3 mm", "hold": "clamped"}


def slipping_in() -> Document:
    """A plain boss whose sleeve slips in, and no load."""
    found = tomllib.loads(starter_text("plain", "metric"))
    found |= {"mesh": {"elements_through_wall": 1}, "size": {}}
    found["press"] = {"method": "heat", "heat": {"shell_most": "150 degC", "sleeve_cold": "-18 degC"}}
    found["shell"]["out_of_round"] = {"ovality": "9 um", "three_lobe": "0 um"}
    return found


def pushed_along() -> Document:
    """A plain boss with a bearing that is loaded along the axis."""
    found = slipping_in()
    bearing = {"axial": "300 N", "z": "10 mm", "from": "3 mm", "to": "17 mm", "hold": "pressed"}
    found["service"] = {"bearing": [bearing], "clamped": {"from": "40 mm", "to": "50 mm"}}
    return found


def struck() -> Document:
    """A plain boss with cups that takes a blow from the side and no load that repeats."""
    found = pushed_along()
    del found["service"]["bearing"]
    right = {"bearing": "44 mm", "from": "47 mm", "to": "50 mm"}
    found["service"] |= {"left_cup": CUP, "right_cup": CUP | right}
    found["service"]["side_impact"] = {"force": "300 N", "side": "right", "radius": "20 mm"}
    return found


IDLE: dict[Any, Document] = {
    slipping_in: {
        "press": {"capacity": "150 kN", "ram_diameter": "50 mm", "gauge_unit": "psi"}
        | {"gauge_division": "5 bar", "gauge_accuracy": 0.1, "friction_likely": 0.15}
        | {"restart_ratio": 2.0, "friction_scatter": 0.2, "closure_plus_minus": "5 um"},
        "fit": {"roughness_bore": "8 um", "roughness_sleeve": "3 um", "smoothing": 0.5},
        "factors": {"pressing": 3.0, "fatigue": 3.0},
        "temperatures": {"oven_time": "20 min"},
        "fatigue": {"surface": 0.5, "reliability": 0.95, "heat_affected": 0.5}
        | {"shell": ENDURANCE, "sleeve": ENDURANCE},
        "sleeve": {"tap_after_pressing": True},
        "size": {"readings": 3, "shop_plus_minus": "3 K"},
        "gauge": {"micrometer": {"expansion": "20e-6 /K"}},
    },
    pushed_along: {
        "service": {"left_cup": CUP, "right_cup": CUP | {"bearing": "44 mm"}, "axial_to": "left"}
        | {"centre_line": "9 mm", "crank_length": "170 mm"}
    },
    struck: {
        "service": {"cycles": 1000, "chain_line": "45 mm", "crank_length": "170 mm"}
        | {"chainring_radius": "84 mm", "pedal_offset": "140 mm"},
    },
}


def merged(document: Document, more: Document) -> Document:
    """The document with more keys in its tables."""
    inner = {
        name: merged(document[name], value) if isinstance(value, dict) and name in document else value
        for name, value in more.items()
    }
    return {**document, **inner}


def results(case: Any) -> list[Any]:
    checked = check_case(case)
    shown = [check_document(checked), press_document(press_plan(case), Units("metric"))]
    for one in shown:
        one["case"].pop("sha256")
    return shown


def places(keys: Document, path: str = "") -> list[tuple[str, str]]:
    """Table and key of every value, of a table whose keys all stand in `keys` the table alone."""
    found = []
    for name, value in keys.items():
        heading = f"{path}.{name}".lstrip(".")
        whole = value in (ENDURANCE, CUP) or name.endswith("_cup")
        if isinstance(value, dict):
            found += [(f"[{heading}]", "")] if whole else places(value, heading)
        else:
            found.append((f"[{path}]", name))
    return found


BESIDE = [pytest.param(make, marks=pytest.mark.slow) for make in (pushed_along, struck)]


@pytest.mark.parametrize("make", [slipping_in, *BESIDE])
def test_keys_that_are_said_to_change_nothing_change_nothing(make):
    """And every one of those given is named once, each with what it lacks."""
    before = results(parse_case(toml(make())))
    after = results(parse_case(toml(merged(make(), IDLE[make]))))
    told = after[0].pop("without_effect")
    assert before[0].pop("without_effect") == []
    assert after == before
    assert sorted((one["table"], one["key"]) for one in told) == sorted(places(IDLE[make]))
    assert all(one["needs"] and one["needs"] in one["text"] for one in told)


PUSHED = [
    ({"press": {"gauge_unit": "psi"}}, "[press] gauge_unit changes nothing here: it needs ram_diameter"),
    ({"fit": {"smoothing": 0.5}}, "it needs roughness_bore or roughness_sleeve"),
    ({"shell": {"out_of_round": {"ovality": "9 um", "three_lobe_angle": "9 deg"}}}, "it needs three_lobe"),
    (
        {"gauge": {"micrometer": {"expansion": "20e-6 /K"}}, "size": {"shop_temperature": "20 degC"}},
        "[gauge.micrometer] expansion changes nothing here: it needs temperature or [[shell.bore]] part",
    ),
    (
        {"fatigue": {"shell": ENDURANCE}},
        "[fatigue.shell] changes nothing here: it needs [service]",
    ),
]


def test_a_sleeve_is_pushed_where_the_case_does_not_say():
    document = tomllib.loads(starter_text("plain", "metric"))
    del document["press"]
    document["fit"] |= {"roughness_bore": "8 um", "smoothing": 0.5}
    assert parse_case(toml(document)).without_effect == ()


@pytest.mark.parametrize(("given_keys", "line"), PUSHED)
def test_a_key_without_effect_is_named_with_what_it_lacks(given_keys, line):
    document = tomllib.loads(starter_text("plain", "metric"))
    document["press"] = {}
    for table, keys in given_keys.items():
        if table == "gauge":
            document["gauge"]["micrometer"].update(keys["micrometer"])
        else:
            document.setdefault(table, {}).update(keys)
    (notice,) = parse_case(toml(document)).without_effect
    assert line in str(notice)


def test_lengths_for_a_standing_start_need_one():
    document = tomllib.loads(starter_text("crank-shell", "metric"))
    document["service"] |= {"chainring_radius": "84 mm", "crank_length": "170 mm", "axial_to": "left"}
    told = [str(one) for one in parse_case(toml(document)).without_effect]
    assert told == [
        "[service] chainring_radius changes nothing here: it needs standing_start or level_pedal_test",
        "[service] crank_length changes nothing here: it needs standing_start or level_pedal_test",
    ]
    document["service"] |= {"standing_start": "1500 N", "pedal_offset": "140 mm"}
    assert parse_case(toml(document)).without_effect == ()


def test_a_factor_on_thread_roots_has_its_effect_on_threads_cut_after_pressing():
    document = tomllib.loads(starter_text("crank-shell", "metric"))
    document.setdefault("fatigue", {})["thread_notch_factor"] = 3.0
    threaded = document["sleeve"]["bore"]
    assert any("thread" in zone for zone in threaded)
    assert parse_case(toml(document)).without_effect == ()
    for zone in threaded:
        if "thread" in zone:
            zone.pop("cut_pitch_diameter", None)
            zone |= {"bored_after": zone.pop("thread"), "diameter": "30 mm"}
    assert parse_case(toml(document)).without_effect == ()
    del document["cups"], document["sleeve"]["bore"]
    document["sleeve"]["bore_diameter"] = "30 mm"
    (notice,) = (one for one in parse_case(toml(document)).without_effect if one.table == "[fatigue]")
    assert notice.key == "thread_notch_factor"


def test_a_key_at_its_default_is_no_matter():
    document = slipping_in()
    document["press"] |= {"restart_ratio": 1.3, "gauge_accuracy": 0.016}
    document["fit"]["roughness_bore"] = "0 mm"
    assert parse_case(toml(document)).without_effect == ()


def test_the_screen_of_a_check_has_a_line_for_each_key_without_effect():
    document = slipping_in()
    document["press"]["capacity"] = "150 kN"
    shown = check_document(check_case(parse_case(toml(document))))
    text = check_report(shown, Units("metric"))
    line = 'Keys without effect\n  - [press] capacity changes nothing here: it needs method = "push"\n'
    assert line in text
    shown["without_effect"] = []
    assert "without effect" not in check_report(shown, Units("metric"))
