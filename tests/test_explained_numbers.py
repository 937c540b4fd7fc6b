"""hoopwright explain: a number in its prose is that of the declaration it speaks of."""

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

import hoopwright.explanations as explanations_package
from hoopwright.case.service_model import Endurance
from hoopwright.checks.margin import not_in_the_case
from hoopwright.estimate import Estimate
from hoopwright.explanations.numbers import filled, numbers
from hoopwright.service.fatigue_strength import FatigueStrength

EXPLANATIONS = Path(explanations_package.__file__).parent
NAMES_OF_SOURCES = re.compile(
    r"\b(?:18|19|20)\d\d\b"  # years
    r"|(?:DIN|ISO|JCGM|Eqs?\.|Stahlbau|Mech\.|Annex) [\d.]+(?:-\d+)*|and 17-11"
    r"|MIL-HDBK-\d+|ASME B[\d.]+|VIII-2|FED-STD-H\d+"
    r"|√J2|√3|exponent 1/2|− 1\.|\+0\.20"
)
"""Numbers in names of sources and of formulae; Smith, Watson and Topper's exponent and the example of a
margin stand in a test of their own."""


def prose(value):
    """Every text of a table of explanations that is neither formula nor name."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key not in ("formula", "symbols", "tests", "part", "parts", "like"):
                yield from prose(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from prose(inner)
    elif isinstance(value, str):
        yield value


def written_numbers(text):
    """The numbers in a text that stand there as such, and not by the name of a declaration."""
    bare = NAMES_OF_SOURCES.sub("", re.sub(r"\{\w+\}", "", text))
    return re.findall(r"\d[\d./]*", bare)


@pytest.mark.parametrize("file", sorted(EXPLANATIONS.glob("*.toml")), ids=lambda file: file.stem)
def test_every_number_of_an_explanation_is_that_of_the_declaration_it_speaks_of(file):
    table = tomllib.loads(file.read_text("utf-8"))
    for text in prose(table):
        assert not written_numbers(text), text
    names = set(re.findall(r"\{(\w+)\}", file.read_text("utf-8")))
    assert names <= set(numbers())


def test_a_number_written_into_an_explanation_is_found_and_an_unknown_name_fails():
    assert written_numbers("factor 1.2 on the stress; DIN 7190-1, from 1977") == ["1.2"]
    with pytest.raises(KeyError):
        filled("factor {nobody} on the stress")


def test_numbers_move_with_their_declarations(monkeypatch):
    numbers.cache_clear()
    monkeypatch.setattr("hoopwright.explanations.numbers.MIN_PRESSURE_SHARE", 0.05)
    assert filled("at least {seat_pressure} of it") == "at least 1/20 of it"
    numbers.cache_clear()


def test_the_exponent_of_own_data_and_the_example_of_a_margin_are_as_said():
    own = FatigueStrength(Endurance(70.0, 2e6, 7.0, "invented"), {}, "invented")
    assert own.gamma == 0.5
    demand = Estimate(1.0)
    margin = replace(not_in_the_case("a", "a", "N", "cups", "-"), demand=demand, capacity=Estimate(1.2))
    assert margin.margin == pytest.approx(0.20)
