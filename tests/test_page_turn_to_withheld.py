"""Turn to: what was read elsewhere, of the other part or at the press, never stands for a size here."""

from __future__ import annotations

from dataclasses import replace

import pytest
from page_benches import TRIKE, demo, html
from turn_to_cases import as_set_up, at, case_text, finished, single, size_document, words, written

from hoopwright.case.read import parse_case
from hoopwright.page.model import BesideText
from hoopwright.page.steps import turn_to as step

LOG = BesideText("a press.csv", "travel [mm], force [kN]\n5, 1\n", "d")


def test_reading_of_one_part_is_not_taken_for_that_of_the_other():
    """It stands in the address, which outlives that the part was said to be finished on another page."""
    bored = as_set_up(gauge="bore").replace("[sleeve]\nmaterial", "[sleeve]\nturned = true\nmaterial", 1)
    made = at(bored, asked={"now-1": "42.049 mm"})
    assert step.view(made)["bands"].aims[0].said is None
    assert step.STEP.actions["take"](made, {}).rejected


def test_no_size_is_given_while_readings_of_the_press_leave_nothing_that_holds():
    made = replace(at(single()), own_log=LOG)
    assert step.view(made)["bands"] is None
    shown = words(html(step.STEP, made))
    assert "not held against its plan yet" in shown
    assert "See the press" in shown


def test_parts_are_not_said_to_be_pressed_while_readings_of_the_press_are_in_doubt():
    made = at(*finished())
    assert step.view(made)["out"] is not None
    assert step.view(replace(made, own_log=LOG))["out"] is None


def test_mean_of_readings_that_are_not_of_one_size_is_not_in_the_band():
    text = case_text(readings=3)
    aim = size_document(text)["turn_to"]["bands"][0]["shop_aim_mm"]
    made = at(text, asked={"now-1": f"{aim - 0.04:.3f} {aim:.3f} {aim + 0.04:.3f} mm"})
    said = step.view(made)["bands"].aims[0].said
    assert said.how == "apart"
    assert "of one size" in said.head
    assert "differ by 80" in said.lines[0]
    assert "tapered or out of round, or one is a slip" in said.lines[1]
    shown = words(html(step.STEP, made))
    assert "Stop." not in shown
    after = parse_case(written(made, step.STEP.actions["take"](made, {})))
    assert after.sleeve.outside[0].plus_minus == pytest.approx(0.04, abs=2e-4), "no better than they agree"


def test_lands_whose_readings_differ_say_so():
    text = demo(TRIKE)
    made = at(text, asked={"land": "2", "now-1": "41.010 41.058 mm", "now-2": "41.1 mm"})
    assert step.view(made)["bands"].tabs[0].state == "readings differ"
