"""A plan of pressing that rests on what is in doubt says so, and does not end as one that holds."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from page_presses import plan
from suspect_cases import SWAPPED, text

from hoopwright import interface, status
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.page.steps.press import _do_not
from hoopwright.screen.press import report
from hoopwright.suspected import STANDS_OUT


@pytest.mark.parametrize("confirmed", [False, True])
def test_a_sleeve_is_not_pressed_on_a_reading_in_doubt(confirmed):
    case = parse_case(text(*SWAPPED, confirmed=(1,) if confirmed else ()))
    found = interface.press(case)
    doubted = interface.check(case).state == "undecided"
    assert doubted == (not confirmed)
    said = f"Do not press yet: {STANDS_OUT[:40]}" in report(found.document(), Units("metric"))
    assert said == doubted
    assert found.document()["undecided"] == ([STANDS_OUT] if doubted else [])
    if doubted:
        assert (found.status, found.verdict) == (status.SOME_FAIL, f"Undecided: {STANDS_OUT}.")


@pytest.mark.parametrize(("method", "words"), [("push", "press"), ("heat", "slip it in")])
def test_the_page_says_it_too(method, words):
    shown = plan() | {"undecided": ["it is in doubt"], "method": method}
    bench = SimpleNamespace(case=None)
    assert _do_not(shown, bench) == f"Do not {words} yet: it is in doubt."
    assert _do_not(shown | {"undecided": []}, bench) == ""
