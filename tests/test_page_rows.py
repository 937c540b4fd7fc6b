"""Rows × stages on the page, and an opened row."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("jinja2")

from page_cases import (
    DEMOS,
    a_cell_fails,
    bench_of,
    cells_of,
    demo_text,
    failing,
    held,
    page,
    small,
    solved,
    table_of,
    with_row,
)

from hoopwright.checks import CHECKS
from hoopwright.display import Units
from hoopwright.explanations import explanations
from hoopwright.geometry.joint import joint
from hoopwright.page.figures.marks import limit_used
from hoopwright.page.figures.place import place_figure
from hoopwright.page.views.rows import NUMBERS, cell_id, opened_of, rows_view
from hoopwright.page.views.verdict import verdict_view
from hoopwright.page.views.words import margin_shown, typeset


def test_every_row_has_its_number_for_good():
    ids = {row.id for row in explanations()}
    assert {check.__name__ for check in CHECKS} <= set(NUMBERS)
    assert ids <= set(NUMBERS)
    assert sorted(NUMBERS.values()) == list(range(1, 1 + len(NUMBERS)))
    of_routes = NUMBERS["shell_thread_strips"]
    numbers = [n for n in range(1, 1 + len(NUMBERS)) if n != of_routes]
    assert sorted(NUMBERS[check.__name__] for check in CHECKS) == numbers


def test_rows_keep_their_order_however_their_margins_move():
    one, other = table_of(held(small())), table_of(failing(small()))
    order = [[row.number for group in t.groups for row in group.rows] for t in (one, other)]
    assert order[0] == order[1] == sorted(order[0])


def test_a_row_that_is_not_the_tools_own_counts_on_behind_the_others():
    found = held(small())
    found["checks"][0] |= {"id": "zz_lug", "title": "lug <b>tears</b>"}
    table = table_of(found)
    assert table.groups[-1].title == "Further rows"
    assert table.groups[-1].rows[0].number == 1 + max(NUMBERS.values())
    html = page(bench_of(found), "zz_lug")
    assert "<b>tears" not in html
    assert "Lug &lt;b&gt;tears" in html


def test_every_look_of_a_cell():
    found = held(small())
    row = next(row for row in found["checks"] if row["cells"])
    stage = row["where"]["stage"]
    looks = {}
    for state in ("holds", "fails", "unresolved"):
        cell = cells_of(table_of(with_row(found, state, -0.14)))[cell_id(row["id"], stage)]
        looks[cell.look] = (cell.mark, cell.said.split(",")[0])
    assert looks == {"holds": ("", "holds"), "fails": ("×", "fails"), "undecided": ("?", "undecided")}
    unsaid = cells_of(table_of(found))[cell_id("stays_tight", "oven")]
    assert (unsaid.look, unsaid.text, unsaid.bar) == ("unsaid", "", "")
    assert "does not describe" in unsaid.said
    assert cells_of(table_of(found))[cell_id("drops_in", "oven")].look == "none"


def test_accepted_slip_is_a_word_and_a_row_without_data_names_what_it_wants():
    found = held(small())
    found["checks"].append(found["checks"][0] | {"id": "joint_slips", "stages": ["in use"], "cells": []})
    found["checks"][-1] |= {"state": "not assessed", "margin": None}
    for note, look, said in (
        ("accepted in [service] micro_slip; 10 % of it", "accepted", "slip accepted"),
        ("no friction: give [fit]", "unsaid", "not judged: no friction: give [fit]"),
    ):
        found["checks"][-1]["note"] = note
        cell = cells_of(table_of(found))["cell-joint_slips-in-use"]
        assert (cell.look, cell.said) == (look, said)


def test_one_cell_governs_and_is_the_least_or_what_fails():
    found = a_cell_fails(held(small()))
    cells = [cell for cell in cells_of(table_of(found)).values() if cell.governs]
    assert [cell.look for cell in cells] == ["fails"]
    found = with_row(a_cell_fails(held(small()), -0.01), "unresolved", -0.05)
    assert [cell.look for cell in cells_of(table_of(found)).values() if cell.governs] == ["fails"]
    nearest = table_of(held(small())).nearest
    margins = [float(n.text.replace("−", "-")) for n in nearest]
    assert margins == sorted(margins)
    assert nearest[0].governs


def test_old_cells_say_so_and_are_not_bold():
    cells = cells_of(table_of(held(small()), current=False)).values()
    judged = [cell for cell in cells if cell.text]
    assert judged
    assert all(cell.old and not cell.bold for cell in judged)
    html = page(bench_of(held(small()), old=True))
    assert html.count('<span class="word-old">old</span>') == len(judged)


@pytest.mark.parametrize(
    ("margin", "used"), [(0.0, 80.0), (1.0, 40.0), (-0.2, 100.0), (-1.0, 100.0), (None, 0.0)]
)
def test_a_bar_reaches_its_stroke_where_the_margin_is_zero(margin, used):
    assert limit_used(margin) == used


@pytest.mark.parametrize(
    ("margin", "shown"),
    [(0.334, "+0.33"), (-0.14, "−0.14"), (9.99, "+9.99"), (38.2, "+38"), (1e4, ">999"), (None, "no loss")],
)
def test_margins_are_shown_with_their_sign(margin, shown):
    assert margin_shown(margin) == shown


def test_texts_are_set_with_a_true_minus_and_no_break_before_a_unit():
    assert (
        typeset("-5 °C at z 0.0 mm, S-N, re-treated, 1-2")
        == "−5\u00a0°C at z 0.0\u00a0mm, S-N, re-treated, 1-2"
    )


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_the_written_fraction_gives_the_margin(system):
    bench = bench_of(small(), system=system)
    for row in bench.answer("check")["checks"]:
        opened = opened_of(bench, row["id"])
        if opened.fraction is None:
            continue
        parts = [float(x) for x in (opened.fraction.over, *opened.fraction.below.split(" × "))]
        over, below = parts[0], parts[1] * (parts[2] if len(parts) > 2 else 1.0)
        assert over / below - 1.0 == pytest.approx(row["margin"], rel=0.02, abs=0.01), row["id"]
        assert float(opened.fraction.exact.replace("−", "-")) == pytest.approx(row["margin"], abs=1e-4)


def test_an_opened_row_names_what_its_numbers_rest_on():
    opened = opened_of(bench_of(small()), "pushed_out")
    by_label = {q.label: q for q in opened.quantities}
    assert "case: [fit] friction_low" in by_label["Capacity"].sources
    assert any("[demand]" in source for source in by_label["Demand"].sources)
    assert by_label["Factor"].sources == ("case: [factors] holding",)
    assert opened.working[-1].symbol == "margin"
    assert opened.said.fails


def test_a_row_opens_at_a_stage_that_does_not_govern_it():
    bench = bench_of(small())
    row = next(row for row in bench.answer("check")["checks"] if len(row["cells"]) > 1)
    stages = [cell["where"]["stage"] for cell in row["cells"]]
    other = next(stage for stage in stages if stage != row["where"]["stage"])
    opened = opened_of(bench, row["id"], other)
    assert (opened.stage, opened.governs, opened.interval) == (other, False, "")
    assert opened_of(bench, "no_such_row") is None


def test_a_row_that_is_not_judged_says_what_it_lacks():
    bench = bench_of(small())
    row = next(row for row in bench.answer("check")["checks"] if row["state"] == "not assessed")
    opened = opened_of(bench, row["id"])
    assert opened.lacks
    assert opened.fraction is None
    assert opened.state == "not judged"


def test_the_place_is_to_one_scale_where_the_row_governs():
    case = bench_of(None).case
    at = {}
    for z in (0.0, 8.0, 16.0):
        where = {"body": "shell", "z_mm": z, "r_mm": 21.0, "theta_deg": 90.0}
        drawn = str(place_figure(case, where, 7, "z"))
        at[z] = float(re.search(r'class="dot" cx="([\d.]+)"', drawn)[1])
    outline = re.search(r'class="shell" points="([^"]+)"', drawn)[1]
    xs = [float(point.split(",")[0]) for point in outline.split()]
    assert (at[0.0], at[16.0]) == (min(xs), max(xs))
    segments = joint(case.shell, case.sleeve).shell
    wall = segments[0].outer_start - segments[0].inner_start
    ys = [float(point.split(",")[1]) for point in outline.split()]
    assert (max(ys) - min(ys)) / wall == pytest.approx((max(xs) - min(xs)) / 16.0, rel=0.01)
    assert at[8.0] == pytest.approx(0.5 * (min(xs) + max(xs)), abs=0.1)
    clock, dot = (
        re.search(r'class="clock" cx="([\d.]+)" cy="([\d.]+)"', drawn),
        drawn.rsplit('class="dot"', 1)[1],
    )
    assert float(re.search(r'cx="([\d.]+)"', dot)[1]) == pytest.approx(float(clock[1]), abs=0.1)
    assert float(re.search(r'cy="([\d.]+)"', dot)[1]) < float(clock[2])  # 90° is up


def test_two_places_on_one_page_share_no_id():
    case, where = bench_of(None).case, {"body": "interface", "z_mm": None, "r_mm": None}
    ids = [re.findall(r'\sid="([^"]+)"', place_figure(case, where, number, "")) for number in (1, 12)]
    assert not set(ids[0]) & set(ids[1])
    assert len(ids[0]) == 4


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_the_page_of_a_demo_says_what_its_check_says(name):
    text = demo_text(name)
    found = solved(text, f"{name}.toml")
    for system in ("metric", "inch"):
        bench = bench_of(found, text, system=system, file=f"{name}.toml")
        shown = verdict_view(bench)
        assert shown.word.lower() == found["state"]
        assert "say otherwise" not in shown.lines[0]
        cells = cells_of(rows_view(found, Units(system), current=True, live=False))
        for row in found["checks"]:
            for cell in row["cells"]:
                made = cells[cell_id(row["id"], cell["where"]["stage"])]
                assert made.text == margin_shown(cell["margin"])
                assert made.said.split(",")[0] == {"unresolved": "undecided"}.get(
                    cell["state"], cell["state"]
                )
            html = page(bench, row["id"])
            ids = re.findall(r'\sid="([^"]+)"', html)
            assert len(ids) == len(set(ids))
