"""Every way to fail in every stage: what the verdict rests on, and what it may not leave out."""

from __future__ import annotations

import dataclasses
import math
from functools import cache
from pathlib import Path

import pytest
from cells import Rows

from hoopwright.case.read import parse_case
from hoopwright.checks import CHECKS, STAGES, STAGES_OF, evidence_of
from hoopwright.checks.margin import NO_GRIP, Location, Margin, may_govern, row_of
from hoopwright.document.check import document
from hoopwright.estimate import Estimate
from hoopwright.fem import Resolution
from hoopwright.fem.errors import SolveError
from hoopwright.left_out import left_out
from hoopwright.pipeline import check_case
from hoopwright.status import BY_STATE
from hoopwright.study import CaseStudy
from hoopwright.verdict import verdict, verdict_state

FROZEN = Path(__file__).parent / "frozen"
PLAIN = """
title = "plain pair, invented"
[shell]
material = "6061-T6"
width = "50 mm"
outside_diameter = "60 mm"
bore_diameter = "40 mm"
bore_plus_minus = "4 um"
[sleeve]
material = "E355 steel"
length = "50 mm"
outside_diameter = "40.050 mm"
outside_plus_minus = "4 um"
bore_diameter = "32 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
[mesh]
elements_through_wall = 2
"""
DEMAND = '[demand]\naxial_force = "1 kN"\n'
RANGE = '[temperatures]\nuse_least = "-5 degC"\nuse_most = "45 degC"\n'
NO_SERVICE = '[service]\nnone = "turned by hand"\n'
COMPLETE = PLAIN + DEMAND + RANGE + NO_SERVICE
AXIAL = """
[service]
cycles = 1000
micro_slip = "accepted"
[[service.bearing]]
name = "blow along the axis"
radial = "1 N"
angle = "0 deg"
axial = "AXIAL"
z = "25 mm"
from = "15 mm"
to = "35 mm"
hold = "pressed"
[service.clamped]
from = "0 mm"
to = "10 mm"
[fatigue.shell]
amplitude = "60 MPa"
at_cycles = 10000000
slope = 7
source = "invented"
[fatigue.sleeve]
amplitude = "150 MPa"
at_cycles = 10000000
slope = 9
source = "invented"
"""


@cache
def results(text):
    return check_case(parse_case(text))


@cache
def rows(text):
    """The rows of a case by id, on one mesh of two rows."""
    case = parse_case(text)
    evidence = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))
    return Rows(evidence)


def cell(row, stage):
    return next(c for c in row.cells if c.stage == stage)


def demo(name):
    return (
        (FROZEN / f"{name}.toml")
        .read_text(encoding="utf-8")
        .replace('log = "cargo_trike_press_log.csv"', "")
    )


# ---- temperature ------------------------------------------------------------------------------


@pytest.mark.slow
def test_every_row_of_the_trike_is_judged_over_its_range_of_use():
    """Version 0.1.0 judged it at 20 °C alone: joint opens +2.46, thin side by itself."""
    frozen = rows(demo("cargo_trike_crank_shell"))
    opens, shell = (cell(frozen[name], "in use") for name in ("joint_opens", "shell_yields"))
    assert opens.when.temperature_rise == 25.0
    assert opens.margin < 0.45
    assert shell.when.temperature_rise == -25.0
    narrow = rows(
        demo("cargo_trike_crank_shell")
        .replace('use_least = "-5 degC"', 'use_least = "19 degC"')
        .replace('use_most = "45 degC"', 'use_most = "21 degC"')
    )
    assert cell(narrow["joint_opens"], "in use").margin > opens.margin + 0.7
    assert cell(narrow["shell_yields"], "in use").margin > shell.margin + 0.04


def test_the_thin_side_counts_in_every_stage():
    """Runout was a row of its own, judged in service alone. 0.6 mm on Ø40/60: 1.0211 by Jeffery."""
    centred, off = (
        rows(COMPLETE.replace("bore_d", f'runout = "{r}"\nbore_d', 1)) for r in ("0 mm", "0.6 mm")
    )
    for one in centred["shell_yields"].cells:
        thin = cell(off["shell_yields"], one.stage)
        assert thin.demand.value == pytest.approx(1.02111 * one.demand.value, rel=1e-4), one.stage


# ---- the axial load of service ----------------------------------------------------------------


@pytest.mark.parametrize("force", [9.0, 20.0])
def test_an_axial_service_load_meets_the_grip(force):
    """9 and 20 kN along the axis on a fit that grips less left "sleeve pushed out" untouched."""
    row = rows(COMPLETE.replace(NO_SERVICE, AXIAL.replace("AXIAL", f"{force} kN")))["pushed_out"]
    held = cell(row, "in use")
    assert row.state == "fails"
    assert row.stage == "in use"
    assert held.demand.value == pytest.approx(1e3 * force + 1e3)  # [demand] in its worse sense on top
    assert held.when.load_case == "blow along the axis"
    assert cell(row, "pressed").state == "holds"


def test_a_shoulder_carries_what_pushes_the_sleeve_against_it():
    text = COMPLETE.replace(NO_SERVICE, AXIAL.replace("AXIAL", "9 kN"))
    stepped = (
        text.replace(
            'bore_diameter = "40 mm"\nbore_plus_minus = "4 um"\n',
            "",
            1,
        )
        .replace(
            "[sleeve]",
            """
[[shell.bore]]
from = "0 mm"
to = "40 mm"
diameter = "40 mm"
plus_minus = "4 um"
[[shell.bore]]
from = "40 mm"
to = "50 mm"
diameter = "34 mm"
[sleeve]""",
            1,
        )
        .replace('length = "50 mm"', 'length = "40 mm"')
    )
    towards = rows(stepped)["pushed_out"]
    away = rows(stepped.replace('axial = "9 kN"', 'axial = "-9 kN"'))["pushed_out"]
    assert cell(towards, "in use").demand.value == pytest.approx(1e3)
    assert cell(away, "in use").demand.value == pytest.approx(1e4)


# ---- loose sleeves ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "change",
    [
        (
            "friction_high = 0.2",
            'friction_high = 0.2\nroughness_bore = "40 um"\nroughness_sleeve = "40 um"',
        ),
        ('outside_diameter = "40.050 mm"', 'outside_diameter = "40.000001 mm"'),
    ],
    ids=["smoothing beyond the interference", "one nanometre"],
)
def test_a_sleeve_that_may_be_loose_never_holds(change):
    """Nothing was demanded, and "all assessed checks hold" with a grip of 0 N."""
    found = results(PLAIN.replace(*change))
    row = next(r for r in found.margins if r.id == "stays_tight")
    assert row.state == "fails"
    assert row.margin == NO_GRIP
    assert verdict_state(found) == "fails"


def test_a_range_of_use_that_loosens_the_fit_fails_without_any_demand():
    found = results(PLAIN + RANGE.replace("45 degC", "200 degC"))
    row = next(r for r in found.margins if r.id == "stays_tight")
    assert row.state == "fails"
    assert row.stage == "in use"


def test_what_is_lost_to_heat_is_the_difference_of_expansions():
    """Δ = d (α_shell − α_sleeve) ΔT of linear expansion, for parts of one length."""
    lost = cell(rows(COMPLETE)["stays_tight"], "in use").demand
    assert lost.value == pytest.approx(1e3 * 40.0 * (23.4e-6 - 12.0e-6) * 25.0, rel=0.02)


# ---- arithmetic -------------------------------------------------------------------------------


def margin(demand, capacity, factor=1.0):
    return Margin("x", "x", demand, capacity, "MPa", factor, Location("shell"), "")


@pytest.mark.parametrize(
    ("demand", "capacity", "state", "value"),
    [
        (Estimate(0.0), Estimate(5.0), "holds", math.inf),
        (Estimate(0.0), Estimate(0.0), "fails", NO_GRIP),
        (Estimate(0.0), Estimate(-3.0), "fails", NO_GRIP),
        (Estimate(-2.0), Estimate(-3.0), "fails", NO_GRIP),
        (Estimate(1.0), Estimate(-200.0), "fails", NO_GRIP),
        (Estimate(0.1, 0.08), Estimate(5.0, 0.1), "holds", 49.0),
        (Estimate(5.0, 0.1), Estimate(5.0, 0.1), "unresolved", 0.0),
        (Estimate(math.inf), Estimate(5.0), "fails", NO_GRIP),
    ],
)
def test_the_sign_is_that_of_capacity_less_demand(demand, capacity, state, value):
    """6 µm of ovality was undecided at +50, no demand held with less than no capacity, −202 was printed."""
    found = margin(demand, capacity)
    assert found.state == state
    assert found.margin == pytest.approx(value)


def test_little_ovality_is_decided():
    oval = '[shell.out_of_round]\novality = "0.006 mm"\n'
    found = results(COMPLETE.replace("[sleeve]", oval + "[sleeve]", 1))
    opens = next(r for r in found.margins if r.id == "joint_opens")
    assert opens.margin > 5.0
    assert opens.state == "holds"


def test_what_is_not_a_number_stops_the_run():
    with pytest.raises(SolveError, match="not a number"):
        margin(Estimate(math.nan), Estimate(1.0))


def test_a_row_takes_its_worst_cell():
    cells = [
        dataclasses.replace(margin(Estimate(d), Estimate(10.0)), stage=stage, doubt=doubt)
        for d, stage, doubt in (
            (2.0, "pressed", ""),
            (1.0, "cups", "rests on a guess"),
            (5.0, "in use", ""),
        )
    ]
    assert row_of(cells[::2]).stage == "in use"
    assert row_of(cells[::2]).state == "holds"
    assert row_of(cells).stage == "in use"
    assert row_of(cells).state == "unresolved"  # where one cell is in doubt, the row does not hold
    assert row_of(cells).doubt == "cups: rests on a guess"
    worse = dataclasses.replace(margin(Estimate(11.0), Estimate(10.0)), stage="oven")
    assert row_of([*cells, worse]).stage == "oven"
    assert [c.stage for c in row_of([*cells, worse]).cells] == ["pressed", "cups", "in use", "oven"]


def test_a_cell_is_solved_on_finer_meshes_where_that_may_matter():
    """The one that governs, what may govern instead, and what is near its own limit."""
    cells = [margin(Estimate(d, 0.04 * d), Estimate(100.0)) for d in (10.0, 48.0, 50.0, 40.0)]
    assert may_govern(cells) == (False, True, True, False)
    near = [margin(Estimate(d, 0.04 * d), Estimate(100.0)) for d in (98.0, 300.0)]
    assert may_govern(near) == (True, True)


# ---- what is needed ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "clause"),
    [
        (COMPLETE.replace(RANGE, ""), "no range of temperature in use is given"),
        (COMPLETE.replace(NO_SERVICE, ""), "no service load is given"),
        (COMPLETE.replace(DEMAND, ""), "nothing is given that the fit must hold"),
        (
            COMPLETE.replace(NO_SERVICE, AXIAL.replace("AXIAL", "10 N").split("[fatigue.sleeve]")[0]),
            "sleeve fatigue was not judged",
        ),
    ],
    ids=["temperature", "service", "demand", "fatigue"],
)
def test_what_is_left_out_is_named_first_and_shown_in_the_status(text, clause):
    found = results(text)
    assert verdict_state(found) == "holds as far as judged"
    assert BY_STATE[verdict_state(found)] == 5
    assert verdict(found).split(".")[0].startswith("Holds as far as judged: ")
    assert clause in verdict(found).split(". ")[0]


def test_a_complete_case_holds_and_a_sample_never_more_than_as_far_as_judged():
    assert verdict_state(results(COMPLETE)) == "holds"
    sample = results(COMPLETE.replace("[shell]", "sample = true\n[shell]", 1))
    assert verdict_state(sample) == "holds as far as judged"
    assert verdict(sample).startswith("Sample values: ")


def test_limits_of_the_users_own_are_never_needed_and_named_last():
    found = results(COMPLETE)
    assert not left_out(found.case, found.margins)
    last = verdict(found).split(". ")[-1]
    assert last.startswith("No limit of your own was given for: ")
    assert all(limit in last for limit in ("least wall", "greatest bore closure", "capacity of the press"))


def test_accepted_slip_is_named_in_the_first_sentence():
    text = COMPLETE.replace(NO_SERVICE, AXIAL.replace("AXIAL", "10 N"))
    assert "local slip of the joint is accepted" in verdict(results(text)).split(". ")[0]


def test_none_stands_alone_in_its_table(tmp_path, capsys):
    from hoopwright.cli import main

    path = tmp_path / "case.toml"
    path.write_text(COMPLETE.replace(NO_SERVICE, NO_SERVICE + "cycles = 1000\n"), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    assert "[service] none" in (line := capsys.readouterr().err)
    assert "stands beside cycles" in line


# ---- what is shown ----------------------------------------------------------------------------


def test_every_row_says_where_and_when_it_governs():
    d = document(results(COMPLETE))
    for row in d["checks"]:
        assert row["where"]["stage"] in STAGES
        assert set(row["where"]["state"]) == {
            "temperature_degC",
            "friction",
            "preload_N",
            "load_case",
            "joint",
            "travel_mm",
        }
        assert {c["where"]["stage"] for c in row["cells"]} <= set(row["stages"])


@pytest.mark.parametrize("name", ["cargo_trike_crank_shell", "thin_steel_shell", "worn_bearing_housing"])
def test_a_demo_is_judged_in_the_stages_of_its_rows_and_in_no_other(name):
    for row in rows(demo(name)).values():
        assert {c.stage for c in row.cells} <= set(STAGES_OF[row.id]), row.id


def test_every_check_has_its_stages():
    case = parse_case(COMPLETE)
    evidence = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))
    assert {one(evidence).id for one in CHECKS} <= set(STAGES_OF)
