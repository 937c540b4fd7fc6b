"""Screen, JSON and record show one press plan."""

import json
from pathlib import Path

import pytest
from press_cases import press_case

from hoopwright.case.read import read_case
from hoopwright.display import Units
from hoopwright.document.check import document as check_document
from hoopwright.document.press import document
from hoopwright.pipeline import check_case
from hoopwright.pressing.plan import press_plan
from hoopwright.record.document import HEADING, normalised, record_document
from hoopwright.record.gather import gather
from hoopwright.record.pages import record_pages
from hoopwright.record.progress import silent
from hoopwright.screen.press import report

METRIC = Units("metric")
ROOT = Path(__file__).resolve().parents[1]


def in_record(case):
    return record_document(gather(check_case(case), METRIC, silent))


def by_command(case):
    return document(press_plan(case), METRIC)


@pytest.fixture(scope="module")
def yielding():
    """0.300 mm of interference, which takes a 6061-T6 shell far past yield. Invented."""
    case = press_case(bore='bore_diameter = "39.000 mm"', outside='outside_diameter = "39.300 mm"')
    return in_record(case), by_command(case)


@pytest.fixture(scope="module")
def exact():
    """Sizes without any ±, and a peak that they and the friction do not explain. Invented."""
    case = press_case(
        bore='bore_diameter = "39.000 mm"',
        outside='outside_diameter = "39.040 mm"',
        press='observed_peak = "8 kN"',
    )
    return in_record(case), by_command(case)


@pytest.mark.parametrize("case", ["yielding", "exact"])
def test_the_record_holds_the_plan_that_the_command_prints(case, request):
    record, plan = request.getfixturevalue(case)
    shared = {key: value for key, value in plan.items() if key not in HEADING}
    assert record["press"] == normalised({"blocked": "", **shared})


def test_a_fit_past_yield_states_its_greatest_reading_on_screen_and_on_paper(yielding):
    """Frozen: 50.7 kN where the elastic stop line would be at 77.7 kN."""
    record, plan = yielding
    curve = plan["force_against_travel"]
    assert curve["metal_yields"]
    assert curve["greatest_stop_N"] == pytest.approx(50.7e3, rel=3e-3)
    assert curve["greatest_stop_if_elastic_N"] == pytest.approx(77.7e3, rel=2e-3)
    screen = " ".join(report(plan, METRIC).split())
    pages = json.dumps(record_pages(record, hashes={}), ensure_ascii=False)
    for name in ("greatest_stop_N", "greatest_stop_if_elastic_N"):
        shown = METRIC.text(curve[name], "N")
        assert shown in screen
        assert pages.count(shown) >= 2  # beside the stop line, and in the sentence on yielding


def test_exact_sizes_still_span_enough_to_say_what_a_peak_would_take(exact):
    """Frozen: the interference at the highest and the lowest friction that the case gives."""
    record, _ = exact
    take = record["press"]["inferred_fit"]["would_take"]
    assert take["interference_at_highest_friction_um"] == pytest.approx(30.87, abs=0.02)
    assert take["interference_at_lowest_friction_um"] == pytest.approx(60.20, abs=0.02)


@pytest.mark.slow
def test_search_for_the_window_leaves_what_the_record_says_of_the_check_as_it_was():
    case = read_case(str(ROOT / "cases" / "cart_wheel_hub.toml"))
    assert in_record(case)["checks"] == normalised(check_document(check_case(case)))["checks"]
