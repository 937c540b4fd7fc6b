"""What the page says stands in the units of its reader, whatever units the case was written in."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from foreign_units import NUMBER, OWN, foreign_units, texts_in
from page_benches import TRIKE, bench, demo, html, starter
from page_cases import solved
from page_presses import plan
from turn_to_cases import at, case_text, words

from hoopwright.case.read import CASE, parse_case
from hoopwright.display import Units
from hoopwright.errors import CaseError
from hoopwright.page import solver
from hoopwright.page.fields import field
from hoopwright.page.model import SENTENCES, Answer
from hoopwright.page.reading_actions import give_size
from hoopwright.page.steps import readings, turn_to
from hoopwright.page.steps.press import STEP as PRESS
from hoopwright.page.steps.use import STEP as USE
from hoopwright.page.views.opened import opened_view
from hoopwright.screen.keys import report

SYSTEMS = ("metric", "inch")
RAM = '\n[press]\nram_diameter = "50 mm"\n'


def pressed(units):
    """A case without a unit of its gauge, to be pressed on a coarse mesh."""
    text = re.sub(r"^(sample.*|\[press\][^\[]*)", "", starter(units=units), flags=re.MULTILINE)
    return f"{text}{RAM}[mesh]\nelements_through_wall = 2\n"


@pytest.mark.parametrize("units", SYSTEMS)
def test_press_says_its_sentences_to_either_reader_and_the_gauge_stays_as_it_is_marked(units):
    text = pressed(units)
    found = solver.COMMANDS["plan"](parse_case(text), lambda *_: None)
    gauge = {"metric": "bar", "inch": "psi"}[units]
    marked = f'{text}\n[press]\ngauge_unit = "{gauge}"\n'.replace("[press]\n", "", 1)
    for system in SYSTEMS:
        made = bench(text, system)
        shown = replace(made, answers={"plan": Answer(found, made.version_for("plan"))}).answer("plan")
        assert shown["force_against_travel"]["gauge_unit"] == gauge
        sentences = " ".join(texts_in([shown["advice"], shown["heat_and_cold"]["notes"]]))
        assert len(re.findall(rf"{NUMBER} (?:{OWN[system]})", sentences)) > 3
        assert foreign_units(sentences, system, marked) == []


def test_step_press_shows_the_sentences_of_its_reader():
    other = {"advice": ["It takes 225 lbf."]}
    own = plan() | {"advice": ["It takes 1000 N."]}
    for system, said in (("metric", "1000 N"), ("inch", "225 lbf")):
        made = bench(case_text(), system)
        found = own | {SENTENCES: {"inch": own | other}}
        made = replace(made, answers={"plan": Answer(found, made.version_for("plan"))})
        assert said in words(html(PRESS, made))


@pytest.mark.parametrize("system", SYSTEMS)
def test_no_key_is_explained_in_units_of_the_other_trade_alone(system):
    tables = list(CASE.walk())
    meanings = [text for _, keys in tables for text in (keys.meaning, *(key.meaning for key in keys.keys))]
    either = rf"(?<!\w){NUMBER} (?:{OWN['metric']}|{OWN['inch']})(?![\w·])"
    given = [one for one in meanings if re.search(either, one)]
    assert len(given) >= 4
    for meaning in given:
        assert foreign_units(Units(system).first(meaning), system, "") == [], meaning
        assert Units(system).first(meaning) in " ".join(report(tables, system).split())


def test_field_explains_its_key_in_the_units_of_the_page():
    for system, force in (("metric", "1500 N (337 lbf) down"), ("inch", "337 lbf (1500 N) down")):
        assert force in field(bench(starter(), system), "service.level_pedal_test", "test").note


def test_preset_says_what_it_rests_on_in_the_units_of_the_page():
    for system, torque in (("metric", "35 to 50 N·m (26 to"), ("inch", "26 to 37 ft·lbf (35 to")):
        assert torque in words(html(USE, bench(demo(TRIKE), system)))


def test_sizes_from_readings_are_at_a_temperature_that_the_reader_knows():
    asked = {"land": "shell.bore[0]"}
    for system, own, other in (("metric", "20 °C", "68 °F"), ("inch", "68 °F", "20 °C")):
        shown = words(html(readings.STEP, replace(bench(demo(TRIKE), system), asked=asked)))
        assert f"Mean diameter at {own}" in shown
        assert f"Shell bore, land 1, at {own}" in shown
        assert other not in shown
        shown = words(html(turn_to.STEP, at(case_text(), units=system, asked={"now-1": "42.045 mm"})))
        assert f"brought to {own}" in shown
        (words_,) = give_size(replace(bench(demo(TRIKE), system), asked=asked), {}).rejected.values()
        assert ("e.g. 5 µm" if system == "metric" else "e.g. 0.197 thou") in words_[1]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('yield_at_heat_limit = "30 ksi"', "without a heat_limit above 212 degF"),
        ('density = "2700"', 'write e.g. density = "0.0975 lb/in^3"'),
    ],
)
def test_faults_of_an_own_material_are_in_the_units_of_the_case(more, said):
    own = 'young_modulus = "10000 ksi"\npoisson_ratio = 0.33\nexpansion = "13e-6 /delta_degF"\n'
    own += 'yield_strength = "40 ksi"\nsource = "mine"\n'
    text = f"{starter(units='inch')}\n[material.own]\n{own}{more}\n"
    with pytest.raises(CaseError, match=re.escape(said)):
        parse_case(text)


@pytest.mark.slow
@pytest.mark.parametrize("system", SYSTEMS)
def test_opened_row_says_how_it_was_found_in_the_units_of_its_reader(system):
    text = demo(TRIKE)
    found = solved(f"{text}\n[mesh]\nelements_through_wall = 2\n", f"{TRIKE}.toml")
    for row in found["checks"]:
        for stage in row["stages"]:
            made = opened_view(row, 1, Units(system), stage=stage)
            said = [made.basis, made.note, made.doubt, *(s for q in made.quantities for s in q.sources)]
            said = " ".join(said).replace("\u00a0", " ")
            assert foreign_units(said, system, text) == [], row["id"]
