"""One state for the whole: the sentence, the exit status and the page all follow it."""

from dataclasses import replace

import pytest
from figure_cases import solved
from record_cases import results as recorded

from hoopwright import status
from hoopwright.case.sizing_model import RouteInput
from hoopwright.checks import Location, Margin
from hoopwright.comparison import Pairing
from hoopwright.document.check import document
from hoopwright.estimate import Estimate
from hoopwright.record.pages.title_block import COMPARISON_VERDICTS, VERDICTS, verdict_block
from hoopwright.sizing.route_verdict import comparison_state, route_verdict
from hoopwright.sizing.routes import RouteResult
from hoopwright.verdict import verdict, verdict_state


def margin(value: float | None, doubt: str = "") -> Margin:
    capacity = None if value is None else Estimate(value + 1.0)
    return Margin(
        "x", "x yields", Estimate(1.0), capacity, "MPa", 1.0, Location("shell"), "made up", doubt=doubt
    )


HOLDS, FAILS, IN_DOUBT, OPEN = margin(0.5), margin(-0.5), margin(0.5, doubt="in doubt"), margin(None)
ENDLESS = replace(HOLDS, demand=Estimate(0.0))


@pytest.mark.parametrize(
    ("rows", "state", "sentence", "code"),
    [
        ((HOLDS, OPEN), "holds", "All 1 assessed checks hold; the least margin is +0.50", status.ALL_HOLD),
        ((ENDLESS,), "holds", "All 1 assessed checks hold; the least margin is none", status.ALL_HOLD),
        ((FAILS, IN_DOUBT, HOLDS), "fails", "Do not cut: 1 of 3 checks fail", status.SOME_FAIL),
        ((IN_DOUBT, HOLDS), "undecided", "Undecided: x yields", status.SOME_FAIL),
        ((OPEN,), "not judged", "Nothing could be judged", status.ALL_HOLD),
        ((), "not judged", "Nothing could be judged", status.ALL_HOLD),
    ],
)
def test_sentence_and_status_follow_the_state(rows, state, sentence, code):
    results = replace(solved("plain"), margins=rows)
    assert verdict_state(results) == state
    assert verdict(results).startswith(sentence)
    assert status.BY_STATE[state] == code
    found = document(results)
    assert (found["state"], found["verdict"]) == (state, verdict(results))


def test_a_contradiction_with_the_closed_form_comes_before_every_row():
    plain = solved("plain")
    wrong = (Pairing("mean contact pressure", Estimate(9.0), 5.0, "MPa"),)
    results = replace(plain, comparison=replace(plain.comparison, pairings=wrong), margins=(FAILS,))
    assert verdict_state(results) == "contradicted"
    assert verdict(results).startswith("Not to be used")
    assert status.BY_STATE["contradicted"] == status.NOT_SOLVED


def test_the_page_shows_the_state_by_word_and_by_colour():
    tones = {}
    for state in status.BY_STATE:
        block = verdict_block({**recorded(), "state": state})
        assert block["word"] == VERDICTS[state][0]
        tones[state] = block["tone"]
    assert len({word for word, _ in VERDICTS.values()}) == len(VERDICTS)
    assert [state for state, tone in tones.items() if tone == "good"] == ["holds"]


def route(*rows: Margin) -> RouteResult:
    return RouteResult(RouteInput(name="a way", kind="sleeve"), 40.0, 3.0, rows, None)


@pytest.mark.parametrize(
    ("routes", "state"),
    [
        ((route(FAILS), route(HOLDS)), "holds"),
        ((route(FAILS), route(IN_DOUBT)), "undecided"),
        ((route(OPEN), route(FAILS)), "undecided"),
        ((route(FAILS), replace(route(HOLDS), makeable=False)), "fails"),
    ],
)
def test_a_comparison_holds_where_one_route_does(routes, state):
    assert comparison_state(routes) == state
    assert (status.BY_STATE[state] == status.ALL_HOLD) == any(r.state == "holds" for r in routes)
    assert (COMPARISON_VERDICTS[state][1] == "good") == (state == "holds")


def test_a_route_without_demand_has_no_margin_to_state():
    assert route_verdict(route(ENDLESS)) == "holds on 1 check; least margin none, x yields."
