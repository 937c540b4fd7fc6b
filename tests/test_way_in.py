"""The way in: stresses and forces of a sleeve that is partly engaged and being pushed.

Values of an independent model: a second axisymmetric model of the same parts that shares no code with this
one, with linear averaging of the stress along z over a wall.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cells import cell_of

from hoopwright.case.read import parse_case, read_case
from hoopwright.checks import Evidence
from hoopwright.checks.press_force import press_force
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.checks.yields import shell_yields, sleeve_yields
from hoopwright.cli import main
from hoopwright.discretisation import usual_resolution
from hoopwright.estimate import Estimate
from hoopwright.state import being_pushed, pushing_frictions
from hoopwright.study import CaseStudy
from hoopwright.way_in import Passing, WayIn, _is_settled

CASES = Path(__file__).parent / "frozen"
"""The demos of version 0.1.0, which the values are of."""
TRIKE = CASES / "cargo_trike_crank_shell.toml"
THIN_STEEL = CASES / "thin_steel_shell.toml"
PLAIN = Path(__file__).parents[1] / "cases" / "sound" / "plain_steel_in_aluminium.toml"
STEPPED = """
title = "Leading land larger than the bore it enters first"
[shell]
material = "6061-T6"
width = "80 mm"
outside_diameter = "44 mm"
[[shell.bore]]
from = "0 mm"
to = "40 mm"
diameter = "38.980 mm"
[[shell.bore]]
from = "40 mm"
to = "80 mm"
diameter = "39.020 mm"
[sleeve]
material = "E355 steel"
length = "80 mm"
bore_diameter = "35.0 mm"
[[sleeve.outside]]
from = "0 mm"
to = "40 mm"
diameter = "39.005 mm"
[[sleeve.outside]]
from = "40 mm"
to = "80 mm"
diameter = "39.045 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
[press]
capacity = "11 kN"
enters_from = "left"
"""


@pytest.fixture(scope="module", params=[TRIKE, THIN_STEEL], ids=["trike", "thin steel"])
def study(request) -> CaseStudy:
    case = read_case(request.param)
    return CaseStudy(case, usual_resolution(case))


def at(path, body: str, travel: float, friction: float) -> float:
    """Greatest stress of a body at one position, greatest interference, on the middle mesh, MPa."""
    case = read_case(path)
    study = CaseStudy(case, usual_resolution(case))
    solution = study.way_in.solution(study.interference_half_width, Passing(travel, friction), 1)
    return solution.equivalent_peak(body).value


@pytest.mark.parametrize(
    ("path", "body", "travel", "friction", "expected"),
    [
        (THIN_STEEL, "shell", 64.0, 0.2, 165.3),
        (THIN_STEEL, "shell", 59.5, 0.2, 164.5),
        (THIN_STEEL, "sleeve", 7.5, 0.0, 181.5),
        (THIN_STEEL, "sleeve", 8.5, 0.2, 175.8),
        (TRIKE, "sleeve", 43.5, 0.0, 114.7),
        (TRIKE, "sleeve", 43.5, 0.2, 104.1),
        (TRIKE, "sleeve", 44.5, 0.0, 110.0),
        (TRIKE, "sleeve", 44.5, 0.2, 99.0),
    ],
)
def test_stress_of_a_partly_engaged_sleeve_is_that_of_an_independent_model(
    path, body, travel, friction, expected
):
    assert at(path, body, travel, friction) == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize("body", ["shell", "sleeve"])
def test_the_search_finds_the_worst_of_all_positions(study, body):
    """Against every millimetre of the way, solved by itself: 1 % covers what lies between the positions."""
    way_in, half = study.way_in, study.interference_half_width
    found = way_in.greatest_stress(body, half)
    coarse = way_in.resolutions[-1:]
    fresh = WayIn(study.case, coarse)
    brute = max(
        fresh.solution(half, Passing(0.5 * k, friction), 0).equivalent_peak(body).value
        for k in range(2, int(2.0 * way_in.home), 3)
        if fresh.engages(0.5 * k, half)
        for friction in pushing_frictions(study.case)
    )
    assert found.value.value >= 0.99 * brute


def test_partly_engaged_ends_stress_both_demos_more_than_rest(study):
    half = study.interference_half_width
    evidence = Evidence(study.case, study, -half, half)
    for judge, body in ((shell_yields, "shell"), (sleeve_yields, "sleeve")):
        entering = cell_of(judge(evidence), "entering")
        passing, resting = (greatest_stress(evidence, body, s).value for s in ("entering", "pressed"))
        assert passing.value > 1.02 * resting.value
        assert "being pushed" in entering.when.friction
        assert 0.0 < entering.when.travel < study.way_in.home


def test_the_force_is_that_of_the_whole_way_and_of_the_restart():
    """A leading land of 65 µm over the entry land needs more half way in than at home: 10,165 N there,
    against 8,077 N by the fit at home, and a third more to restart. Frozen; the press has 11 kN."""
    case = parse_case(STEPPED)
    study = CaseStudy(case, usual_resolution(case))
    half = study.interference_half_width
    sliding, travel = study.way_in.greatest_force(half, 0.2)
    restart, _ = study.way_in.greatest_force(half, 0.26)
    assert sliding.value == pytest.approx(10165.0, rel=0.005)
    assert 40.0 < travel < 45.0
    assert restart.value == pytest.approx(1.3 * sliding.value, rel=0.02)
    margin = press_force(Evidence(case, study, -half, half))
    assert margin.demand == Estimate(restart.value, restart.error)
    assert margin.state == "fails"


@pytest.mark.parametrize(
    "path",
    [PLAIN, pytest.param(TRIKE, marks=pytest.mark.slow), pytest.param(THIN_STEEL, marks=pytest.mark.slow)],
    ids=["plain", "trike", "thin steel"],
)
def test_check_press_and_record_tell_one_greatest_force(path, tmp_path, capsys):
    main(["check", str(path), "--json", "--out", str(tmp_path)])
    checked = json.loads(capsys.readouterr().out)
    main(["press", str(path), "--json"])
    pressed = json.loads(capsys.readouterr().out)["force_against_travel"]
    row = next(c for c in checked["checks"] if c["id"] == "press_force")
    assert row["demand"] == pytest.approx(pressed["restart_force_max_N"], rel=1e-9)
    recorded = json.loads(next(tmp_path.rglob("results.json")).read_text("utf-8"))
    recorded = recorded["press"]["force_against_travel"]
    assert recorded["restart_force_max_N"] == pytest.approx(row["demand"], rel=1e-9)
    greatest = max(position["stop_N"] for position in pressed["positions"])
    assert f"{greatest:.0f} N" in row["basis"] or f"{greatest / 4.4482216:.0f} lbf" in row["basis"]


def test_a_warm_bench_takes_less_force_where_the_shell_expands_more():
    """Force is proportional to the interference, of which steel in aluminium loses d (α_shell − α_sleeve)
    ΔT."""
    text = TRIKE.read_text("utf-8").replace('log = "cargo', '# log = "cargo')
    forces, left = [], []
    for bench in (20, 45, 70):
        case = parse_case(text.replace("[press]\n", f'[press]\ntemperature = "{bench} degC"\n'))
        study = CaseStudy(case, usual_resolution(case))
        state = being_pushed(case, study.interference_half_width, 0.2)
        forces.append(study.way_in.normal_force(study.way_in.home, -1, state))
        lost = 41.0 * (bench - 20) * (case.shell_material.expansion - case.sleeve_material.expansion)
        left.append(study.nominal_interference + study.interference_half_width - lost)
    assert forces == pytest.approx([forces[0] * d / left[0] for d in left], rel=0.01)


@pytest.mark.parametrize(
    ("stresses", "settled"),
    [
        ((99.5, 100.0, 99.4), True),  # rises by 0.0002 of it
        ((95.0, 100.0, 99.5), False),  # by 0.004: the top lies between the last two
        ((60.0, 100.0, 98.0), False),  # a land begins to engage between the first two
        ((99.0, 99.5, 100.0), False),  # at an end nothing is known of the other side
    ],
)
def test_a_search_ends_where_the_parabola_through_its_greatest_hardly_rises(stresses, settled):
    survey = {Passing(10.0 * k, 0.2): {"sleeve": stress} for k, stress in enumerate(stresses)}
    survey[Passing(10.0, 0.1)] = {"sleeve": 50.0, "shell": 999.0}
    assert _is_settled(survey, "sleeve") is settled
