"""Checks of the press fit, from a case text to margins, against hand calculation."""

import dataclasses
import json
from functools import cache

import numpy as np
import pytest
from cells import cell_of, thin_side_rise
from friction_paths import Paths, on_the_way
from reference.sliding import sliding_force

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.checks import CHECKS, evidence_of
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.checks.yields import thin_side
from hoopwright.cli import main
from hoopwright.closed_form.compound_cylinder import compound_cylinder, contact_pressure
from hoopwright.fem import Resolution
from hoopwright.pipeline import check_case
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy

PLAIN = """
title = "plain pair"
[shell]
material = "6061-T6"
width = "60 mm"
outside_diameter = "44 mm"
bore_diameter = "39 mm"
bore_plus_minus = "4 um"
least_wall = "2 mm"
runout = "0.2 mm"
[sleeve]
material = "1025 steel"
length = "60 mm"
outside_diameter = "39.04 mm"
outside_plus_minus = "6 um"
bore_diameter = "35 mm"
most_bore_closure = "20 um"
[fit]
friction_low = 0.1
friction_high = 0.2
[demand]
axial_force = "1 kN"
torque = "20 N*m"
[press]
capacity = "40 kN"
"""


@cache
def plain():
    return check_case(parse_case(PLAIN))


def margins(results):
    return {m.id: m for m in results.margins}


def pair():
    case = plain().case
    return {
        "sleeve_bore_radius": 17.5,
        "interface_radius": 19.5,
        "shell_outer_radius": 22.0,
        "sleeve": (case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio),
        "shell": (case.shell_material.young_modulus, case.shell_material.poisson_ratio),
    }


def lame(interference):
    pressure = contact_pressure(radial_interference=0.5 * interference, **pair())
    return compound_cylinder(pressure=pressure, **pair())


def sliding(interference, friction, *, pushed):
    seat = {"length": 60.0, "radial_interference": 0.5 * interference, "friction": friction}
    return sliding_force(**pair(), **seat, pushed=pushed)


# Two rectangles of ± 4 and ± 6 µm: beyond x lies (10 − x)²/(8 · 4 · 6) on either side, 2.5 % at 7.81 µm.
HALF_95 = 1e-3 * (10.0 - np.sqrt(0.025 * 8.0 * 4.0 * 6.0))
LEAST_FIT, GREATEST_FIT = 0.040 - HALF_95, 0.040 + HALF_95
THIN = {"shell": thin_side_rise(bore=39.0, outside=44.0, runout=0.2), "sleeve": 1.0}
"""Rise of the stress on the thin side, by body."""


def tightest():
    """The greatest fit without friction, on the bench."""
    return plain().study.at(frictionless(HALF_95, 0.0))


def test_push_out_and_torque_use_least_interference_and_low_friction():
    """F as the sleeve is pulled out by the closed form: below μ π d L p, as pulling thins the sleeve. The
    torque is held at rest, where what is left of pushing lowers it by up to 2 % below T = μ π d² L p/2."""
    found = margins(plain())
    force = sliding(LEAST_FIT, 0.1, pushed=False)
    at_rest = np.pi * 39.0 * 60.0 * 0.1 * lame(LEAST_FIT).pressure
    assert 0.85 * at_rest < force < at_rest
    assert found["pushed_out"].capacity.value == pytest.approx(force, rel=1e-3)
    assert found["pushed_out"].margin == pytest.approx(force / (1.5 * 1000.0) - 1.0, rel=2e-3)
    study = plain().study
    arms = [s.torque_arm for s in Paths(plain().case, study.fine.meshed_joint, LEAST_FIT - 0.040).at_rest()]
    assert arms[0] == pytest.approx(at_rest / 0.1 * 19.5, rel=1e-3)
    assert found["turned"].capacity.value == pytest.approx(1e-3 * 0.1 * min(arms), rel=1e-6)
    assert 0.97 * arms[0] < min(arms) < arms[0]


def test_press_force_uses_greatest_interference_and_the_friction_of_a_restart():
    """1.3 times high friction, fully home: pushing thickens the sleeve and widens the shell."""
    force = sliding(GREATEST_FIT, 1.3 * 0.2, pushed=True)
    assert plain().case.press.restart_ratio == 1.3
    assert margins(plain())["press_force"].demand.value == pytest.approx(force, rel=2e-3)
    slides, travel = plain().study.way_in.greatest_force(HALF_95, 0.2)
    assert slides.value == pytest.approx(sliding(GREATEST_FIT, 0.2, pushed=True), rel=2e-3)
    assert travel == 60.0


def test_yield_of_the_shell_is_von_mises_of_lame_at_the_bore_at_greatest_interference():
    """Plane stress: σ_θ = p (c² + b²)/(c² − b²) and σ_r = −p."""
    p = lame(GREATEST_FIT).pressure
    hoop, radial = p * (22.0**2 + 19.5**2) / (22.0**2 - 19.5**2), -p
    expected = np.sqrt(radial**2 - radial * hoop + hoop**2)
    free = tightest().finest.equivalent_peak("shell").value
    assert free == pytest.approx(expected, rel=3e-3)
    judged = greatest_stress(evidence_of(plain().case, plain().study), "shell", "pressed")
    assert judged.value.value >= free
    cell = cell_of(margins(plain())["shell_yields"], "pressed")
    assert cell.demand.value + cell.demand.error >= free * THIN["shell"]


@pytest.mark.parametrize("body", ["shell", "sleeve"])
def test_yield_takes_the_worst_of_the_whole_way_in_and_of_rest(body):
    """The sleeve bends both walls most while it is partly in; 30 positions and rest, at both frictions."""
    results = plain()
    fine, coarse = results.study.fine.meshed_joint, results.study.meshes[-1].meshed_joint
    resolution = results.study.way_in.resolutions[-1]
    resting = [s.von_mises(body) for s in Paths(results.case, coarse, HALF_95).at_rest()]
    passing = [
        s.von_mises(body)
        for travel in np.linspace(2.0, 60.0, 30)
        for s in on_the_way(results.case, resolution, travel, HALF_95)
    ]
    row = margins(results)[f"{body}_yields"]
    assert max(passing) > max(resting)
    # coarsest mesh against finest, 2 mm steps against the row's own
    assert row.demand.value == pytest.approx(max(passing) * THIN[body], rel=2e-3)
    entering, pressed = cell_of(row, "entering"), cell_of(row, "pressed")
    assert row.demand == entering.demand
    assert 0.0 < entering.when.travel <= 60.0
    rested = max(s.von_mises(body) for s in Paths(results.case, fine, HALF_95).at_rest())
    at_rest = greatest_stress(evidence_of(results.case, results.study), body, "pressed")
    assert at_rest.value.value == pytest.approx(rested, rel=1e-4)
    assert abs(pressed.demand.value - rested * THIN[body]) <= pressed.demand.error


def test_half_the_runout_and_the_uncertainty_of_the_radius_are_subtracted_from_the_wall_left():
    """± 4 µm on the diameter of the bore."""
    wall = margins(plain())["wall_left"]
    assert wall.capacity.value == pytest.approx(2.5 - 0.1 - 0.002)
    assert wall.margin == pytest.approx(0.199)


def test_bore_closure_is_that_of_lame_at_greatest_interference():
    expected = -2.0 * lame(GREATEST_FIT).sleeve_bore_displacement
    closure = tightest().finest.bore_closure(np.array([30.0]))[0]
    assert closure == pytest.approx(expected, rel=1e-3)
    assert margins(plain())["bore_closure"].demand.value >= 1e3 * expected


def test_every_margin_is_resolved_and_states_its_place_and_basis():
    for m in plain().margins:
        assert m.basis
        assert len(m.title) <= 22
        assert m.state in ("holds", "fails", "not assessed")
        assert all(cell.basis and cell.where.body and cell.state in ("holds", "fails") for cell in m.cells)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: f"{c.__module__.split('.')[-1]}.{c.__name__}")
def test_a_check_depends_on_the_interference_of_its_evidence_alone(check):
    """The search for the window relies on evidence at a single interference."""
    results = plain()
    evidence = dataclasses.replace(evidence_of(results.case, results.study), least=0.004, greatest=0.004)
    assert check(evidence).id


def test_finite_elements_agree_with_lame_on_the_plain_pair():
    comparison = plain().comparison
    assert comparison.applies
    assert not comparison.contradicts
    assert len(comparison.pairings) == 5
    assert max(abs(p.difference) for p in comparison.pairings) < 5e-4


def test_no_margin_holds_when_the_result_contradicts_lame(monkeypatch):
    """With a sign error in Lamé the run must notice the contradiction, and nothing may hold."""
    import hoopwright.comparison as comparison

    true = comparison.contact_pressure
    monkeypatch.setattr(comparison, "contact_pressure", lambda **k: 1.05 * true(**k))
    results = check_case(parse_case(PLAIN))
    assert results.comparison.contradicts
    assert not results.trusted
    assert all(m.state != "holds" for m in results.margins)


def test_a_margin_close_to_zero_has_the_mesh_refined():
    base = margins(plain())["shell_yields"]
    demand = base.demand.value
    limit = f"{demand * 1.0000002:.7f}"
    text = (
        PLAIN.replace('material = "6061-T6"', 'material = "edge"')
        + f"""
[factors]
yield = 1.0
[material.edge]
young_modulus = "{plain().case.shell_material.young_modulus} MPa"
poisson_ratio = {plain().case.shell_material.poisson_ratio}
expansion = "23e-6 /K"
yield_strength = "{limit} MPa"
ultimate_strength = "400 MPa"
density = "2700 kg/m^3"
source = "made for this test"
"""
    )
    results = check_case(parse_case(text))
    assert results.refinements > 0


@pytest.mark.parametrize(("runout", "doubtful"), [("19.4 mm", False), ("19.6 mm", True), ("39.9 mm", True)])
def test_a_bore_off_centre_by_more_than_jeffery_goes_never_holds(runout, doubtful):
    """More than half its radius of 19.5 mm is half the reading; a shell of 40 mm of wall carries it."""
    thick = PLAIN.replace('"44 mm"', '"119 mm"').replace('runout = "0.2 mm"', f'runout = "{runout}"')
    case = parse_case(thick)
    thin = thin_side(
        evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2))), "shell", bent=False
    )
    assert bool(thin.doubt) is doubtful
    assert 1.0 < thin.rise < 2.0


@pytest.mark.parametrize("runout", ["4.999 mm", "5 mm", "12 mm", "100 mm"])
def test_runout_that_leaves_no_wall_fails_the_rows_of_the_wall(runout, tmp_path, capsys):
    """Runout of twice the wall or more, 2.5 mm here, gave a ValueError."""
    case = tmp_path / "case.toml"
    case.write_text(PLAIN.replace('runout = "0.2 mm"', f'runout = "{runout}"'), encoding="utf-8")
    assert main(["check", str(case), "--json"]) == status.SOME_FAIL
    rows = {row["id"]: row for row in json.loads(capsys.readouterr().out)["checks"]}
    assert rows["shell_yields"]["state"] == rows["wall_left"]["state"] == "fails"
    assert -1.0 <= rows["shell_yields"]["margin"] < -0.99
    assert "runout" in rows["shell_yields"]["basis"]
