"""The verdict on the page: never more certain than its rows, its sizes, or what was read."""

from __future__ import annotations

from itertools import pairwise

import pytest

pytest.importorskip("jinja2")

from page_cases import (
    DEMOS,
    DOCTORED,
    a_cell_fails,
    bench_of,
    contradicted,
    demo_text,
    held,
    page,
    sample,
    small,
    with_row,
)

from hoopwright.case.read import parse_case
from hoopwright.checks.joint_slips import _note
from hoopwright.errors import Fault
from hoopwright.left_out import HOLDING
from hoopwright.page.figures.marks import hoop
from hoopwright.page.model import AtWork
from hoopwright.page.views import verdict as verdict_module
from hoopwright.page.views.rows import ACCEPTED
from hoopwright.page.views.verdict import WORDS, verdict_view
from hoopwright.pressing.contradiction import READ_OTHERWISE

MISSING = Fault("small.toml", "[shell]", "width", "is missing", 'write width = "83 mm"')


@pytest.mark.parametrize("state", DOCTORED)
def test_the_verdict_of_every_state_has_its_own_hoop_word_and_sentence(state):
    shown = verdict_view(bench_of(DOCTORED[state](small())))
    assert (shown.state, shown.word, shown.hoop) == (state, WORDS[state], hoop(state))
    assert shown.lines[0]
    assert "say otherwise" not in shown.lines[0]
    assert bool(shown.least) == (state != "contradicted")


def test_hoops_of_different_words_differ_without_their_colour():
    shapes = {WORDS[state]: hoop(state) for state in WORDS}
    assert len(set(shapes.values())) == len(shapes)


def lamé_disagrees(found):
    found["closed_form"]["agrees"] = False
    return found


def fatigue_unjudged(found):
    row = found["checks"][0] | {"id": "shell_fatigue_sines", "state": "not assessed", "margin": None}
    found["checks"].append(row | {"cells": [], "note": "no S-N data: give [fatigue.shell]"})
    return found


def no_demand_judged(found):
    for row in found["checks"]:
        if row["id"] in HOLDING:
            row |= {"state": "not assessed", "margin": None, "cells": []}
    return found


@pytest.mark.parametrize("lacking", [fatigue_unjudged, no_demand_judged])
def test_what_is_needed_and_was_not_judged_is_never_green(lacking):
    shown = verdict_view(bench_of(lacking(held(small()))))
    assert shown.state == "part"
    assert any(line.startswith("Not judged: ") for line in shown.lines)


def test_rows_without_a_margin_are_named_beside_what_holds():
    found = held(small())
    unjudged = {row["title"] for row in found["checks"] if row["state"] == "not assessed"}
    line = verdict_view(bench_of(found)).lines[1]
    assert unjudged
    assert all(title in line for title in unjudged)


WORSE = {
    "fails": lambda found: with_row(found, "fails", -0.1),
    "fails in a cell": a_cell_fails,
    "undecided": lambda found: with_row(found, "unresolved", 0.01),
    "in doubt": lambda found: with_row(found, "holds", 0.3, doubt="past yield"),
    "contradicted": lambda found: with_row(found, "unresolved", 0.3, doubt=READ_OTHERWISE),
    "Lamé": lamé_disagrees,
}


@pytest.mark.parametrize("why", WORSE)
def test_a_document_that_says_it_holds_is_not_green_where_its_rows_say_otherwise(why):
    found = WORSE[why](held(small()))
    assert found["state"] == "holds"
    shown = verdict_view(bench_of(found))
    assert shown.state in ("fails", "undecided", "contradicted")
    assert "say otherwise" in shown.lines[0]
    assert "verdict-holds" not in page(bench_of(found))


@pytest.mark.parametrize(
    "given",
    [
        {"old": True},
        {"old": True, "at_work": AtWork("check", "sleeve is pushed out", 9, 22)},
        {"faults": (MISSING,)},
        {"old": True, "failed": "the mesh is too large"},
    ],
)
def test_answers_of_older_sizes_or_of_a_file_with_faults_are_never_green(given):
    shown = verdict_view(bench_of(held(small()), **given))
    assert shown.state == "old"
    assert "40.0\u00a0µm" in shown.lines[0]
    assert shown.busy == ("at_work" in given)


def test_old_sizes_name_the_row_at_work_by_its_number():
    at_work = AtWork("check", "sleeve is pushed out", 9, 22)
    shown = verdict_view(bench_of(held(small()), old=True, at_work=at_work))
    assert "Working on row 12, sleeve is pushed out: 9 of 22." in shown.lines[0]


def test_sample_values_are_said_first_and_are_never_green():
    shown = verdict_view(bench_of(sample(small())))
    assert (shown.state, shown.word) == ("part", "Sample values: holds as far as judged")
    assert shown.lines[0].startswith("No range of temperature")
    assert [link.url for link in shown.links] == ["use"]
    text = demo_text(DEMOS[0]).replace("invented = true", "sample = true", 1)
    assert parse_case(text, file=f"cases/{DEMOS[0]}.toml").sample
    bench = bench_of(held(small()), text, file=f"{DEMOS[0]}.toml")
    assert verdict_view(bench).state == "part"


def test_a_case_that_cannot_be_judged_yet_says_what_it_wants_in_the_words_of_the_command_line():
    shown = verdict_view(bench_of(None, faults=(MISSING,)))
    assert shown.state == "unjudged"
    assert '[shell] width: is missing; write width = "83\u00a0mm"' in shown.lines
    assert verdict_view(bench_of(None, failed="no mesh")).lines == ("No answer: no mesh",)


def test_values_of_presets_are_named_before_the_sentence():
    found = held(small())
    found["verdict"] = "Values from presets (use: city): " + found["verdict"]
    shown = verdict_view(bench_of(found))
    assert shown.state == "holds"
    assert shown.grounds == "Values from presets (use: city)"
    assert shown.lines[0].startswith("All ways")


def test_the_words_that_the_page_knows_from_the_checks_are_theirs():
    assert verdict_module.READ_OTHERWISE == READ_OTHERWISE
    assert verdict_module.HOLDING == HOLDING
    assert _note(0.5, 1.0, 0.5, True).startswith(ACCEPTED)


def test_states_differ_in_the_page():
    shown = {state: page(bench_of(make(small()))) for state, make in DOCTORED.items()}
    for state, html in shown.items():
        assert f"verdict-{state}" in html
        assert html.count("cell-fails governs") == (state == "fails")
    assert "hoopwright press" in shown["contradicted"]
    assert contradicted(small())["state"] == "undecided"
    assert all(one != other for one, other in pairwise(shown.values()))
