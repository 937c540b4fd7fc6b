"""Presets: they fill in what a case leaves out, never a size, and are named wherever a result is."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import replace

import pytest
import tomlkit
from holding_case import BASE
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.optional_tables import names_for_pushing

from hoopwright import presets, status
from hoopwright.case import CaseError, parse_case
from hoopwright.case.fill_in import filled_by, filled_in
from hoopwright.case.metal_pair import ANY_PAIR, metal_pair, with_sleeve_of
from hoopwright.case.preset_model import Presets
from hoopwright.case.sizing_model import RouteInput
from hoopwright.cli import main
from hoopwright.commands import questions
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.document.heading import heading_part
from hoopwright.left_out import left_out, with_grounds_named
from hoopwright.loads.cases import PEDAL_TESTS
from hoopwright.materials import table as materials
from hoopwright.pipeline import check_case
from hoopwright.presets.model import BASES
from hoopwright.record.pages.presets import presets as page_blocks
from hoopwright.screen.check import report
from hoopwright.screen.presets import brief_lines, listing, preset_lines
from hoopwright.sizing.routes import route_case
from hoopwright.starters import PIECES, starter_text

FIT = "friction_low = 0.1\nfriction_high = 0.2\n"
NO_FIT = re.sub(r"\[fit\]\n" + FIT, "", BASE.replace("SLEEVE", ""))
NO_FIT = NO_FIT.replace("LEFT", "1.37 in x 24 right").replace("RIGHT", "1.37 in x 24 left")
WITHOUT_ITS_OWN = (
    *("friction_low", "friction_high", "pedalling_test", "chain_line", "axial_force", "tightening_torque"),
    *("thread_friction_low", "thread_friction_high", "flange_friction_low", "flange_friction_high"),
    *("capacity", "ram_diameter", "gauge_division"),
)
ALL_KINDS = """
[preset]
use = "cargo"
lubrication = "dry"
cups = "external"
cup_threads = "greased"
press = "20 tonne"
gauge.micrometer = "outside micrometer"
"""


def plain(*lines: str) -> str:
    """A pair without friction, and presets."""
    return NO_FIT + "\n[preset]\n" + "\n".join(lines) + "\n"


def crank_shell(units: str = "metric", *, given: str = ALL_KINDS) -> str:
    """The starter with all taken away that presets can fill in."""
    text = starter_text("crank-shell", units)
    for key in WITHOUT_ITS_OWN:
        text = re.sub(rf"(?m)^{key} = .*\n", "", text)
    return re.sub(r"(?s)\[gauge\.micrometer\].*?\n\n", "", text) + given


def named(chosen: dict[str, str]) -> str:
    """A table [preset] that names these, by kind."""
    keys = {"gauge": "gauge.micrometer"}
    return "\n[preset]\n" + "".join(f'{keys.get(k, k)} = "{name}"\n' for k, name in chosen.items())


def faults_of(text: str) -> list[str]:
    with pytest.raises(CaseError) as caught:
        parse_case(text)
    return str(caught.value).splitlines()


def test_values_are_those_of_the_list_of_sources():
    """ISO 4210-6 and EN 14766 loads; friction after DIN 7190-1, from memory; cups, from memory."""
    case = parse_case(crank_shell(given=ALL_KINDS.replace("cargo", "mountain")))
    assert case.service.pedalling_test == "mountain"
    assert PEDAL_TESTS["mountain"].force == PEDAL_TESTS["assisted"].force == 1200.0
    assert case.service.standing_start == 1500.0
    assert (case.service.crank.crank_length, case.service.crank.pedal_offset) == (175.0, 150.0)
    assert (case.fit.friction_low, case.fit.friction_high) == (0.10, 0.15)
    assert case.cups.left.tightening_torque == case.cups.right.tightening_torque == 50e3
    assert case.press.capacity == pytest.approx(20 * 9806.65, rel=1e-3)
    assert case.size.gauge.accuracy == pytest.approx(0.004)
    basis = {v.key: v.basis for v in case.presets.filled}
    assert basis["standing_start"] == basis["crank_length"] == "seen"
    assert basis["pedalling_test"] == basis["friction_low"] == basis["tightening_torque"] == "from memory"


@pytest.mark.parametrize("name", [name for name in presets.table()["press"] if "arbor" not in name])
def test_a_press_pushes_no_more_than_its_name_says_at_700_bar(name):
    case = parse_case(plain('lubrication = "dry"', f'press = "{name}"'))
    count, _, unit = name.partition(" ")
    newtons = float(count) * {"tonne": 9806.65, "short ton": 2000.0 * 4.4482216}[unit]
    assert 0.995 * newtons < case.press.capacity <= newtons * (1.0 + 1e-6)
    pressure = case.press.capacity / (0.7853982 * case.press.ram_diameter_mm**2)
    assert pressure == pytest.approx(70.0, rel=0.03)


def test_a_value_of_the_cases_own_stands_and_is_not_called_a_preset():
    text = crank_shell().replace("[fit]", "[fit]\nfriction_high = 0.25")
    own = parse_case(text.replace("[service]\n", '[service]\npedalling_test = "city"\n'))
    assert (own.fit.friction_low, own.fit.friction_high) == (0.10, 0.25)
    assert own.service.pedalling_test == "city"
    filled = {v.key for v in own.presets.filled}
    assert {"friction_low", "standing_start"} <= filled
    assert not {"friction_high", "pedalling_test"} & filled


def test_a_gauge_with_an_accuracy_of_its_own_keeps_it():
    case = parse_case(crank_shell() + '\n[gauge.micrometer]\naccuracy = "3 um"\n')
    assert case.size.gauge.coverage == 2.0
    assert case.size.gauge.accuracy == pytest.approx(0.003)
    assert "max_error" not in {v.key for v in case.presets.filled}


@given(st.data())
@settings(max_examples=25, deadline=None)
def test_no_preset_touches_the_piece(data):
    """Sizes, bands, bearings, tubes and materials are those written, whatever presets are named."""
    chosen = {kind: data.draw(st.sampled_from(names_for_pushing(kind))) for kind in presets.table()}
    with_presets = parse_case(crank_shell(given=named(chosen)))
    starter = parse_case(starter_text("crank-shell"))
    for part in ("shell", "sleeve", "shell_material", "sleeve_material", "boring", "temperatures"):
        assert getattr(with_presets, part) == getattr(starter, part)
    ours, theirs = with_presets.service, starter.service
    assert (ours.crank.left, ours.crank.right) == (theirs.crank.left, theirs.crank.right)
    assert (ours.support, ours.bearings) == (theirs.support, theirs.bearings)
    assert ours.micro_slip_accepted == theirs.micro_slip_accepted


def test_the_friction_is_that_of_the_two_metals():
    table, cast = materials(), materials()["6082-T6"]
    steel, wrought = table["E355 steel"], table["6061-T6"]
    assert metal_pair(wrought, steel) == metal_pair(steel, wrought) == "steel on wrought aluminium"
    assert metal_pair(steel, table["304 stainless"]) == "steel on steel"
    assert metal_pair(wrought, table["7075-T6"]) == "aluminium on aluminium"
    assert metal_pair(replace(cast, condition="sand cast"), steel) == "steel on cast aluminium"
    assert metal_pair(replace(cast, name="mine"), steel) == "steel on aluminium"
    assert metal_pair(table["C93200 bronze"], steel) == metal_pair(None, steel) == ""


def test_a_material_of_the_cases_own_may_be_cast():
    own = """
[material.mine]
young_modulus = "69 GPa"
poisson_ratio = 0.33
expansion = "23e-6 /K"
yield_strength = "200 MPa"
ultimate_strength = "250 MPa"
density = "2700 kg/m^3"
source = "made up"
"""
    fit = parse_case(plain('lubrication = "dry"').replace('"6061-T6"', '"mine"') + own).fit
    assert (fit.friction_low, fit.friction_high) == (0.06, 0.15)


def test_a_sleeve_of_another_metal_takes_its_own_friction():
    case = parse_case(plain('lubrication = "dry"'))
    other = with_sleeve_of(case, materials()["7075-T6"])
    assert (other.fit.friction_low, other.fit.friction_high) == (0.06, 0.30)
    bronze = with_sleeve_of(case, materials()["C93200 bronze"])
    assert (bronze.fit.friction_low, bronze.fit.friction_high) == (0.06, 0.30)
    assert {v.pair for v in bronze.presets.filled} == {ANY_PAIR}
    route = RouteInput("of aluminium", "sleeve", part_material=materials()["7075-T6"])
    assert route_case(case, route).fit == other.fit
    own = parse_case(plain().replace("[preset]", "[fit]\n" + FIT))
    assert with_sleeve_of(own, materials()["7075-T6"]).fit == own.fit


@pytest.mark.parametrize("piece", ["hub", "housing", "plain"])
def test_a_use_says_that_it_has_nothing_for_other_pieces(piece):
    case = parse_case(starter_text(piece).replace("#[preset]\n", '[preset]\nuse = "city"\n'))
    assert case.presets.filled == ()
    (note,) = case.presets.notes
    assert note.startswith("use city: no load to fill in; a use loads the cups of a crank shell")


def test_what_cannot_be_filled_in_is_said_in_one_line_each():
    case = parse_case(
        plain('use = "city"', 'lubrication = "dry"', 'cups = "external"', 'cup_threads = "dry"')
    )
    assert (case.service, case.cups) == (None, None)
    about = [note.partition(":")[0] for note in case.presets.notes]
    assert about == ["use city", "cups external", "cup threads dry"]
    text = starter_text("plain").replace("#[preset]\n", '[preset]\npress = "20 tonne"\n')
    (note,) = parse_case(text.replace("gauge_unit", "gauge_accuracy = 0.02\ngauge_unit")).presets.notes
    assert note == "press 20 tonne: nothing to fill in, since the case gives all of it itself"


@pytest.mark.parametrize("kind", [kind for kind in presets.table() if kind != "gauge"])
def test_an_unknown_name_is_one_line_with_the_names_that_exist(kind):
    (line,) = faults_of(re.sub(rf'(?m)^{kind} = ".*"', f'{kind} = "none such"', crank_shell()))
    assert line.startswith(f'case: [preset] {kind} = "none such": not a known preset')
    assert all(name in line for name in presets.table()[kind])


def test_what_stands_in_for_an_unknown_preset_causes_no_fault_of_its_own():
    """0.18 lies above the greatest friction of the first preset of its kind."""
    text = crank_shell().replace("[fit]", "[fit]\nfriction_low = 0.18").replace('"dry"', '"drye"')
    (line,) = faults_of(text)
    assert '[preset] lubrication = "drye": not a known preset' in line


def test_an_unknown_gauge_is_one_line_and_an_unknown_kind_another():
    (line,) = faults_of(crank_shell().replace('"outside micrometer"', '"laser"'))
    assert '[preset.gauge] micrometer = "laser": not a known preset' in line
    (line,) = faults_of(crank_shell().replace("press = ", "pres = "))
    assert "[preset] pres: unknown key; did you mean press?" in line


def test_two_metals_of_unknown_friction_are_one_line():
    (line,) = faults_of(plain('lubrication = "dry"').replace('"1025 steel"', '"C93200 bronze"'))
    assert '[preset] lubrication = "dry": no friction is known of the metals' in line
    assert "give friction_low and friction_high under [fit]" in line
    (line,) = faults_of(plain('lubrication = "dry"').replace('"1025 steel"', '"iron"'))
    assert '[sleeve] material = "iron": not a known material' in line
    (line,) = faults_of("fit = 3\n" + plain('lubrication = "dry"'))
    assert "fit = 3: not a table" in line


def test_a_fault_of_a_filled_value_names_the_preset():
    (line,) = faults_of(crank_shell().replace("[fit]", "[fit]\nfriction_low = 0.18"))
    assert "friction_low = 0.18: above friction_high = 0.15" in line
    assert 'friction_high from the preset lubrication = "dry"' in line
    without_cups = re.sub(r"(?s)\[service\.(left|right)_cup\].*?\n\n", "", crank_shell())
    (line,) = faults_of(without_cups)
    assert "[service] left_cup: missing" in line
    assert 'from the preset use = "cargo"' in line


def test_a_fault_that_no_preset_causes_names_none():
    (line,) = faults_of(crank_shell().replace("[fit]", "[fit]\nfriction_lwo = 0.1"))
    assert "unknown key" in line
    assert "from the preset" not in line


NAMES = (
    "use cargo, lubrication dry, cups external, cup threads greased, press 20 tonne, "
    "gauge outside micrometer"
)


def test_the_verdict_names_every_preset_first_beside_samples():
    case = parse_case(crank_shell())
    loads = "and loads of a cargo bicycle, for which no source is published: Holds."
    for own, start in ((case, "Sample values and v"), (replace(case, sample=False), "V")):
        assert with_grounds_named(own, "Holds.") == f"{start}alues from presets ({NAMES}) {loads}"
    assert with_grounds_named(replace(own, presets=Presets()), "Holds.") == f"L{loads[5:]}"


def test_a_preset_that_turns_silence_into_a_demand_is_named_everywhere():
    """Without [service] and [demand]: a use fills in a demand, so that one more thing was judged; verdict,
    screen, JSON and record name it, and what it cannot fill in is still missing."""
    text = plain('use = "cargo"', 'lubrication = "dry"')
    silent = parse_case(text.replace('use = "cargo"', ""))
    results = check_case(parse_case(text))
    assert silent.demand is None
    assert results.case.demand.axial_force == 2000.0
    assert "nothing is given that the fit must hold" not in left_out(results.case, results.margins)
    assert "no service load is given" in left_out(results.case, results.margins)
    d = document(results)
    assert d["verdict"].startswith("Values from presets (use cargo, lubrication dry): ")
    assert {v["preset"] for v in d["presets"]["filled"]} == {"use cargo", "lubrication dry"}
    shown = report(d, Units("metric"))
    above = shown.split("Before you sign")[0]
    (force,) = [line for line in above.splitlines() if "axial_force" in line]
    assert "use cargo: [demand] axial_force 2 kN, torque 10 N*m (our choice" in force
    assert max(map(len, shown.splitlines())) <= 80
    (head, filled, notes) = page_blocks(d, Units("metric"))
    assert head["text"].startswith("From presets")
    assert ["use cargo", "[demand] axial_force 2 kN, torque 10 N*m"] in [row[:2] for row in filled["rows"]]
    assert notes["items"] == [
        "Use cargo: no load in use is filled in, since [service] does not say where cups and tubes are."
    ]


@given(st.sets(st.sampled_from(sorted(presets.table())), min_size=1), st.data())
@settings(max_examples=25, deadline=None)
def test_whatever_is_filled_in_is_listed_and_named(kinds, data):
    """The case is that in which the values of the list are written, and each preset is in the verdict."""
    chosen = {kind: data.draw(st.sampled_from(names_for_pushing(kind))) for kind in sorted(kinds)}
    text = starter_text("crank-shell") + named(chosen)
    given = sorted(set(WITHOUT_ITS_OWN) & {path[-1] for path in filled_by(chosen)})
    for key in data.draw(st.sets(st.sampled_from(given))) if given else ():
        text = re.sub(rf"(?m)^{key} = .*\n", "", text)
    case = parse_case(text)
    written = tomllib.loads(text)
    del written["preset"]
    for v in case.presets.filled:
        table = written
        for step in v.heading.strip("[]").split("."):
            table = table.setdefault(step, {})
        assert v.key not in table, "a value of the case was overridden"
        table[v.key] = v.value
        assert v.preset in with_grounds_named(case, "Holds.")
    by_hand = parse_case(tomlkit.dumps(written))
    assert replace(case, presets=Presets(), sha256="") == replace(by_hand, sha256="")


def test_inch_readers_see_inch_units_and_press_names_them():
    part = heading_part(parse_case(crank_shell("inch")), "check")["presets"]
    assert brief_lines(part, named_above=False)[1].startswith("Values from presets: use cargo, lubr")
    assert "Values from" not in " ".join(brief_lines(part, named_above=True))
    inch, metric = (" ".join(preset_lines(part, Units(system))) for system in ("inch", "metric"))
    assert "standing_start 337.2 lbf" in inch
    assert "standing_start 1500 N" in metric
    values = re.sub(r"\([^)]*\)", "", inch.replace("(26 to 37 ft*lbf)", ""))
    assert not re.search(r"\d (mm|um|N|kN|bar|MPa|N\*m)\b", values)


def test_every_value_has_a_basis_and_its_source():
    for kind, of_kind in presets.table().items():
        for preset in of_kind.values():
            assert preset.values, (kind, preset.name)
            assert all(v.basis in BASES for v in preset.values)
    bare = {"what": "x", "press": {"capacity": {"value": "1 kN", "basis": "seen"}}}
    with pytest.raises(ValueError, match=r"here: \[press.x\] capacity: no source"):
        presets.parse_presets({"sources": {}, "press": {"x": bare}}, where="here")


def test_the_list_is_printed_in_both_units_within_80_columns(capsys):
    assert main(["presets"]) == status.ALL_HOLD
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    for kind, of_kind in presets.table().items():
        for name in of_kind:
            assert f'{"gauge.NAME" if kind == "gauge" else kind} = "{name}"' in text
    assert main(["presets", "cargo"]) == status.ALL_HOLD
    cargo = capsys.readouterr().out
    assert cargo == listing(presets.table(), "cargo")
    assert "standing_start 1500 N (337.2 lbf)" in " ".join(cargo.split())
    assert "mountain bicycles" not in cargo
    assert main(["presets", "none such"]) == status.BAD_INPUT
    assert len(capsys.readouterr().err.splitlines()) == 1


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("piece", PIECES)
def test_a_starter_with_presets_named_lacks_nothing_that_they_fill_in(piece, units):
    press = "20 tonne" if units == "metric" else "20 short ton"
    answers = {("preset", "press"): press, ("preset", "lubrication"): "oiled"}
    answers |= {("preset", "use"): "cargo"} if piece == "crank-shell" else {}
    text = filled_in(piece, units, answers)
    assert "\n[preset]\n" in text
    case = parse_case(text)
    (note,) = case.presets.notes
    assert "what the gauge shows rests on its ram; measure yours" in note
    filled = {v.key for v in case.presets.filled}
    assert {"friction_low", "friction_high", "capacity", "ram_diameter", "gauge_division"} <= filled
    if piece == "crank-shell":
        assert {"pedalling_test", "chain_line", "axial_force"} <= filled


def test_the_questions_offer_presets_and_leave_out_what_they_fill_in(monkeypatch):
    answers = {"use": "assisted", "press": "30 tonne", "lubrication": "paste"}
    asked = []

    def ask(question, default):
        asked.append(question.path)
        return answers[question.path[1]] if question.path[0] == "preset" else default

    monkeypatch.setattr(questions, "_ask", ask)
    monkeypatch.setattr(questions, "_choice", lambda _text, options: options[0])
    text = questions.case_from_questions()
    assert parse_case(text).presets.names == ("use assisted", "lubrication paste", "press 30 tonne")
    not_asked = {("service", "pedalling_test"), ("demand", "axial_force"), ("press", "capacity")}
    assert not_asked.isdisjoint(asked)
    assert ("cups", "left", "tightening_torque") in asked


@pytest.mark.slow
def test_every_command_and_the_record_name_the_presets(tmp_path, capsys):
    file = tmp_path / "mine.toml"
    file.write_text(crank_shell() + "[mesh]\nelements_through_wall = 2\n", encoding="utf-8")
    for command in ("check", "size", "compare", "press"):
        main([command, str(file)])
        assert NAMES in " ".join(capsys.readouterr().out.split())
    main(["check", str(file), "--json"])
    listed = json.loads(capsys.readouterr().out)["presets"]["filled"]
    assert {v["preset"] for v in listed} == set(NAMES.split(", "))
    assert main(["record", str(file), "--out", str(tmp_path)]) == status.AS_FAR_AS_JUDGED
    assert NAMES in " ".join(capsys.readouterr().out.split())
    assert main(["verify", str(tmp_path / "mine-001")]) == status.ALL_HOLD
