"""The step In use: every row behind pressing, every moment, maps that say what the document says, and no
map of what does not stand."""

from __future__ import annotations

import copy
import json
import re
from dataclasses import replace
from functools import cache

import pytest

pytest.importorskip("jinja2")

from map_cases import LOADED, maps_document, results_of
from page_benches import ENVIRONMENT, svgs, with_class
from page_cases import bench_of, contradicted, undecided
from page_parts import Shop
from small_cases import PARTS
from test_page_steps import Page

from hoopwright.document.check import document
from hoopwright.errors import Fault
from hoopwright.page.model import Answer, AtWork
from hoopwright.page.steps import fit, in_use
from hoopwright.page.views.in_use import AFTER, load_of, yield_margin
from hoopwright.page.views.words import margin_shown
from hoopwright.starters import starter_text

KPSI = 6.894757293168361
"""MPa in a ksi."""
UNUSED = f'title = "at rest"\n{PARTS}'


@cache
def _checked():
    return document(results_of(LOADED))


def checked():
    return copy.deepcopy(_checked())


def bench(text=LOADED, found=None, maps=None, old_maps=False, asked=None, **given):
    """The case with a check and with maps, of these sizes unless they are old."""
    at = bench_of(found or checked(), text, **given)
    mapped = Answer(maps or maps_document(), "of before" if old_maps else at.digest)
    return replace(at, answers={**at.answers, "maps": mapped}, asked=asked or {})


def html(at, step=in_use):
    return ENVIRONMENT.get_template(f"steps/{step.STEP.id}.html").render(**step.view(at))


def shown(at):
    return in_use.view(at)["in_use"]


@cache
def usual():
    """The step of a case that fails in use, as HTML."""
    return html(bench())


@cache
def usual_view():
    return shown(bench())


def not_in_use():
    """A case that says nothing of its use."""
    found = checked()
    for row in found["checks"]:
        row["cells"] = [c for c in row["cells"] if c["where"]["stage"] not in AFTER]
    return bench(UNUSED, found, maps_document() | {"moments": [], "temperatures": []})


# -- states --------------------------------------------------------------------------------


FAULT = (Fault("small.toml", "[shell]", "width", "too short"),)
WITHOUT_MAPS = {
    "old sizes": (lambda: bench(old=True), "as it was are taken away"),
    "old sizes, at work": (lambda: bench(old=True, at_work=AtWork("check")), "Being computed"),
    "maps of older sizes": (lambda: bench(old_maps=True), "as it was are taken away"),
    "check of older sizes": (
        lambda: replace(
            bench(old=True),
            answers={
                "check": Answer(checked(), "of before"),
                "maps": Answer(maps_document(), bench_of(None, LOADED).digest),
            },
        ),
        "are taken away",
    ),
    "a fault": (lambda: bench(faults=FAULT), "has a fault"),
    "contradicted by readings": (lambda: bench(found=contradicted(checked())), "No maps are shown"),
    "withheld": (
        lambda: bench(maps=maps_document() | {"withheld": "what was read at the press contradicts it"}),
        "No maps are shown: what was read",
    ),
    "against Lamé": (lambda: bench(found=against_lame(checked())), "No maps are shown"),
    "not asked yet": (lambda: bench_of(checked(), LOADED), "They are not drawn yet."),
    "at work": (lambda: bench_of(checked(), LOADED, at_work=AtWork("maps")), "Being computed."),
    "failed": (lambda: bench_of(checked(), LOADED, failed="no memory"), "Not computed: no memory"),
    "not in use": (not_in_use, "no moment to map"),
}


def against_lame(found):
    found["closed_form"]["agrees"] = False
    return found


@pytest.mark.parametrize("name", WITHOUT_MAPS)
def test_no_map_of_what_does_not_stand(name):
    make, words = WITHOUT_MAPS[name]
    text = html(make())
    assert words in text
    assert "map-frame" not in text
    assert "maps.json" not in text
    assert "band-" not in text


def test_nothing_is_shown_before_there_is_a_check():
    at = bench_of(None, LOADED, at_work=AtWork("check"))
    assert "Being computed." in html(at)
    assert 'class="row"' not in html(at)


def test_old_rows_are_marked_old_and_undecided_ones_as_such():
    old, current = html(bench(old=True)), usual()
    assert "Old: as of the last full check." in old
    assert old.count('class="word-old"') == current.count('class="number"') > 5
    assert "word-old" not in current
    doubtful = undecided(checked())
    for row in doubtful["checks"]:
        for part in (row, *row["cells"]):
            if part["where"]["stage"] == "in use" and row["id"] == "shell_yields":
                part |= {"state": "unresolved", "doubt": "the joint opens"}
    assert "In doubt: the joint opens." in html(bench(found=doubtful))


def test_maps_are_shown_of_a_case_that_fails():
    text = usual()
    assert checked()["state"] == "fails"
    assert text.count('class="map-frame"') == 3


# -- rows and moments ----------------------------------------------------------------------


def test_every_row_behind_pressing_stands_at_its_least_margin_and_least_first():
    rows, found = usual_view().rows, checked()["checks"]
    judged = [row for row in rows if row.moment or row.cell.text]
    margins = {}
    for row in found:
        cells = [c for c in row["cells"] if c["where"]["stage"] in AFTER]
        if cells:
            worst = min(cells, key=lambda c: (c["state"] != "fails", c["margin"]))
            margins[row["id"]] = worst["margin"], worst["where"]["stage"]
    assert {row.id: (row.cell.text, row.stage) for row in judged} == {
        id_: (margin_shown(margin), stage) for id_, (margin, stage) in margins.items()
    }
    order = [margins[row.id][0] for row in judged]
    assert order == sorted(order)
    assert all(row.number for row in rows)


def test_rows_that_are_not_judged_say_what_they_lack():
    found = checked()
    row = next(row for row in found["checks"] if row["id"] == "joint_slips")
    row |= {
        "state": "not assessed",
        "margin": None,
        "note": "accepted in [service] micro_slip",
        "cells": [],
    }
    rows = shown(bench(found=found)).rows
    (last,) = (one for one in rows if one.id == "joint_slips")
    assert (last.cell.look, last.cell.text, last.moment) == ("accepted", "accepted", "")
    judged = [bool(one.moment) for one in rows]
    assert judged == sorted(judged, reverse=True)
    assert last.why == "accepted in [service] micro_slip"


def test_row_stands_at_the_worst_of_its_stages_behind_pressing_and_names_the_others():
    found = checked()
    row = next(row for row in found["checks"] if row["id"] == "stays_tight")
    (cell,) = (c for c in row["cells"] if c["where"]["stage"] == "in use")
    oven = copy.deepcopy(cell) | {"margin": cell["margin"] - 1.0}
    oven["where"]["stage"] = "oven"
    row["cells"].append(oven)
    (shown_row,) = (one for one in shown(bench(found=found)).rows if one.id == "stays_tight")
    assert (shown_row.stage, shown_row.cell.text) == ("oven", margin_shown(oven["margin"]))
    assert shown_row.others == (("in use", margin_shown(cell["margin"])),)


def test_row_is_opened_on_fit_at_its_stage():
    (row,) = (one for one in usual_view().rows if one.id == "shell_yields")
    assert row.address == "fit?row=shell_yields&at=in+use#row-shell_yields"
    elsewhere = next(
        row["id"]
        for row in checked()["checks"]
        if row["where"]["stage"] != "in use" and any(c["where"]["stage"] == "in use" for c in row["cells"])
    )
    text = html(bench(asked={"row": elsewhere, "at": "in use"}), fit)
    assert text.count('aria-expanded="true"') == 1
    assert f'<div class="open" data-row="{elsewhere}" data-stage="in use">' in text
    assert f'id="row-{elsewhere}"' in text
    assert 'aria-expanded="true"' not in html(bench(asked={"row": "none"}), fit)


def test_each_row_in_use_is_at_one_moment_and_each_moment_leads_to_its_map():
    moments = usual_view().moments
    numbers = [n for row in moments.rows for cell in row.cells for n in cell.rows] + list(moments.anytime)
    judged = [r for r in checked()["checks"] if any(c["where"]["stage"] == "in use" for c in r["cells"])]
    assert len(numbers) == len(set(numbers)) == len(judged)
    assert [row.load_case for row in moments.rows] == ["laden wheel", "no load"]
    assert moments.temperatures == ("−5\u00a0°C", "20\u00a0°C", "40\u00a0°C")
    urls = [cell.url for row in moments.rows for cell in row.cells if cell.url]
    assert len(set(urls)) == len(maps_document()["moments"]) == 6
    (chosen,) = (cell for row in moments.rows for cell in row.cells if cell.chosen)
    assert chosen.url == "in-use?moment=m1#stress"


def test_moment_of_a_row_has_its_margin():
    for moment in maps_document()["moments"]:
        for row in moment["rows"]:
            if row["id"] == f"{moment['nearest']}_yields":
                assert yield_margin(moment) == pytest.approx(row["margin"], rel=2e-3)


def test_instants_of_a_turning_load_are_one_load():
    assert load_of("left bearing at 150°") == "left bearing"
    assert load_of("standing start, left") == "standing start, left"


def test_another_moment_is_mapped_where_the_address_asks_for_it():
    first, third = (shown(bench(asked={"moment": id_})) for id_ in ("m1", "m3"))
    assert first.stress.part == "m1"
    assert third.stress.part == "m3"
    assert "laden wheel" in third.stress.says[0]
    assert shown(bench(asked={"moment": "m99"})).stress.part == "m1"


def test_mark_follows_what_is_judged():
    assert in_use.mark(bench()) == "given"
    assert in_use.mark(bench(old=True)) == "nothing"
    assert in_use.mark(not_in_use()) == "nothing"
    assert in_use.mark(bench_of(None, LOADED)) == "nothing"
    assert "No range of temperature in use is given" in html(not_in_use())


# -- what the maps say ---------------------------------------------------------------------


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_words_and_tables_are_those_of_the_document_in_the_units_of_the_page(system):
    at, maps = bench(system=system, asked={"moment": "m2"}), maps_document()
    moment = maps["moments"][1]
    view = shown(at)
    shell = next(one for one in view.stress.bodies if one.body == "Shell")
    nearest = moment["bodies"][1]["nearest"]
    stress = nearest["stress_MPa"] / (KPSI if system == "inch" else 1.0)
    expected = f"{stress:.2f}\u00a0ksi" if system == "inch" else f"{stress:.1f}\u00a0MPa"
    assert shell.all_round.startswith(expected)
    assert shell.in_section.startswith(expected)
    assert shell.all_round.endswith(f"{nearest['share']:.2f} of its limit")
    marked = [e.text for e in with_class(svgs(str(view.stress.figures[0]))[0], "strong")]
    assert expected in marked
    lowest = maps["seat"]["opening"]["nearest"]["pressure_MPa"] / (KPSI if system == "inch" else 1.0)
    assert (
        f"{lowest:.2f}\u00a0ksi" if system == "inch" else f"{lowest:.1f}\u00a0MPa"
    ) in view.opening.says[0]
    wrong = {"metric": r"\d\u00a0?(?:ksi|in\b|°F)", "inch": r"\d\u00a0?(?:MPa|mm|°C)\b"}[system]
    maps_alone = html(at).partition('id="stress"')[2]
    assert not re.search(wrong, Page(maps_alone).text)


def test_map_that_differs_from_its_row_says_why():
    (says,) = (s for s in shown(bench(asked={"moment": "m2"})).stress.says if "governs row 1" in s)
    row, nearest = maps_document()["moments"][1]["rows"][0], maps_document()["moments"][1]["bodies"][1]
    rise = row["demand_MPa"] / nearest["nearest"]["stress_MPa"]
    assert f"times {rise:.3f} for the thin side of its wall" in says
    other = maps_document()
    other["moments"][0]["rows"][0] |= {"demand_MPa": 200.0, "numerical_error_MPa": 1.0}
    (says,) = (s for s in shown(bench(maps=other)).stress.says if "governs row 2" in s)
    assert "The row is right" in says


def test_seat_says_where_it_opens_and_where_it_slips():
    view = usual_view()
    assert view.opening.says[0].startswith("Nearest to opening at z 15.1\u00a0mm, 270°, down: 7.0")
    # two places that are mirror images of each other: which of them is a matter of rounding
    places = [
        f"It slips first at z 16.0\u00a0mm, {at}: shear is 1.41 times"
        for at in ("157°, rear", "23°, forward")
    ]
    assert view.slip.says[0].startswith(tuple(places))
    assert "Row 16, joint slips locally, in use: −0.29, fails." in view.slip.says
    assert "Hatched: it slips." in view.slip.says
    assert "Hatched: open." not in view.opening.says
    opened = maps_document()
    seat = opened["seat"]["opening"]
    seat["pressure_MPa"] = [[p - 8.0 for p in line] for line in seat["pressure_MPa"]]
    seat["nearest"]["pressure_MPa"] -= 8.0
    says = shown(bench(maps=opened)).opening.says
    assert says[0].startswith("It opens first at")
    assert "Hatched: open." in says
    seat["nearest"]["pressure_MPa"] = 0.5
    no_grip = maps_document()
    no_grip["seat"]["slip"]["nearest"]["share_of_grip"] = 99.0
    assert "hardly any grip is left" in shown(bench(maps=no_grip)).slip.says[0]


def test_case_without_loads_has_no_map_of_the_seat():
    maps = maps_document()
    maps["seat"] = {"opening": None, "slip": None}
    text = html(bench(maps=maps))
    assert text.count('class="map-frame"') == 1
    assert "unrolled" not in text


def test_heat_and_cold_are_columns_from_the_coldest_to_the_hottest():
    columns = usual_view().temperatures
    assert [one.name for one in columns] == ["coldest", "as pressed", "hottest"]
    assert columns[1].interference[1] == (
        f"{maps_document()['temperatures'][1]['interference_um']['likely']:.1f}\u00a0µm"
    )


# -- the page ------------------------------------------------------------------------------


def test_the_step_is_a_sound_page_with_every_text_escaped():
    maps, found = maps_document(), checked()
    text = json.dumps([maps, found]).replace("laden wheel", "<b>wheel</b> & co")
    maps, found = json.loads(text)
    given = html(bench(found=found, maps=maps, asked={"moment": "m2"}))
    page = Page(given)
    assert len(page.ids) == len(set(page.ids)), [i for i in page.ids if page.ids.count(i) > 1]
    assert not page.forbidden
    assert "<b>wheel" not in given
    assert "<b>wheel</b> & co" in page.text
    for figure in re.findall(r"<svg.*?</svg>", given, re.DOTALL):
        svgs(figure)
    described = re.findall(r'aria-(?:describedby|labelledby|controls)="([^"]+)"', given)
    assert {name for one in described for name in one.split()} <= set(page.ids)
    assert given.count('role="application"') == given.count('tabindex="0" aria-label="Map') == 3


def test_values_are_given_of_the_case_as_it_stands_alone(tmp_path):
    (tmp_path / "parts").mkdir()
    with Shop(tmp_path / "shop", tmp_path / "parts") as shop:
        file = shop.folder / "mine.toml"
        file.write_text(starter_text("plain"), "utf-8")
        assert shop.client.get("/case/mine.toml/maps.json").status_code == 404
        at = shop.benches.bench("mine.toml")
        shop.benches.ask(at, ("maps",))
        while shop.benches.bench("mine.toml").answer("maps") is None:
            pass
        answer = shop.client.get("/case/mine.toml/maps.json?of=this")
        assert answer.json() == {"state": f"maps of {len(at.text)}"}
        file.write_text(at.text + "\n# another\n", "utf-8")
        assert shop.client.get("/case/mine.toml/maps.json").status_code == 404


def test_the_step_asks_for_the_check_before_the_maps():
    assert in_use.STEP.needs == ("check", "maps")
    assert (in_use.STEP.number, in_use.STEP.group) == (10, "After")
