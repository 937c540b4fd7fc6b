"""One state for the whole: the sentence, the exit status and the page all follow it."""

from dataclasses import replace

import pytest
from figure_cases import CASES, solved
from record_cases import results as recorded

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.checks import Location, Margin
from hoopwright.comparison import Pairing
from hoopwright.document.check import document
from hoopwright.estimate import Estimate
from hoopwright.pipeline import check_case
from hoopwright.record.pages.title_block import VERDICTS, verdict_block
from hoopwright.sizing.route_verdict import comparison_state, route_verdict
from hoopwright.sizing.routes import RouteResult
from hoopwright.verdict import verdict, verdict_state

COMPLETE = parse_case(
    CASES["plain"]
    + """
[temperatures]
use_least = "-10 degC"
use_most = "45 degC"
[service]
none = "a stand"
"""
)
"""A case that leaves out nothing that is needed."""


def margin(value: float | None, doubt: str = "", id_: str = "pushed_out") -> Margin:
    capacity = None if value is None else Estimate(value + 1.0)
    return Margin(
        id_, "sleeve is out", Estimate(1.0), capacity, "N", 1.0, Location("shell"), "made up", doubt=doubt
    )


HOLDS, FAILS, IN_DOUBT, OPEN = margin(0.5), margin(-0.5), margin(0.5, doubt="in doubt"), margin(None)
ENDLESS = replace(HOLDS, demand=Estimate(0.0))
YIELDS = margin(0.5, id_="shell_yields")


@pytest.mark.parametrize(
    ("rows", "state", "sentence", "code"),
    [
        ((HOLDS, OPEN), "holds", "Holds: all 1 ways to fail were judged and hold. ", status.ALL_HOLD),
        ((ENDLESS,), "holds", "Holds: all 1 ways to fail were judged and hold. ", status.ALL_HOLD),
        ((FAILS, IN_DOUBT, HOLDS), "fails", "Do not cut: 1 of 3 ways to fail does not", status.SOME_FAIL),
        ((FAILS, FAILS, HOLDS), "fails", "Do not cut: 2 of 3 ways to fail do not hold", status.SOME_FAIL),
        ((IN_DOUBT, HOLDS), "undecided", "Undecided: sleeve is out: ", status.SOME_FAIL),
        (
            (YIELDS, OPEN),
            "holds as far as judged",
            "Holds as far as judged: nothing is given that the fit must hold. ",
            status.AS_FAR_AS_JUDGED,
        ),
    ],
)
def test_sentence_and_status_follow_the_state(rows, state, sentence, code):
    results = replace(solved("plain"), case=COMPLETE, margins=rows)
    assert verdict_state(results) == state
    assert verdict(results).startswith(sentence)
    assert status.BY_STATE[state] == code
    found = document(results)
    assert (found["state"], found["verdict"]) == (state, verdict(results))


@pytest.mark.parametrize(("row", "shown"), [(HOLDS, "+0.50"), (ENDLESS, "no loss")])
def test_what_holds_states_the_row_nearest_its_limit(row, shown):
    found = verdict(replace(solved("plain"), case=COMPLETE, margins=(row, OPEN)))
    assert found.endswith(f"Nearest its limit: sleeve is out, pressed, {shown}.")


@pytest.mark.parametrize(
    ("left", "sentence"),
    [
        ({"temperatures": None}, "Holds as far as judged: no range of temperature in use is given. "),
        ({"no_service": ""}, "Holds as far as judged: no service load is given. "),
        ({"sample": True}, "Sample values: Holds as far as judged. "),
    ],
)
def test_a_case_that_leaves_something_out_holds_only_as_far_as_judged(left, sentence):
    results = replace(solved("plain"), case=replace(COMPLETE, **left), margins=(HOLDS,))
    assert verdict_state(results) == "holds as far as judged"
    assert verdict(results).startswith(sentence)
    failing = replace(results, margins=(FAILS,))
    assert verdict_state(failing) == "fails"


def test_a_case_without_service_loads_is_asked_for_them_unless_it_says_why():
    asked, told = solved("plain"), check_case(COMPLETE)
    assert [["[service]" in row.note for row in r.margins].count(True) for r in (asked, told)] == [1, 0]


def test_no_case_is_without_a_judged_row():
    rows = {row.id: row for row in solved("plain").margins}
    for always in ("shell_yields", "sleeve_yields", "stays_tight", "ends_crush"):
        assert rows[always].margin is not None


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


def route(*rows: Margin, missing: tuple[str, ...] = ()) -> RouteResult:
    way = RouteInput(name="a way", kind="sleeve")
    return RouteResult(way, 40.0, 3.0, rows, None, missing=missing)


PARTLY = route(HOLDS, missing=("no service load is given",))


@pytest.mark.parametrize(
    ("routes", "state"),
    [
        ((route(FAILS), route(HOLDS)), "holds"),
        ((PARTLY, route(HOLDS)), "holds"),
        ((PARTLY, route(IN_DOUBT)), "holds as far as judged"),
        ((route(FAILS), route(IN_DOUBT)), "undecided"),
        ((route(OPEN), route(FAILS)), "undecided"),
        ((route(FAILS), replace(route(HOLDS), makeable=False)), "fails"),
    ],
)
def test_a_comparison_holds_where_one_route_does(routes, state):
    assert comparison_state(routes) == state
    assert (status.BY_STATE[state] == status.ALL_HOLD) == any(r.state == "holds" for r in routes)


@pytest.mark.parametrize(
    ("routes", "word", "tone"),
    [
        ((route(HOLDS), route(HOLDS)), "2 OF 2 HOLD", "good"),
        ((route(FAILS), route(HOLDS)), "1 OF 2 HOLDS", "part"),
        ((PARTLY, route(HOLDS)), "1 OF 2 HOLDS", "part"),
        ((PARTLY, route(HOLDS), replace(route(FAILS), gaps=("wall left",))), "1 OF 3 HOLDS", "part"),
        ((PARTLY, PARTLY, route(IN_DOUBT)), "2 OF 3 HOLD AS FAR AS JUDGED", "part"),
        ((route(OPEN), route(FAILS)), "NONE HOLDS", "open"),
        ((route(FAILS), route(FAILS)), "NONE HOLDS", "bad"),
    ],
)
def test_the_banner_of_a_comparison_is_green_only_where_every_route_holds(routes, word, tone):
    shown = {
        "record": {"kind": "comparison"},
        "state": comparison_state(routes),
        "routes": [{"state": r.state} for r in routes],
        "verdict": "",
    }
    block = verdict_block(shown)
    assert (block["word"], block["tone"]) == (word, tone)


def test_a_route_without_demand_has_no_margin_to_state():
    assert route_verdict(route(ENDLESS)) == "holds on 1 way to fail; least margin no loss, sleeve is out."
