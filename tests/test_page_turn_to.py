"""Turn to: what the page gives to cut to, what it says of a reading, and what its buttons write."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from page_benches import TRIKE, bench, demo, html
from turn_to_cases import (
    CHANGE,
    PLAIN,
    as_set_up,
    at,
    case_text,
    finished,
    single,
    size_document,
    words,
    written,
)

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.interference import land_errors
from hoopwright.page.last_cut import NotReadError, at_20, last_cut, reading_of
from hoopwright.page.model import Answer
from hoopwright.page.steps import turn_to as step
from hoopwright.page.views.turn_to import instrument_of
from hoopwright.sizing.turn_to import _as_shown

MINUS = "\u2212"


def test_aim_and_band_are_those_of_the_document_as_the_gauge_shows_them():
    shown = words(html(step.STEP, at(single())))
    document = size_document(single())["turn_to"]["bands"][0]
    low, high = document["shop_readable_mm"]
    assert f"{document['shop_aim_mm']:.3f} mm {low:.3f} to {high:.3f}" in shown
    assert "Aim at, on the mic, shop at 24 °C" in shown
    inch = words(html(step.STEP, at(single(), units="inch")))
    low, high = document["shop_readable_in"]
    assert f"{low:.4f} to {high:.4f}" in inch
    aim = float(re.search(r"shop at 75 °F ([0-9.]+) in", inch)[1])
    assert low <= aim <= high


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_reading_is_said_at_once_to_be_inside_or_not(units):
    text = single()
    band = size_document(text)["turn_to"]["bands"][0]
    cases = {
        band["shop_high_mm"] + 0.012: ("Take off", "off"),
        band["shop_high_mm"] - 0.0005: ("Stop.", "in"),
        band["shop_low_mm"] + 0.0005: ("Stop.", "in"),
        band["shop_low_mm"] - 0.002: ("It came out small.", "past"),
    }
    for size, (head, how) in cases.items():
        made = at(text, units=units, asked={"now-1": f"{size:.5f} mm"})
        bands = step.view(made)["bands"]
        said = bands.aims[0].said
        assert said.how == how
        assert said.head.startswith(head)
        assert bands.commit == (how != "off")
    off = step.view(at(text, units=units, asked={"now-1": f"{band['shop_aim_mm'] + 0.0096:.5f} mm"}))
    said = off["bands"].aims[0].said
    assert (said.head, said.other) == {
        "metric": ("Take off 9\u00a0µm on diameter.", "0.3\u00a0thou"),
        "inch": ("Take off 0.3\u00a0thou on diameter.", "9\u00a0µm"),
    }[units], "rounded down, and to the aim"
    assert "Few tools cut so little clean" in said.lines[0]
    assert "Common practice, no source" in said.lines[0]
    far = step.view(at(text, asked={"now-1": f"{band['shop_high_mm'] + 0.5:.4f} mm"}))["bands"]
    assert not any("Few tools" in line for line in far.aims[0].said.lines)


def test_mean_of_several_counts_and_fewer_than_the_band_counts_on_are_said():
    text = case_text(readings=3)
    aim = size_document(text)["turn_to"]["bands"][0]["shop_aim_mm"]
    one = step.view(at(text, asked={"now-1": f"{aim:.3f} mm"}))["bands"].aims[0].said
    assert "read it 2 times more before you take it as done" in one.lines[-1]
    three = f"{aim - 0.001:.3f} {aim:.3f} {aim + 0.001:.3f} mm"
    said = step.view(at(text, asked={"now-1": three}))["bands"].aims[0].said
    assert said.how == "in"
    assert said.lines == ("That is the mean of 3, which differ by 2.0\u00a0µm.",)


def test_what_is_no_reading_is_refused_with_a_line():
    metric, inch = Units("metric"), Units("inch")
    assert reading_of("1.6156 in", 41.035, metric).mean == pytest.approx(41.036, abs=1e-3)
    assert reading_of("1.6156", 41.035, inch).values == (pytest.approx(41.03624),)
    assert reading_of("41.04 41.05 mm", 41.035, inch).mean == pytest.approx(41.045)
    for typed in ("1.6156", "41,049", "4.1049", "about 41", "41.04 x 41", "-41.04", "nan", "1e400"):
        with pytest.raises(NotReadError):
            reading_of(typed, 41.035, metric)
    made = at(single())
    done = step.STEP.actions["note"](made, {"now-1": ["1.655"]})
    assert done.edits == ()
    assert "another unit" in done.rejected["now-1"][1]
    refused = replace(made, rejected=done.rejected)
    assert 'aria-invalid="true"' in html(step.STEP, refused)
    assert not step.view(refused)["bands"].commit


def test_noting_a_reading_changes_nothing_in_the_case():
    done = step.STEP.actions["note"](at(single()), {"now-1": ["42.049 42.05"]})
    assert (done.edits, done.beside, dict(done.rejected)) == ((), None, {})
    assert done.asked == {"now-1": "42.049 42.05 mm"}
    emptied = step.STEP.actions["note"](at(single(), asked=done.asked), {"now-1": [""]})
    assert emptied.asked == {}


@pytest.mark.parametrize("name", ["one", "lands", "taper"])
def test_what_was_read_becomes_the_size_at_20_degrees_and_the_part_is_finished(name):
    outside = {
        "one": 'outside_diameter = "42.045 mm"\noutside_plus_minus = "5 um"',
        "lands": 'outside = [{from = "0 mm", to = "25 mm", diameter = "42.045 mm"}, '
        '{from = "25 mm", to = "50 mm", diameter = "42.040 mm", plus_minus = "1 um"}]',
        "taper": 'outside = [{from = "0 mm", to = "50 mm", diameter_from = "42.045 mm", '
        'diameter_to = "42.049 mm"}]',
    }[name]
    text = re.sub(r'(?m)^outside_diameter = "42.045.*\n^outside_plus_minus.*$', outside, single(), count=1)
    text = text.replace("[shell]\nmaterial", "[shell]\nbored = true\nmaterial", 1)
    case = parse_case(text)
    places = last_cut(case).places
    asked = {p.name: f"{42.050 + 0.001 * k:.3f} mm" for k, p in enumerate(places)}
    made = at(text, asked=asked)
    done = step.STEP.actions["take"](made, {})
    after = parse_case(written(made, done))
    assert after.sleeve_turned is True
    assert last_cut(after).part is None
    warm = 42.050 * (1.0 - case.sleeve_material.expansion * 4.0 + case.size.gauge.expansion * 4.0)
    assert at_20(case, "sleeve", 42.050) == pytest.approx(warm)
    assert after.sleeve.outside[0].diameter_start == pytest.approx(warm, abs=6e-5)
    assert _as_shown(case, "sleeve", after.sleeve.outside[0].diameter_start) == pytest.approx(
        42.05, abs=6e-5
    )
    last = after.sleeve.outside[-1]
    assert last.diameter_end - after.sleeve.outside[0].diameter_start == pytest.approx(
        0.001 * (len(places) - 1), abs=1.1e-4
    )
    assert all(land.plus_minus > 0.002 for land in after.sleeve.outside)
    back = replace(at(written(made, done), {}), asked=done.asked)
    assert step.view(replace(back, answers={}))["finished"][0].words == "Not turned yet"
    before = parse_case(written(back, step.STEP.actions["undo"](back, {"part": ["sleeve"]})))
    assert before.sleeve_turned is None
    assert [(one.diameter_start, one.diameter_end) for one in before.sleeve.outside] == [
        (one.diameter_start, one.diameter_end) for one in case.sleeve.outside
    ]


def test_more_readings_are_known_better():
    text = case_text(readings=3)
    halves = []
    for typed in ("42.05 mm", "42.05 42.05 42.05 42.05 mm"):
        made = at(text, asked={"now-1": typed})
        after = parse_case(written(made, step.STEP.actions["take"](made, {})))
        halves.append(land_errors(after, "sleeve", "outside", 0).half_width())
    assert halves[1] < halves[0]


def test_bore_that_is_cut_last_is_mirrored():
    text = as_set_up(gauge="bore").replace("[sleeve]\nmaterial", "[sleeve]\nturned = true\nmaterial", 1)
    made = at(text, asked={"now-bore-1": "41.990 mm"})
    view = step.view(made)
    bands = view["bands"]
    assert bands.title == "Bore"
    assert bands.head.startswith("Bore to, on the bore")
    assert bands.aims[0].figure == ""
    dial = bands.aims[0].dial
    aim = size_document(text)["turn_to"]["bands"][0]["shop_aim_mm"]
    assert bands.aims[0].said.head == f"Take out {1e3 * (aim - 41.990):.0f}\u00a0µm on diameter."
    assert dial.aim.replace("\u00a0", " ").replace(MINUS, "-") == f"{aim - 42.0:+.3f} mm"
    ring = step.view(replace(made, asked={"ring": "41.5 mm"}))["bands"].aims[0].dial
    assert ring.aim.startswith(f"{aim - 41.5:+.3f}")
    past = step.view(replace(made, asked={"now-bore-1": "42.010 mm"}))["bands"].aims[0].said
    assert (past.how, past.head) == ("past", "It came out large.")
    done = step.STEP.actions["take"](replace(made, asked={"now-bore-1": "42.010 mm"}), {})
    after = parse_case(written(made, done))
    assert after.shell_bored is True
    assert last_cut(after).part is None


def test_a_gauge_is_shown_as_it_reads():
    case = parse_case(single())

    def of(**given):
        gauge = replace(case.size.gauge, **given)
        return instrument_of(replace(case, size=replace(case.size, gauge=gauge)), True)

    assert of() == "micrometer"
    assert of(type="") == "micrometer"
    assert of(type="digital micrometer") == "number"
    assert of(type="caliper") == "number"
    text = as_set_up(PLAIN + '[preset.gauge]\nmic = "outside micrometer"\n')
    assert instrument_of(parse_case(text), True) == "number", "that preset is of a digital one"
    plain_one = text.replace('"outside micrometer"', '"plain micrometer"')
    assert instrument_of(parse_case(plain_one), True) == "micrometer"
    digital = single().replace("outside micrometer, 25", "digital micrometer, 25")
    assert 'class="micrometer' not in html(step.STEP, at(digital))


def assert_gives_no_size(made):
    found = html(step.STEP, made)
    assert step.view(made)["bands"] is None
    assert "turn-size" not in found
    assert "<svg" not in found.partition('id="answers"')[2].partition('class="sheet turn-entry')[0]
    return words(found)


def test_no_size_is_given_for_old_sizes_faults_samples_or_what_clashes():
    text = single()
    good = size_document(text)
    assert "worked out" in assert_gives_no_size(at(text, old=True))
    assert "has a fault" in assert_gives_no_size(at(text + "[fit]\n", good))
    sample = text.replace("#sample = true", "sample = true")
    assert "sample values" in assert_gives_no_size(at(sample, good))
    assert step.view(at(sample, good))["entry"] is None
    window = good["window"]
    contradicted = good | {"window": window | {"withheld": "the press says otherwise"}, "turn_to": None}
    contradicted |= {"verdict": "Do not rely on these sizes: read otherwise.", "state": "fails"}
    assert "Do not rely on these sizes" in assert_gives_no_size(at(text, contradicted))
    clash = {"title": "sleeve turns", "what": "never holds", "measured_interference_um": None}
    clash |= {"effective_interference_um": None, "check": "turned", "doubt": ""}
    empty = good | {"window": window | {"empty": True, "clash": [clash]}, "turn_to": None, "state": "fails"}
    empty |= {"verdict": "Do not cut: no interference satisfies every check."}
    assert "Sleeve turns never holds" in assert_gives_no_size(at(text, empty))
    coarse = good | {"turn_to": good["turn_to"] | {"makeable": False}}
    coarse |= {"verdict": "Not makeable with this gauge: a reading good to ± 2.0 µm would do."}
    assert "Give another gauge" in assert_gives_no_size(at(text, coarse))
    assert assert_gives_no_size(at(text, good | {"state": "undecided", "verdict": "Do not cut yet"}))
    with_bands = good | {"window": contradicted["window"]}
    assert "See the press" in assert_gives_no_size(at(text, with_bands))


def test_no_size_is_given_while_the_check_contradicts_the_case():
    made = at(single())
    checked = {
        "state": "contradicted",
        "checks": [],
        "closed_form": {"agrees": False},
        "verdict": "Not to be used: two ways to compute it disagree.",
        "fit": {"diametral_interference_um": {"nominal": 45.0}},
    }
    answers = {**made.answers, "check": Answer(checked, made.version)}
    assert "two ways to compute it disagree" in assert_gives_no_size(replace(made, answers=answers))
    older = {**made.answers, "check": Answer(checked, "of before")}
    assert step.view(replace(made, answers=older))["bands"] is not None


def test_size_that_the_gauge_cannot_show_in_the_shop_is_not_given():
    text = single()
    document = size_document(text)
    (band,) = document["turn_to"]["bands"]
    band |= {"shop_aim_mm": None, "chance": None, "shop_readable_mm": None}
    assert "No size that this gauge can show" in assert_gives_no_size(at(text, document))


def test_where_no_tenth_lies_in_the_band_the_size_is_given_in_the_units_of_the_case():
    document = size_document(single(), half=0.0011)
    (band,) = document["turn_to"]["bands"]
    band |= {"shop_readable_in": None}
    aim = step.view(at(single(), document, units="inch"))["bands"].aims[0]
    assert (aim.unit, aim.other) == ("mm", "")


def test_suspect_reading_withholds_the_size():
    chip = demo(TRIKE).replace("41.002 41.000 41.001 41.001 mm", "41.002 41.000 41.011 41.001 mm")
    text = re.sub(r"(?m)^log = .*$", "", chip)
    document = size_document(text) | {"state": "undecided", "verdict": "Do not cut yet: it stands out."}
    assert "See the readings" in assert_gives_no_size(at(text, document))
    worse = document | {"state": "holds"}
    assert_gives_no_size(at(text, worse))


def test_each_land_has_its_tab_and_all_must_be_read():
    text = demo(TRIKE)
    made = at(text, asked={"land": "2", "now-1": "41.034 mm"})
    bands = step.view(made)["bands"]
    assert bands.title == "Sleeve outside, land 2"
    assert [tab.state for tab in bands.tabs] == ["in the band", "not read"]
    assert "now-1=41.034" in bands.tabs[0].href
    assert not bands.commit
    assert bands.lacks.text == "Not read yet: land 2."
    assert step.STEP.actions["take"](made, {}).rejected
    both = replace(made, asked={"now-1": "41.034 mm", "now-2": "40.9 mm"})
    assert step.view(both)["bands"].commit
    above = replace(made, asked={"now-1": "41.034 mm", "now-2": "41.1 mm"})
    assert not step.view(above)["bands"].commit
    for odd in ("9", "0", "-1", "one", "²", "1" * 50):
        assert step.view(replace(made, asked={"land": odd}))["bands"].title.endswith("land 1")


def test_ways_out_are_shown_best_first_and_one_is_taken():
    text, document = finished()
    made = at(text, document)
    shown = html(step.STEP, made)
    said = words(shown)
    assert (
        said.index("Do not press it as it is")
        < said.index("Turn another sleeve")
        < said.index("Press it as it is Fails")
    )
    assert "+0.21" in said
    assert "shell yields, pressed" in said
    assert "It is too small." in said
    assert "Never knurl it." in said
    assert shown.count("Make the case so") == 1
    done = step.STEP.actions["way"](made, {"way": ["turn_another"]})
    after = parse_case(written(made, done))
    assert after.sleeve_turned is None
    assert after.sleeve.outside[0].diameter_start == 42.05
    assert after.sleeve.outside[0].plus_minus == pytest.approx(0.0021)
    assert last_cut(after).part == "sleeve"


def test_way_out_takes_the_readings_of_what_is_cut_away_with_it():
    text = re.sub(r"(?m)^log = .*$", "", demo(TRIKE)).replace("[sleeve]", "[sleeve]\nturned = true", 1)
    lines = text.index("readings = ["), text.index("]\n", text.index("readings = ["))
    rows = re.findall(r"\{ z = (.*?), angles = (.*?), values = (.*?) \}", text[lines[0] : lines[1]])
    blocks = "".join(
        f"[[shell.bore.readings]]  # said\nz = {z}\nangles = {a}\nvalues = {v}\n" for z, a, v in rows
    )
    apart = f"{text[: lines[0]]}# by the owner\n{blocks}{text[lines[1] + 2 :]}"
    dropped = ["readings", "gauge", "part_temperature", "temperature_plus_minus"]
    change = CHANGE | {"table": "shell.bore", "land": 1, "drop": dropped}
    change |= {"set": {"diameter": "41.050 mm", "plus_minus": "2 um"}}
    for written_so in (text, apart):
        document = finished(changes=[change])[1]
        made = at(written_so, document)
        assert "the case loses the readings" in words(html(step.STEP, made))
        after = parse_case(written(made, step.STEP.actions["way"](made, {"way": ["turn_another"]})))
        assert after.shell.bore[0].diameter_start == 41.05
        assert [m.index for m in after.shell_measured] == [1]


def test_no_way_is_taken_that_fails_or_is_of_older_sizes():
    for way in ("as_it_is", "nonsense", ""):
        made = at(*finished())
        assert step.STEP.actions["way"](made, {"way": [way]}).rejected
    for state in ("fails", "undecided", "contradicted", "not judged", "cannot be done"):
        made = at(*finished(state=state))
        assert "Make the case so" not in html(step.STEP, made)
        assert step.STEP.actions["way"](made, {"way": ["turn_another"]}).rejected
    old = at(*finished(), old=True)
    assert step.view(old)["out"] is None
    assert step.STEP.actions["way"](old, {"way": ["turn_another"]}).rejected


def test_address_can_put_back_nothing_but_sizes():
    made = at(finished()[0], {})
    for was in ('{"sleeve.material": "6061-T6"}', "[1]", "{", '{"sleeve.outside_diameter": 4}', "[" * 5000):
        done = step.STEP.actions["undo"](replace(made, asked={"was": was}), {"part": ["sleeve"]})
        assert [e.path for e in done.edits] == ["sleeve.turned"]


def test_part_that_is_read_is_taken_as_not_finished_by_a_word_and_not_by_a_size():
    text = re.sub(r"(?m)^log = .*$", "", demo(TRIKE)).replace(
        'diameter = "41.034 mm"\nplus_minus = "3 um"',
        'gauge = "micrometer"\nreadings = [{ z = "20 mm", values = "41.034 41.035 mm" }]',
    )
    text = text.replace(
        'diameter = "41.009 mm"\nplus_minus = "3 um"',
        'gauge = "micrometer"\nreadings = [{ z = "60 mm", values = "41.009 41.010 mm" }]',
    )
    assert last_cut(parse_case(text)).part is None
    made = replace(bench(text), asked={})
    done = step.STEP.actions["undo"](made, {"part": ["sleeve"]})
    again = parse_case(written(made, done))
    assert again.sleeve_turned is False
    later = at(written(made, done), asked={"now-1": "41.03 mm", "now-2": "41.0 mm"})
    bands = step.view(later)["bands"]
    assert not bands.commit
    assert (bands.lacks.link, bands.lacks.href) == ("Readings", "readings?land=sleeve.outside%5B0%5D")
    assert step.STEP.actions["take"](later, {}).rejected


def test_marks_say_what_is_finished():
    assert step.mark(bench("")) == "nothing"
    assert step.mark(bench(single())) == "nothing"
    assert step.mark(bench(finished()[0])) == "given"


@pytest.mark.parametrize("state", ["bands", "ways", "typed"])
def test_template_is_sound(state):
    made = at(*finished()) if state == "ways" else at(single())
    made = replace(made, asked={"now-1": '42.05"<b>'} if state == "typed" else {})
    found = html(step.STEP, made)
    ids = re.findall(r'\sid="([^"]+)"', found)
    assert len(ids) == len(set(ids))
    assert " style=" not in found
    assert '"<b>' not in found
    assert "42.05&#34;&lt;b&gt;" in found or state != "typed"
