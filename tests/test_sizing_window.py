"""The window of interference: its ends against the checks themselves, by hand, and by trade practice."""

from dataclasses import replace
from functools import cache
from math import inf
from pathlib import Path

import numpy as np
import pytest
from cells import cell_of
from friction_paths import Paths, on_the_way
from reference.sliding import sliding_force
from sizing_cases import plain, random_case, study_of

from hoopwright.case.press_model import FREEZER_K
from hoopwright.case.read import parse_case, read_case
from hoopwright.checks import CHECKS, Evidence
from hoopwright.checks.margin import Location, Margin, row_of
from hoopwright.checks.yields import shell_yields
from hoopwright.closed_form.compound_cylinder import compound_cylinder, contact_pressure
from hoopwright.discretisation import usual_resolution
from hoopwright.estimate import Estimate
from hoopwright.sizing import remedies
from hoopwright.sizing.remedies import try_remedies, with_longer_sleeve
from hoopwright.sizing.window import TOLERANCE, End, Window, find_window, slack
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy

TRIKE = Path(__file__).parents[1] / "cases" / "cargo_trike_crank_shell.toml"


def window_of(case):
    study = study_of(case)
    return find_window(case, study, CHECKS), study


def every_check_holds(case, study, shift):
    evidence = Evidence(case, study, shift, shift)
    margins = [check(evidence) for check in CHECKS]
    return all(m.state == "holds" for m in margins if m.applies and m.margin is not None)


def ends_are_ends(case):
    """Assert that every assessed check holds just inside, and one does not just outside; return whether it
    is open."""
    window, study = window_of(case)
    if window.empty:
        assert window.conflicts
        sides = {c.relation: c.interference for c in window.conflicts}
        if set(sides) == {"needs at least", "allows at most"}:
            assert sides["needs at least"] > sides["allows at most"] - 3.0 * TOLERANCE
        for shift in np.linspace(1e-3, 3.0 * window.likely, 6) - window.likely:
            assert not every_check_holds(case, study, float(shift))
        return False
    for end, out in ((window.low, -1.0), (window.high, 1.0)):
        assert every_check_holds(case, study, end.shift - out * TOLERANCE)
        if end.by is not None:
            assert not every_check_holds(case, study, end.shift + out * 3.0 * TOLERANCE)
    return True


def test_ends_of_3_random_windows_are_where_checks_change_sign():
    rng = np.random.default_rng(2024)
    opened = sum(ends_are_ends(random_case(rng)) for _ in range(3))
    assert opened >= 1  # of many, both kinds occur: the slow test


@pytest.mark.slow
def test_ends_of_forty_random_windows_are_where_checks_change_sign():
    rng = np.random.default_rng(7)
    opened = sum(ends_are_ends(random_case(rng)) for _ in range(40))
    assert 8 <= opened <= 39


@cache
def plain_window():
    case = plain()
    return case, *window_of(case)


def rings(case):
    return {
        "sleeve_bore_radius": 17.5,
        "interface_radius": 20.0,
        "shell_outer_radius": 23.0,
        "sleeve": (case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio),
        "shell": (case.shell_material.young_modulus, case.shell_material.poisson_ratio),
    }


def lame(case, interference):
    pair = rings(case)
    return compound_cylinder(
        pressure=contact_pressure(radial_interference=0.5 * interference, **pair), **pair
    )


def test_the_lower_end_is_where_friction_is_just_enough():
    """Force to pull the sleeve out by the closed form = factor · √(F² + (2T/d)²), force and torque
    together."""
    case, window, _ = plain_window()
    force = 1.5 * np.hypot(3000.0, 2.0 * 30e3 / 40.0)
    seat = {"length": 60.0, "friction": 0.1, "radial_interference": 0.005, "pushed": False}
    by_hand = 0.010 * force / sliding_force(**rings(case), **seat)
    assert window.low.by.id == "slips_combined"
    assert window.least == pytest.approx(by_hand, rel=2e-3)


def test_the_upper_end_is_where_the_shell_yields():
    """Without friction, von Mises at the bore by Lamé, plane stress. On the way in the end of the sleeve
    bends the shell, and friction squeezes it: less interference is enough."""
    case, window, study = plain_window()
    p = lame(case, 0.010).pressure
    radial, hoop = -p, p * (23.0**2 + 20.0**2) / (23.0**2 - 20.0**2)
    per_mm = np.sqrt(radial**2 - radial * hoop + hoop**2) / 0.010
    by_hand = case.shell_material.yield_strength / 1.2 / per_mm
    at_hand = study.at(frictionless(by_hand - window.likely, 0.0)).finest
    assert 1.2 * at_hand.equivalent_peak("shell").value == pytest.approx(
        case.shell_material.yield_strength, rel=3e-3
    )
    assert window.high.by.id == "shell_yields"
    assert 0.70 * by_hand < window.greatest < by_hand
    coarse, shift = study.meshes[-1].meshed_joint, window.high.shift
    stresses = [s.von_mises("shell") for s in Paths(case, coarse, shift).at_rest()]
    for travel in np.linspace(3.0, 60.0, 20):
        passing = on_the_way(case, study.way_in.resolutions[-1], travel, shift)
        stresses += [s.von_mises("shell") for s in passing]
    # coarsest mesh against finest
    assert 1.2 * max(stresses) == pytest.approx(case.shell_material.yield_strength, rel=3e-3)


def test_window_does_not_depend_on_the_planned_interference():
    _, window, _ = plain_window()
    other, _ = window_of(plain(turned=40.012))
    assert other.least == pytest.approx(window.least, abs=1e-4)
    assert other.greatest == pytest.approx(window.greatest, abs=1e-4)


def test_an_empty_window_names_what_clashes_and_by_how_much():
    case = plain(axial=14.0)
    window, study = window_of(case)
    assert window.empty
    needs, allows = window.conflicts
    assert (needs.relation, allows.relation) == ("needs at least", "allows at most")
    assert needs.interference > allows.interference
    for side, out in ((needs, -1.0), (allows, 1.0)):
        at = side.interference - window.likely
        rows = [
            {m.id: m for m in (c(Evidence(case, study, s, s)) for c in CHECKS)}
            for s in (at - out * 1e-4, at + out * 1e-4)
        ]
        assert [r[side.margin.id].state == "holds" for r in rows] == [True, False]


@pytest.mark.parametrize(
    ("demand", "capacity", "holds"),
    [(1.0, 2.0, True), (2.0, 1.0, False), (0.1, 0.5, True), (inf, 1.0, False), (1.0, 0.0, False)],
)
def test_the_slack_of_a_row_is_above_zero_where_it_holds(demand, capacity, holds):
    row = row_of(
        [Margin("s", "s", Estimate(demand), Estimate(capacity), "", 1.0, Location("shell"), "made up")]
    )
    assert (slack(row) > 0.0) is (row.state == "holds") is holds


def test_what_is_in_doubt_has_no_slack_and_bounds_the_window():
    doubtful = Margin(
        "s", "s", Estimate(1.0), Estimate(2.0), "", 1.0, Location("shell"), "made up", doubt="why"
    )
    assert slack(row_of([doubtful])) < 0.0 < slack(row_of([doubtful]), despite_doubt=True)
    case = plain()
    study = study_of(case)
    band = holding_between(study, "band", 30.0, 90.0)

    def doubted_above(evidence):
        interference = 1e3 * (study.nominal_interference + evidence.least)
        return row_of([replace(doubtful, doubt="why" if interference > 60.0 else "")])

    window = find_window(case, study, (band, doubted_above))
    assert (1e3 * window.least, 1e3 * window.greatest) == pytest.approx((30.0, 60.0), abs=0.05)


def test_the_slack_of_what_has_no_capacity_left_tells_how_far_it_is_from_one():
    """A root is looked for there: it has to have a sign."""
    row = row_of([Margin("s", "s", Estimate(-5.0), Estimate(-1.0), "", 1.0, Location("shell"), "made up")])
    assert row.state == "fails"
    assert slack(row) < -0.5


def holding_between(study, id_, least, greatest):
    """A check that holds from one interference to another, µm."""

    def check(evidence):
        interference = 1e3 * (study.nominal_interference + evidence.least)
        room = min(interference - least, greatest - interference)
        capacity = Estimate(1.0 + 1e-3 * room)
        return row_of([Margin(id_, id_, Estimate(1.0), capacity, "", 1.0, Location("shell"), "made up")])

    return check


def test_a_check_with_two_ends_is_not_named_for_the_one_that_does_not_clash():
    case = plain()
    study = study_of(case)
    band = holding_between(study, "band", 30.0, 115.0)
    above = holding_between(study, "above", 226.0, 900.0)
    for checks in ((band, above), (above, band)):
        needs, allows = find_window(case, study, checks).conflicts
        assert [(needs.margin.id, needs.relation), (allows.margin.id, allows.relation)] == [
            ("above", "needs at least"),
            ("band", "allows at most"),
        ]
        assert needs.interference == pytest.approx(0.226, abs=2.0 * TOLERANCE)
        assert allows.interference == pytest.approx(0.115, abs=2.0 * TOLERANCE)


@pytest.mark.parametrize(("least", "greatest"), [(5.0, 600.0), (33.0, 57.0), (55.0, 55.3), (330.0, 340.0)])
def test_a_window_between_two_checks_is_found_wherever_it_lies(least, greatest):
    """From below the first step of the search, at what is planned, narrower than any step, and far from it;
    checks with more room, or that fail later, lead nobody away."""
    case = plain()
    study = study_of(case)
    checks = (
        holding_between(study, "from", least, 1e4),
        holding_between(study, "to", -1e4, greatest),
        holding_between(study, "later", -1e4, greatest + 90.0),
        holding_between(study, "roomy", 0.5, 1e6),
    )
    window = find_window(case, study, checks)
    assert 1e3 * window.least == pytest.approx(least, abs=0.05)
    assert window.low.by.id == "from"
    assert 1e3 * window.greatest == pytest.approx(greatest, abs=0.05)
    assert window.high.by.id == "to"


def test_of_two_windows_that_the_plan_is_not_in_the_one_with_the_best_fit_is_taken():
    case = plain()
    study = study_of(case)
    islands = [holding_between(study, "islands", *ends) for ends in ((70.0, 95.0), (300.0, 400.0))]

    def either(evidence):
        return max((check(evidence) for check in islands), key=lambda row: row.margin)

    window = find_window(case, study, (either, holding_between(study, "roomy", 0.5, 1e6)))
    assert (1e3 * window.least, 1e3 * window.greatest) == pytest.approx((300.0, 400.0), abs=0.05)


def test_a_window_is_found_where_a_row_rests_on_doubt_below_it_and_fails_above():
    """As a strength row does of a joint that opens when it is loose: no shift of the first search lets it
    hold, and it was said never to."""
    case = plain(turned=40.024)
    study = study_of(case)

    def strength(evidence):
        interference = 1e3 * (study.nominal_interference + evidence.least)
        doubt = "the joint opens" if interference < 27.3 else ""
        capacity = Estimate(1.0 + 1e-3 * (38.4 - interference))
        row = Margin("s", "s", Estimate(1.0), capacity, "", 1.0, Location("shell"), "made up", doubt=doubt)
        return row_of([row])

    closed = holding_between(study, "closed", 27.3, 900.0)
    window = find_window(case, study, (strength, closed))
    assert window.least == pytest.approx(0.0273, abs=2.0 * TOLERANCE)
    assert window.greatest == pytest.approx(0.0384, abs=2.0 * TOLERANCE)
    assert find_window(case, study, (holding_between(study, "never", 50.0, 40.0), closed)).empty


def test_remedies_are_listed_with_the_widest_window_first(monkeypatch):
    """One that cannot be made comes last, behind one that opens nothing."""
    widths = iter((0.004, None, 0.011, 0.0, 0.007))
    monkeypatch.setattr(remedies, "_changes", lambda _: ((f"change {k}", plain()) for k in range(5)))

    def window(_case, _checks):
        width = next(widths)
        if width is None:
            return None
        return Window(0.04, End(0.0, None), End(width, None)) if width else Window(0.04, None, None)

    monkeypatch.setattr(remedies, "_window", window)
    assert [one.change for one in try_remedies(plain(), CHECKS)] == [f"change {k}" for k in (2, 4, 0, 3, 1)]


@pytest.mark.parametrize(("bench", "cold"), [(0.0, FREEZER_K), (-60.0, -60.0)])
def test_the_remedy_of_heat_cools_the_sleeve_in_the_freezer_unless_the_bench_is_colder(bench, cold):
    case = plain()
    case = replace(case, press=replace(case.press, temperature_rise_K=bench))
    changed = dict(remedies._changes(case))["assembly by heat and cold, press not needed"]
    assert changed.press.sleeve_cold_K == cold
    assert changed.press.shell_hot_K > bench
    assert changed.press.slips_in


@pytest.mark.slow
def test_a_proposed_remedy_opens_the_window():
    """Remedies are tried on the coarser mesh; the widest is run again as a separate case."""
    case = plain(sleeve="7075-T6", closure=25)
    window, _ = window_of(case)
    assert [c.margin.id for c in window.conflicts] == ["slips_combined", "bore_closure"]
    tried = try_remedies(case, CHECKS)
    assert {t.change for t in tried} >= {"sleeve of E355 steel", "sleeve of 4130 steel"}
    assert any("thicker" in t.change for t in tried)
    opened = next(t for t in tried if t.change == "sleeve of E355 steel")
    again, _ = window_of(plain(closure=25))
    assert not again.empty
    assert opened.window.least == pytest.approx(again.least, rel=0.02)
    assert opened.window.greatest == pytest.approx(again.greatest, rel=0.02)


def test_a_sleeve_of_one_land_is_lengthened_to_both_ends_of_its_seat():
    case = plain()
    (land,), (zone,) = case.sleeve.outside, case.sleeve.bore
    short = replace(
        case.sleeve,
        z_start=10.0,
        z_end=50.0,
        outside=(replace(land, z_start=10.0, z_end=50.0),),
        bore=(replace(zone, z_start=10.0, z_end=50.0),),
    )
    longer = with_longer_sleeve(replace(case, sleeve=short)).sleeve
    bands = (longer, *longer.outside, *longer.bore)
    assert [(band.z_start, band.z_end) for band in bands] == [(0.0, 60.0)] * 3
    assert with_longer_sleeve(case) is None  # it fills the seat already


def test_a_check_that_fails_at_every_interference_is_named():
    case = replace(plain(), min_wall_mm=4.0)
    window, _ = window_of(case)
    assert [(c.margin.id, c.relation) for c in window.conflicts] == [("wall_left", "never holds")]


PRACTICE = """
title = "a thou per inch"
[shell]
material = "6061-T6"
width = "73 mm"
outside_diameter = "44.1 mm"
bore_diameter = "1.5 in"
[sleeve]
material = "{sleeve}"
length = "73 mm"
outside_diameter = "1.5015 in"
bore_diameter = "34.1 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
"""
STRENGTH = ("shell_yields", "sleeve_yields", "sleeve_buckles")


@pytest.mark.parametrize("sleeve", ["E355 steel", "7075-T6"])
def test_a_thou_per_inch_passes_every_strength_check(sleeve):
    """Common practice, no source: 0.001 in per in on a 1.5 in aluminium shell, 3 mm wall, 2 mm sleeve.
    Nothing is assumed about the grip."""
    case = parse_case(PRACTICE.format(sleeve=sleeve))
    study = study_of(case)
    margins = {m.id: m for m in (check(Evidence(case, study, 0.0, 0.0)) for check in CHECKS)}
    for identity in STRENGTH:
        assert margins[identity].state == "holds", identity
    # and without friction the shell sees at most about E/1000, less the compliance of the sleeve
    free = study.nominal.finest.equivalent_peak("shell").value
    assert free < 1e-3 * case.shell_material.young_modulus


def shell_yields_in_use(evidence: Evidence) -> Margin:
    """The row of the shell's yield with its loads in use alone."""
    return row_of([cell_of(shell_yields(evidence), "in use")])


@pytest.mark.slow
def test_an_end_is_judged_in_all_states_and_not_only_in_those_looked_at_on_the_way():
    """A search that starts from the wrong states finds the same window."""
    case = read_case(TRIKE)
    found, misled = (CaseStudy(case, usual_resolution(case)) for _ in range(2))
    wanted = find_window(case, found, (shell_yields_in_use,))
    loaded = Evidence(case, misled, 0.0, 0.0).loaded(0.0).fits
    frictionless_fit = next(fit for fit in loaded if fit.state.path is None)
    misled.governing._shortlist["shell under load"] = {(frictionless_fit.state.history, "sliding")}
    got = find_window(case, misled, (shell_yields_in_use,))
    assert got.high.shift == pytest.approx(wanted.high.shift, abs=2.0 * TOLERANCE)
