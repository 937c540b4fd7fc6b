"""A press log that contradicts nothing, but bears out less than a row counts on; and a slip at the proof.

The joint as it was pressed holds no better in `compare` and `size` than in `check`; another sleeve is
judged by the friction that was read, and by the share that the slip leaves. Invented sizes.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from press_cases import short_bush

from hoopwright import status
from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.holding import pushed_out
from hoopwright.discretisation import usual_resolution
from hoopwright.interface.results import sized
from hoopwright.pipeline import check_case
from hoopwright.pressing import contradiction, inference
from hoopwright.pressing.contradiction import READ_LESS
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.inference import infer_fit, margins_with
from hoopwright.sizing import routes
from hoopwright.sizing.plan import size_case
from hoopwright.sizing.route_verdict import comparison_state
from hoopwright.sizing.routes import compare_routes, judge_route
from hoopwright.study import CaseStudy
from hoopwright.verdict import verdict_state

TEXT = short_bush(
    "39.040 mm",
    more="""[demand]
axial_force = "900 N"
[temperatures]
use_least = "10 degC"
use_most = "30 degC"
[service]
none = "a test"
[[route]]
name = "as pressed"
kind = "sleeve"
[[route]]
name = "another sleeve"
kind = "sleeve"
interference = "50 um"
""",
)


def of(more: str = "", file: str = "case") -> Case:
    return parse_case(TEXT + more, file=file)


@pytest.fixture(scope="module")
def logged(tmp_path_factory) -> Case:
    """With a log that read two thirds of the likely force all the way."""
    folder = tmp_path_factory.mktemp("log")
    case = of()
    curve = case_force_travel(CaseStudy(case, usual_resolution(case)))
    travel = np.linspace(2.0, 24.0, 12)
    likely = np.interp(travel, curve.travel, curve.force[:, 1])
    rows = "".join(f"{x:g}, {0.66 * f:.0f}\n" for x, f in zip(travel, likely, strict=True))
    (folder / "log.csv").write_text(f"travel [mm], force [N]\n{rows}")
    return of('[press]\nlog = "log.csv"\n', str(folder / "case.toml"))


def row(rows, id_):
    return next(one for one in rows if one.id == id_)


def without_windows(monkeypatch):
    monkeypatch.setattr(routes, "_window", lambda *_, **__: (None, None))


def test_as_pressed_it_holds_no_better_in_compare_than_in_check(monkeypatch, logged):
    without_windows(monkeypatch)
    results = check_case(logged)
    held = row(results.margins, "pushed_out")
    assert (verdict_state(results), held.doubt) == ("undecided", READ_LESS)
    found, another = compare_routes(logged, logged.routes)[::-1]
    assert found.route.name == "as pressed"
    assert row(found.margins, "pushed_out") == held
    assert {m.id: m.state for m in found.margins} == {m.id: m.state for m in results.margins}
    assert (found.state, comparison_state([found])) == ("undecided", "undecided")
    assert status.BY_STATE[comparison_state([found])] == status.SOME_FAIL
    # another sleeve is not in doubt, but holds by the friction that was read
    assert another.state == "holds"
    assert row(another.margins, "pushed_out").doubt == ""
    assert "friction from 0.078 on, as read at the press" in another.reason
    assert 0.0 < row(another.margins, "pushed_out").margin < 0.05  # 0.32 by the friction given


def test_what_checks_have_found_by_one_friction_is_not_taken_for_another(monkeypatch, logged):
    """At the very sizes of the case, so that what they keep could be taken."""
    study = CaseStudy(logged, usual_resolution(logged))
    sizes = study.loosest_shift, study.tightest_shift
    monkeypatch.setattr(inference, "_limits", lambda case, *_: (sizes, case.pressing_friction))
    by_case = pushed_out(evidence_of(logged, study)).margin
    found = infer_fit(logged, study, case_force_travel(study), with_margins=False)
    as_read = row(margins_with(logged, study, found), "pushed_out").margin
    least = found.least_friction / logged.fit.friction_low
    assert as_read == pytest.approx(least * (1.0 + by_case) - 1.0, abs=0.01)
    assert pushed_out(evidence_of(logged, study)).margin == by_case


def test_a_row_that_would_be_in_doubt_by_what_was_read_is_in_doubt(monkeypatch, logged):
    study = CaseStudy(logged, usual_resolution(logged))
    holds = pushed_out(evidence_of(logged, study))
    in_doubt = replace(holds, cells=tuple(replace(cell, doubt="a doubt") for cell in holds.cells))
    in_doubt = replace(in_doubt, doubt="a doubt")
    monkeypatch.setattr(contradiction, "margins_with", lambda *_: (in_doubt,))
    found = infer_fit(logged, study, case_force_travel(study), with_margins=False)
    assert found.least_friction is not None
    (told,) = contradiction.lowered_by_readings((holds,), logged, study, found)
    assert (holds.state, told.state, told.doubt) == ("holds", "unresolved", READ_LESS)


@pytest.mark.slow
def test_the_size_of_another_sleeve_counts_on_what_was_read(logged):
    plan, before = size_case(logged), size_case(of())
    assert row(plan.margins, "pushed_out").doubt == READ_LESS
    assert plan.window.least > 1.2 * before.window.least  # 43.8 and 35.2 µm
    said = sized(plan, None).document()["verdict"]
    assert said.startswith("Turn another sleeve to the size below")
    assert "no more friction than was read" in said
    assert sized(before, None).document()["verdict"].startswith("Turn the sleeve to the size below")


@pytest.mark.slow
def test_after_a_slip_at_the_proof_another_sleeve_is_judged_by_what_is_left():
    slipped = of('[proof]\npush = "900 N"\nslipped = true\n')
    results = {r.route.name: r for r in compare_routes(slipped, slipped.routes)}
    pressed, another = results["as pressed"], results["another sleeve"]
    held = row(check_case(slipped).margins, "pushed_out")
    assert row(pressed.margins, "pushed_out").margin == pytest.approx(held.margin, rel=1e-9)
    assert pressed.state == "fails"
    assert not another.window.empty
    # by the same share: in proportion to what is computed without the slip
    free = of()
    computed = row(judge_route(free, free.routes[1]).margins, "pushed_out").margin
    left = (1.0 + held.margin) / (1.0 + row(check_case(free).margins, "pushed_out").margin)
    assert row(another.margins, "pushed_out").margin == pytest.approx(
        left * (1.0 + computed) - 1.0, abs=1e-6
    )
    plan = size_case(slipped)
    assert plan.window.least == pytest.approx(another.window.least, rel=1e-3)
    assert "This joint slipped at the load of [proof]" in sized(plan, None).document()["verdict"]
