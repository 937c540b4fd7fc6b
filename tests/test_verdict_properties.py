"""Properties of the verdict over random valid cases: no worse case gets a better margin, what carries a
row's capacity decides it, and a case that leaves out what is needed never ends in 0."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from stopped_cases import SHOULDERED
from strategies import toml, valid
from weakened_cases import WEAKENINGS, weakened

from hoopwright.case.model import Case
from hoopwright.case.press_model import Press, PressHeat
from hoopwright.case.read import parse_case, read_case
from hoopwright.case.service_model import OutOfRound, ServiceInput
from hoopwright.case.sizing_model import Boring
from hoopwright.checks import CHECKS, Margin, evidence_of, judged
from hoopwright.discretisation import usual_resolution
from hoopwright.fem import MeshError, SolveError
from hoopwright.left_out import left_out
from hoopwright.study import CaseStudy

SEARCHED = 2e-3
"""Share of capacity over demand by which the position or state that governs on the coarsest mesh may miss
the worst, beyond the numerical error."""

few, many = (
    settings(
        max_examples=n,
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    for n in (4, 6)
)
Change = Callable[[Case], Case]


def rows_of(case: Case) -> dict[str, Margin]:
    study = CaseStudy(case, usual_resolution(case))
    return {row.id: row for row in judged(evidence_of(case, study))}


def solved(case: Case) -> dict[str, Margin]:
    """The rows of a case; one that cannot be meshed or solved is no example."""
    try:
        return rows_of(case)
    except (MeshError, SolveError):
        assume(False)
        raise


# ---- a worse case -----------------------------------------------------------------------------


def slipperier(case: Case) -> Case:
    return replace(case, fit=replace(case.fit, friction_low=0.8 * case.fit.friction_low))


def hotter_and_colder(case: Case) -> Case:
    given_range = case.temperatures
    if given_range is None:
        return case
    wider = replace(given_range, use_min=given_range.use_min - 10.0, use_max=given_range.use_max + 10.0)
    return replace(case, temperatures=wider)


def less_certain(case: Case) -> Case:
    """Every size by 4 µm."""

    def wider(lands):
        return tuple(replace(land, plus_minus=land.plus_minus + 4e-3) for land in lands)

    shell, sleeve = case.shell, case.sleeve
    return replace(
        case,
        shell=replace(shell, bore=wider(shell.bore), outside=wider(shell.outside)),
        sleeve=replace(sleeve, outside=wider(sleeve.outside)),
    )


CHANGES: tuple[Change, ...] = (slipperier, hotter_and_colder, less_certain)


FAR = 10.0
"""Margin beyond which no digit behind the point is told, and none is compared: an error estimated from
three meshes is no bound, and covers that of a fatigue amplitude nine times in ten."""


def no_margin_rises(case: Case, change: Change, *, adds: bool = False) -> None:
    """adds: the change adds something to judge, so that a row without a margin may get one."""
    worsened = change(case)
    assume(worsened != case)
    before, after = solved(case), solved(worsened)
    assert set(before) <= set(after)
    for name, row in before.items():
        worse = after[name]
        if row.margin is None:
            assert adds or worse.margin is None, name
            continue
        assert worse.margin is not None, name
        if row.state == "fails":  # where little is left of the capacity, their ratio says no more than that
            assert worse.state == "fails", name
            continue
        if min(row.margin, worse.margin) > FAR:
            continue
        error = (row.numerical_error or 0.0) + (worse.numerical_error or 0.0)
        assert worse.margin <= row.margin + error + SEARCHED * (1.0 + row.margin), name


@settings(few, max_examples=2)
@given(valid(loads=False).map(toml).map(parse_case), st.sampled_from(CHANGES))
def test_no_margin_rises_in_a_worse_case(case, change):
    no_margin_rises(case, change)


@pytest.mark.slow
@pytest.mark.parametrize("change", CHANGES, ids=lambda c: c.__name__)
@many
@given(case=valid().map(toml).map(parse_case))
def test_no_margin_rises_in_many_worse_cases(change, case):
    no_margin_rises(case, change)


# ---- something added --------------------------------------------------------------------------

TRACE = 1e-6
"""Share of a load that stands for none: the mesh keeps its lines where the load is handed over."""


def loaded(case: Case) -> Case:
    """The loads of a service of which the smaller case has a trace."""
    assert case.service is not None
    return replace(case, service=_scaled(case.service, 1.0 / TRACE))


def _scaled(service: ServiceInput, factor: float) -> ServiceInput:
    """The last bearing's load, the side impact and the standing start, scaled."""
    impact, start = service.side_impact, service.standing_start
    *others, last = service.bearings or (None,)
    scaled = last and replace(last, radial=last.radial * factor, axial=last.axial * factor)
    return replace(
        service,
        bearings=tuple(b for b in (*others, scaled) if b),
        side_impact=impact and replace(impact, force=impact.force * factor),
        standing_start=start and start * factor,
    )


def with_a_trace_of_load(case: Case) -> Case:
    assume(case.service is not None)
    assert case.service is not None
    small = _scaled(case.service, TRACE)
    assume(small != case.service)
    return replace(case, service=small)


def damaged(case: Case) -> Case:
    """Damage that reaches deeper, or any at all."""
    bore = min(land.least_diameter for land in case.shell.bore)
    if case.boring is None:
        return replace(case, boring=Boring(0.9 * bore, 0.95 * bore, 0.0, 0.3, 0.05))
    deeper = case.boring.damage_diameter + 0.01 * bore
    return replace(case, boring=replace(case.boring, damage_diameter=deeper))


def off_centre(case: Case) -> Case:
    return replace(case, runout_mm=case.runout_mm + 0.05)


def oval(case: Case) -> Case:
    """10 µm more of ovality whose angle is not known, in a bore without service."""
    assume(case.service is None)
    form = case.out_of_round or OutOfRound()
    return replace(case, out_of_round=replace(form, ovality=form.ovality + 0.010, angle=None))


ADDITIONS: tuple[Change, ...] = (damaged, off_centre, oval)


@pytest.mark.slow
@pytest.mark.parametrize("change", ADDITIONS, ids=lambda c: c.__name__)
@many
@given(case=valid().map(toml).map(parse_case))
def test_what_is_added_raises_no_margin_and_removes_no_row(change, case):
    no_margin_rises(case, change, adds=True)


@pytest.mark.slow
@many
@given(case=valid().map(toml).map(parse_case).map(with_a_trace_of_load))
def test_a_load_that_is_added_raises_no_margin_and_removes_no_row(case):
    no_margin_rises(case, loaded, adds=True)


# ---- the input that carries the capacity ------------------------------------------------------


def falls_with_its_capacity(case: Case) -> set[str]:
    """Hold every row of a case against the input that carries its capacity; the rows that were."""
    least = _least_interference(case)
    tried = set()
    for name, row in solved(case).items():
        weak = weakened(case, row, least)
        if weak is not None:
            again = evidence_of(weak, CaseStudy(weak, usual_resolution(weak)))
            assert CHECK_OF[name](again).state != "holds", name
            tried.add(name)
    return tried


CHECK_OF = {check.__name__: check for check in CHECKS}


def _least_interference(case: Case) -> float:
    study = CaseStudy(case, usual_resolution(case))
    return study.nominal_interference + evidence_of(case, study).least


@settings(few, max_examples=2)
@given(valid(loads=False).map(toml).map(parse_case))
def test_no_row_holds_beyond_the_limit_of_its_own_input(case):
    falls_with_its_capacity(case)


@pytest.mark.slow
@settings(many, max_examples=4)
@given(valid().map(toml).map(parse_case))
def test_no_row_of_many_cases_holds_beyond_the_limit_of_its_own_input(case):
    falls_with_its_capacity(case)


CASES = Path(__file__).parent.parent / "cases"
SOUND = (
    *(p for p in sorted(CASES.glob("sound/*.toml")) if not p.name.endswith(".expected.toml")),
    CASES / "cargo_trike_crank_shell.toml",
)


@pytest.mark.slow
def test_no_row_of_sound_cases_holds_beyond_the_limit_of_its_own_input():
    """Among them they have every row there is."""
    cases = [read_case(path) for path in SOUND]
    heat = PressHeat(shell_max_K=130.0, sleeve_cold_K=-90.0)
    cases.append(replace(cases[0], press=Press(method="heat", heat=heat)))
    cases.append(parse_case(SHOULDERED))
    tried = set().union(*map(falls_with_its_capacity, cases))
    assert tried == set(WEAKENINGS) == set(CHECK_OF)


# ---- what is needed ---------------------------------------------------------------------------


def without_temperatures(case: Case) -> Case:
    return replace(case, temperatures=None)


def without_service(case: Case) -> Case:
    return replace(case, service=None, no_service="")


def without_demand(case: Case) -> Case:
    return replace(case, demand=None, cups=None, service=None)


@settings(few, max_examples=3)
@given(
    valid(loads=False).map(toml).map(parse_case),
    st.sampled_from((without_temperatures, without_service, without_demand)),
)
def test_a_case_that_leaves_out_what_is_needed_is_never_complete(case, leave_out):
    incomplete = leave_out(case)
    rows = solved(incomplete)
    assert left_out(incomplete, tuple(rows.values()))
