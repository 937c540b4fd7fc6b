"""Pedalling loads by type of bicycle with their labels, and the static push on a level pedal."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from service_cases import CRANK, case_of, edited

from hoopwright import presets
from hoopwright.case.faults import CaseError
from hoopwright.case.load_cases import service_loads
from hoopwright.case.read import parse_case
from hoopwright.left_out import with_grounds_named
from hoopwright.loads.cases import PEDAL_TESTS
from hoopwright.loads.traction import resultant

LEVEL = edited(
    CRANK,
    (
        'pedalling_test = "city"',
        'level_pedal_test = true\ncrank_length = "170 mm"\nchainring_radius = "85 mm"\n'
        'pedal_offset = "150 mm"',
    ),
)


@pytest.mark.parametrize(
    ("bicycle", "force", "label"),
    [
        ("city", 1000.0, "from memory"),
        ("trekking", 1000.0, "from memory"),
        ("mountain", 1200.0, "from memory"),
        ("racing", 1100.0, "from memory"),
        ("assisted", 1200.0, "seen in a Korean safety notice"),
        ("cargo", 1200.0, "our choice"),
    ],
)
def test_every_type_has_its_force_with_its_label(bicycle, force, label):
    case = case_of(edited(CRANK, ('"city"', f'"{bicycle}"')))
    (cycle,) = service_loads(case.service, case.shell, case.sleeve).cycles
    assert f"force: {label}" in cycle.source
    assert all(one.source == cycle.source for one in cycle.cases)
    down = -np.mean([force_on(one)[1] for one in cycle.cases])
    assert down == pytest.approx(force * np.cos(np.radians(7.5)), rel=1e-9)


def force_on(case) -> np.ndarray:
    """Sum of the applied loads, N."""
    return np.array(resultant(case.tractions)[0])


def test_only_a_type_without_a_source_is_named_first_in_the_verdict():
    said = {name: with_grounds_named(typed(name), "Holds.") for name in PEDAL_TESTS}
    first = "Loads of a cargo bicycle, for which no source is published: Holds."
    assert said.pop("cargo") == first
    assert set(said.values()) == {"Holds."}


def typed(name: str):
    case = case_of(CRANK)
    return replace(case, service=replace(case.service, pedalling_test=name))


def test_a_level_pedal_is_1500_n_straight_down_on_the_left_with_the_chain_that_holds_it():
    """Chain tension 1500 · 170/85 = 3000 N, rearwards; EN 14766:2005, 4.13.6.2.2 (seen)."""
    case = case_of(LEVEL)
    loads = service_loads(case.service, case.shell, case.sleeve)
    (one,) = loads.cases
    assert loads.cycles == ()
    assert "EN 14766:2005" in one.source
    assert "seen" in one.source
    assert "left pedal" in one.description.said()
    assert force_on(one)[:2] == pytest.approx([-3000.0, -1500.0], rel=1e-9)


def test_a_level_pedal_asks_for_its_lengths_and_false_is_no_load():
    with pytest.raises(CaseError) as error:
        parse_case(edited(LEVEL, ('crank_length = "170 mm"\n', "")))
    assert "[service] crank_length: missing" in str(error.value)
    off = edited(LEVEL, ("level_pedal_test = true", "level_pedal_test = false"))
    with pytest.raises(CaseError) as error:
        parse_case(off)
    assert "no load given" in str(error.value)


def test_cargo_says_that_no_source_is_published():
    use = presets.table()["use"]["cargo"]
    loads = [v for v in use.values if v.key in ("pedalling_test", "standing_start")]
    assert len(loads) == 2
    assert all(v.basis == "our choice" and "no published source for cargo types" in v.source for v in loads)
