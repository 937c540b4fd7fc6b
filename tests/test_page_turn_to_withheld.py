"""Turn to: what was read elsewhere, of the other part or at the press, never stands for a size here."""

from __future__ import annotations

from dataclasses import replace

from page_benches import html
from turn_to_cases import as_set_up, at, finished, single, words

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
