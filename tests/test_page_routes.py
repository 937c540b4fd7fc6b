"""The step Routes of the page: cards best first, what stands apart, and the route that the case has."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace

import pytest

import hoopwright
from hoopwright.case.sizing_model import RouteInput
from hoopwright.display import Units
from hoopwright.page.model import Answer, Bench
from hoopwright.starters import starter_text

routes = pytest.importorskip("hoopwright.page.steps.routes")
figures = pytest.importorskip("hoopwright.page.figures.routes")
TEXT = starter_text("plain")
CASE = hoopwright.parse_case(TEXT, file="plain.toml")


def route(name, state, **more):
    """A route as the document has it."""
    row = {
        "id": "shell_yields",
        "title": "shell yields",
        "margin": 0.3,
        "state": "holds",
        "where": {"stage": "in use"},
        "stages": ["in use"],
        "cells": [],
        "note": "",
        "margin_without_end": False,
    }
    end = {"effective_interference_um": 20.0, "by": "turned", "title": "turns", "doubt": ""}
    window = {"empty": False, "withheld": "", "width_um": 12.5, "least": end, "greatest": end, "clash": []}
    return {
        "name": name,
        "state": state,
        "comparable": True,
        "not_judged_as_others": [],
        "verdict": f"{state}: shell yields.",
        "bore_after_cutting_mm": 42.0,
        "wall_left_mm": 9.98,
        "best_margin": 0.5,
        "best_interference_um": 30.0,
        "governing": "shell_yields",
        "window": window,
        "checks": [row],
        "needs": "press",
        "cost": "90 EUR",
        "note": "",
    } | more


def seen(*found, units="metric", digest="d", case=CASE):
    document = {"routes": list(found), "verdict": "Best of them: one."}
    bench = Bench(
        "f", TEXT, "d", tomllib.loads(TEXT), case, (), Units(units), {"compare": Answer(document, digest)}
    )
    return routes.view(bench)["routes"]


def test_cards_stay_in_order_and_what_presses_no_fit_stands_apart_with_the_reason():
    apart = route(
        "Thread", "fails", comparable=False, window=None, not_judged_as_others=["shell yields", "turns"]
    )
    found = seen(route("Aluminium sleeve", "holds"), route("Steel sleeve", "undecided"), apart)
    assert [card.name for card in found.cards] == ["Aluminium sleeve", "Steel sleeve"]
    assert [card.name for card in found.apart] == ["Thread"]
    assert found.heading == routes.NO_FIT
    assert found.why_apart.startswith("Not judged on what the others are: shell yields, turns. Do not rank")
    assert [card.strip.look for card in (*found.cards, *found.apart)] == ["holds", "undecided", "fails"]
    assert dict(found.cards[0].facts)["window"] == "12.5\u00a0µm"
    assert dict(found.apart[0].facts)["window"] == "no fit"
    lower = apart | {"window": route("x", "holds")["window"]}
    assert seen(route("Steel sleeve", "holds"), lower).heading == routes.FEWER_ROWS


@pytest.mark.parametrize("state", list(routes.STRIPS))
def test_only_a_route_that_holds_has_the_whole_hoop_and_no_old_one_has(state):
    own, old = (seen(route("Steel sleeve", state), digest=digest).cards[0].strip for digest in "dx")
    assert (own.look == "holds") == (state == "holds")
    assert old.look == "old"


def test_the_route_of_the_case_is_known_and_another_metal_is_one_change_of_it():
    steel, aluminium = CASE.routes
    assert routes.is_of_the_case(CASE, steel)
    assert not routes.is_of_the_case(CASE, aluminium)
    assert routes.changes_for(CASE, aluminium, "7075-T6") == (("sleeve.material", "7075-T6"),)
    changed = starter_text("plain").replace('material = "E355 steel"', 'material = "7075-T6"')
    other = hoopwright.parse_case(changed, file="plain.toml")
    assert routes.is_of_the_case(other, aluminium)
    cards = seen(route("Aluminium sleeve", "holds"), route("Steel sleeve", "holds")).cards
    assert [(card.own, card.pairs) for card in cards] == [
        (False, (("sleeve.material", "7075-T6"),)),
        (True, ()),
    ]


def test_a_route_with_sizes_or_data_of_its_own_is_no_change_of_one_value():
    steel, aluminium = CASE.routes
    seat = replace(aluminium, kind="larger seat", bore=46.0)
    tight = replace(aluminium, interference=0.04)
    data = replace(CASE, fatigue=replace(CASE.fatigue, sleeve="any"))
    for case, one in ((CASE, seat), (CASE, tight), (data, aluminium)):
        assert routes.changes_for(case, one, "7075-T6") == ()
        assert routes.why_no_change(case, one)
    assert isinstance(steel, RouteInput)


def test_every_wall_has_one_scale_and_names_are_escaped():
    thick, thin = route("Steel sleeve", "holds"), route("<i>", "fails", wall_left_mm=4.99)
    cards = seen(thick, thin).cards
    depth = [float(re.search(r'class="shell"[^>]*height="([\d.]+)"', c.figure)[1]) for c in cards]
    assert depth[1] / depth[0] == pytest.approx(0.5, abs=1e-3)
    ids = [found for card in cards for found in re.findall(r'\bid="([^"]+)"', card.figure)]
    assert len(ids) == len(set(ids))
    assert not [card for card in cards if "style=" in card.figure]
    inch = seen(thick, units="inch").cards[0]
    assert dict(inch.facts)["wall left"] == "0.3929\u00a0in"


def test_a_limit_that_no_wall_reaches_is_on_the_drawing():
    """Its line and both its words lie inside the frame, in either unit."""
    thin = figures.Wall(left=0.4, part=0.0, limit=2.5)
    for system in ("metric", "inch"):
        drawn = str(figures.wall_figure(thin, figures.scale_of([thin]), Units(system), "thin"))
        (y,) = map(float, re.findall(r'<line [^>]*y1="([\d.]+)"[^>]*class="limit"', drawn))
        heights = [float(at) for at in re.findall(r'<text [^>]*y="([\d.]+)"[^>]*limit-text', drawn)]
        assert len(heights) == 2
        assert 12.0 < y < figures.HEIGHT
        assert all(12.0 < at < figures.HEIGHT - 4.0 for at in heights), heights
