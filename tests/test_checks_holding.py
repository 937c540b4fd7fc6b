"""Force and torque of the cups on the sleeve, credit for compound, and clamping stress."""

from functools import cache

import numpy as np
import pytest
from cells import cell_of
from friction_paths import Paths
from holding_case import (
    COMPOUND,
    CUPS,
    WARM,
    case_of,
    evidence_at,
    margins_by_id,
    preload_by_hand,
    thread_arm,
)
from reference.friction import press_out_force, slip_torque
from reference.sliding import sliding_force
from reference.thermal import thermal_preload_change

from hoopwright.checks import Evidence
from hoopwright.checks.compound import land_credits
from hoopwright.checks.cup_tension import greatest_tension
from hoopwright.checks.seat_demands import seat_demands
from hoopwright.checks.sleeve_loads import cup_moves, cup_thread, greatest_preload, tightening_sense
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.fem import Resolution, von_mises
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy

STEEL, ALUMINIUM = (200e3, 0.32), (68.3e3, 0.33)
DEMAND = '[demand]\naxial_force = "1 kN"\n'
FULL_SEAT = np.pi * 40.0 * 60.0


@cache
def margins(*parts, shift=0.0, **threads):
    return margins_by_id(case_of(*parts, **threads), shift)


@cache
def clamped_stress(body, *parts):
    """The greatest stress of a body with its cups tightened, on all meshes, MPa."""
    return greatest_stress(evidence_at(case_of(*parts)), body, "cups").value.value


def rings(case):
    return {
        "radial_interference": 0.02,
        "sleeve_bore_radius": 17.399,
        "interface_radius": 20.0,
        "shell_outer_radius": 23.0,
        "sleeve": (case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio),
        "shell": (case.shell_material.young_modulus, case.shell_material.poisson_ratio),
    }


def lame_pressure(case):
    return contact_pressure(**rings(case))


def held_while_pulled(case, friction, interference=0.02):
    """Radial interference in mm, one value or along the seat."""
    seat = rings(case) | {"radial_interference": interference, "length": 60.0, "friction": friction}
    return sliding_force(**seat, pushed=False)


def interference_left(case, preload):
    """Radial interference along the seat with both cups tightened, mm.

    The cups stretch the sleeve, with all their pull from 10 mm on, and squeeze the shell: ν R N/(E A). The
    flanks press the engaged 10 mm outwards with F tan 30° over their area, by Lamé.
    """
    (E_i, nu_i), (E_o, nu_o) = rings(case)["sleeve"], rings(case)["shell"]
    to_end = np.minimum(STATIONS, 60.0 - STATIONS)
    pull = preload * np.minimum(1.0, to_end / 10.0)
    stretched = nu_i * 20.0 * pull / (E_i * np.pi * (400.0 - 17.399**2))
    squeezed = nu_o * 20.0 * preload / (E_o * np.pi * (529.0 - 400.0))
    wedge = preload * np.tan(np.pi / 6) / (np.pi * 34.798 * 10.0)
    widened = 2.0 * wedge * 17.399**2 * 20.0 / (E_i * (400.0 - 17.399**2))
    return 0.02 - stretched - squeezed + np.where(to_end <= 10.0, widened, 0.0)


STATIONS = np.linspace(0.0, 60.0, 601)


def study_of(case):
    return CaseStudy(case, Resolution(elements_through_wall=2))


def paths(case):
    return Paths(case, study_of(case).fine.meshed_joint, 0.0)


def test_preload_agrees_with_a_hand_calculation_of_the_screw_thread():
    """Greatest where thread and flange have their least friction."""
    case = case_of(CUPS)
    preload = greatest_preload(case.cups, case.cups.left, cup_thread(case.sleeve, "left"))
    assert preload == pytest.approx(preload_by_hand(0.10, 0.12), rel=1e-5)
    assert margins(CUPS)["pushed_out"].demand.value == pytest.approx(preload, rel=1e-9)


def test_torque_on_the_cup_is_shared_by_thread_and_flange():
    for act in cup_moves(case_of(CUPS)):
        if act.axial and act.what == "tightening the left cup":
            rubbed = [act.axial * mu * 21.0 for mu in (0.12, 0.18)]
            assert any(abs(abs(act.torque) + r - 40e3) < 1e-6 for r in rubbed)


@pytest.mark.parametrize(
    ("left", "right", "senses"),
    [
        ("1.37 in x 24 right", "1.37 in x 24 left", (1.0, 1.0)),
        ("36 mm x 24 right", "36 mm x 24 right", (1.0, -1.0)),
        ("1.37 in x 24 left", "1.37 in x 24 right", (-1.0, -1.0)),
    ],
)
def test_tightening_a_cup_turns_the_sleeve_by_the_hand_of_its_thread(left, right, senses):
    """A right-hand cup goes in clockwise to the person facing it; z points to the right-hand side,
    so that anticlockwise seen from the right is positive."""
    from hoopwright.geometry.thread import thread_by_designation

    threads = thread_by_designation(left), thread_by_designation(right)
    assert tuple(tightening_sense(t, s) for t, s in zip(threads, ("left", "right"), strict=True)) == senses


def test_drag_of_pedalling_turns_the_sleeve_as_the_spindle_turns():
    dragged = CUPS.replace("[cups.left]", 'drag_torque = "60 N*m"\n[cups.left]')
    drag = seat_demands(evidence_at(case_of(dragged)), "in use")
    assert [a.what for a in drag] == ["drag of pedalling"]
    assert [a.torque for a in drag] == [-60e3]
    assert drag[0].turning_sense == "clockwise seen from the right"
    assert cell_of(margins(dragged)["turned"], "in use").demand.value == 60.0


def test_removing_a_cup_pulls_the_sleeve_while_turning_it_the_other_way():
    """Tightened and undone each with its own friction: greased when it went in, dry when it comes out."""
    undone = [a for a in cup_moves(case_of(CUPS)) if a.what == "removing the left cup"]
    assert all(a.axial > 0.0 and a.torque < 0.0 for a in undone)
    by_hand = {
        (preload_by_hand(mu, flange), preload_by_hand(mu, flange) * thread_arm(dry, -1.0))
        for mu in (0.10, 0.20)
        for flange in (0.12, 0.18)
        for dry in (0.10, 0.20)
    }
    found = {(round(a.axial, 3), round(-a.torque, 3)) for a in undone}
    assert np.array(sorted(found)) == pytest.approx(np.array(sorted(by_hand)), rel=1e-5)
    # At one friction the thread alone needs less torque to undo than to tighten: the lead helps now.
    assert thread_arm(0.10, -1.0) < thread_arm(0.10, 1.0) < thread_arm(0.20, -1.0)


def test_a_flange_that_bears_on_the_sleeve_leaves_no_axial_force_but_all_the_torque():
    """The greatest torque undoes a cup that was greased when it was tightened and is dry now."""
    on_sleeve = CUPS.replace('"shell"', '"sleeve"')
    m = margins(on_sleeve)
    assert m["pushed_out"].demand is None
    undone = preload_by_hand(0.10, 0.12) * (thread_arm(0.20, -1.0) + 0.18 * 42 / 2)
    assert undone > 40e3
    assert m["turned"].demand.value == pytest.approx(1e-3 * undone, rel=1e-5)
    assert not m["slips_combined"].applies
    # the shell is not squeezed between the flanges; the wedge of the threads still widens it
    assert cell_of(m["sleeve_yields"], "cups").when.preload > 0.0
    stress = clamped_stress("shell", on_sleeve)
    at_rest = max(s.von_mises("shell") for s in paths(case_of()).at_rest())
    assert at_rest < stress < clamped_stress("shell", CUPS)


def test_force_and_torque_together_are_resisted_by_one_friction_force():
    """[demand] 3 kN and 80 N·m at r = 20 mm: 5 kN along the seat."""
    m = margins('[demand]\naxial_force = "3 kN"\ntorque = "80 N*m"\n')
    assert m["slips_combined"].demand.value == pytest.approx(5000.0, rel=1e-9)
    assert m["pushed_out"].demand.value == 3000.0
    assert m["turned"].demand.value == 80.0
    assert {m[name].stage for name in ("slips_combined", "pushed_out", "turned")} == {"pressed"}


def test_the_demand_acts_when_pressed_and_in_use_and_the_cups_while_they_are_turned():
    case = case_of(DEMAND, CUPS, WARM)
    found = evidence_at(case)
    (stated,) = seat_demands(found, "pressed")
    assert (stated.what, stated.axial, stated.torque) == ("[demand]", 1000.0, 0.0)
    assert seat_demands(found, "cups") == cup_moves(case)
    assert seat_demands(found, "in use") == (stated,)
    assert seat_demands(found, "oven") == seat_demands(found, "entering") == ()


@pytest.mark.parametrize("body", ["shell", "sleeve"])
def test_stress_on_the_way_in_is_that_of_the_tightest_fit(body):
    """Judged over a range of sizes it is what its greatest end has alone, and more than the least."""
    case = case_of()
    study = study_of(case)
    ranges = ((-0.005, 0.005), (0.005, 0.005), (-0.005, -0.005))
    over, tight, loose = (
        greatest_stress(Evidence(case, study, *ends), body, "entering", refined=False).value.value
        for ends in ranges
    )
    assert over == tight > 1.1 * loose


def test_axial_capacity_is_the_closed_form_of_a_sleeve_being_pulled_out():
    """Up to 13 % below μ ∫ p dA at rest, here 4.3 %."""
    case = case_of()
    force = held_while_pulled(case, 0.1)
    seat = {"diameter": 40.0, "length": 60.0, "friction": 0.1, "pressure": lame_pressure(case)}
    assert 0.87 * press_out_force(**seat) < force < 0.97 * press_out_force(**seat)
    assert margins()["pushed_out"].capacity.value == pytest.approx(force, rel=1e-3)


def test_tightened_cups_lower_the_axial_capacity():
    """They stretch the sleeve and squeeze the shell; a tenth here."""
    case, preload = case_of(CUPS), preload_by_hand(0.10, 0.12)
    force = held_while_pulled(case, 0.1, interference_left(case, preload))
    assert force < 0.92 * held_while_pulled(case, 0.1)
    assert margins(CUPS)["pushed_out"].capacity.value == pytest.approx(force, rel=1e-3)


def test_torque_capacity_is_the_closed_form_less_what_pushing_has_left_behind():
    """At rest ∫ p r dA is that of Lamé without friction, and 2 % less after pushing."""
    case = case_of()
    arms = [s.torque_arm for s in paths(case).at_rest()]
    seat = {"diameter": 40.0, "length": 60.0, "friction": 0.1, "pressure": lame_pressure(case)}
    assert 0.1 * arms[0] == pytest.approx(slip_torque(**seat), rel=3e-3)
    assert 0.97 * arms[0] < min(arms) < arms[0]
    assert margins()["turned"].capacity.value == pytest.approx(1e-3 * 0.1 * min(arms), rel=1e-6)


def test_tightened_cups_lower_the_torque_capacity_above_all_without_friction():
    """Friction keeps the sleeve from being stretched along the seat."""
    case, preload = case_of(CUPS), preload_by_hand(0.10, 0.12)
    free, *rubbing = (s.torque_arm for s in paths(case).clamped({0.0: preload}))
    left = interference_left(case, preload) / 0.02
    seat = {"diameter": 40.0, "length": 60.0, "friction": 0.1, "pressure": lame_pressure(case)}
    assert 0.1 * free == pytest.approx(slip_torque(**seat) * np.mean(left), rel=3e-3)
    lost = cell_of(margins(CUPS)["stays_tight"], "cups").demand.value
    assert 1.0 - lost / 40.0 == pytest.approx(np.mean(left), rel=3e-3)
    assert min(rubbing) > free
    assert margins(CUPS)["turned"].capacity.value == pytest.approx(1e-3 * 0.1 * free, rel=1e-4)


def test_friction_capacity_grows_in_proportion_to_interference():
    loose, tight = margins(shift=-0.02), margins(shift=0.02)
    capacities = [m["pushed_out"].capacity.value for m in (loose, tight)]
    assert capacities[1] == pytest.approx(3 * capacities[0], rel=1e-6)


def test_compound_is_not_credited_by_default():
    dry, given = margins(CUPS), margins(CUPS, '[compound]\nshear_strength = "20 MPa"\n')
    assert given["pushed_out"].capacity == dry["pushed_out"].capacity
    assert "wet seat" in given["pushed_out"].note


@pytest.mark.parametrize(
    ("combination", "expected"),
    [
        ("added", lambda friction, film: friction + film),
        ("greater", max),
        ("instead", lambda _, film: film),
    ],
)
def test_credited_compound_combines_as_the_case_says(combination, expected):
    """Film 0.5 × 10 MPa over the seat; friction 0.05 with the compound on it."""
    case = case_of(DEMAND, WARM, COMPOUND)
    friction, film = held_while_pulled(case, 0.05), 5.0 * FULL_SEAT
    row = margins(DEMAND, WARM, COMPOUND.replace("added", combination))["pushed_out"]
    m = cell_of(row, "pressed")
    assert m.capacity.value == pytest.approx(expected(friction, film), rel=1e-3)


@pytest.mark.parametrize(
    ("was", "now", "why"),
    [
        ('gap_least = "-0.06 mm"', 'gap_least = "0 mm"', "outside the gap"),
        ('temperature_most = "150 degC"', 'temperature_most = "40 degC"', "leave the temperatures"),
        ('cured_for = "96 h"', 'cured_for = "24 h"', "full time to cure"),
        ('cure_least = "15 degC"', 'cure_least = "25 degC"', "colder than stated"),
        ('full_cure = "72 h"\n', "", "not all given"),
    ],
)
def test_compound_outside_its_conditions_is_not_credited(was, now, why):
    assert was in COMPOUND
    case = case_of(DEMAND, WARM, COMPOUND)
    m = cell_of(margins(DEMAND, WARM, COMPOUND.replace(was, now))["pushed_out"], "pressed")
    assert m.capacity.value == pytest.approx(held_while_pulled(case, 0.05), rel=1e-3)
    assert why in m.note
    assert "less than dry" in m.note


def test_an_oven_beyond_the_range_of_the_compound_takes_its_credit():
    """Stated up to 150 °C: neither use up to 45 °C nor an oven at 140 °C leaves that; 160 °C does."""
    for oven, credited in ((140, 5.0), (150, 5.0), (160, 0.0)):
        case = case_of(DEMAND, WARM, f'oven = "{oven} degC"\n', COMPOUND)
        credits = land_credits(evidence_at(case))
        assert {credit.shear for credit in credits} == {credited}, oven


def test_a_bench_beyond_the_range_of_the_compound_takes_its_credit():
    """Stated from -40 °C to 150 °C: on a bench at -50 °C the film counted in full."""
    for bench, credited in ((-40, 5.0), (-50, 0.0)):
        case = case_of(DEMAND, WARM, f'[press]\ntemperature = "{bench} degC"\n', COMPOUND)
        assert {credit.shear for credit in land_credits(evidence_at(case))} == {credited}, bench


def test_compound_needs_the_temperatures_of_use_for_its_credit():
    assert "[temperatures]" in margins(CUPS, COMPOUND)["pushed_out"].note


def test_a_film_weaker_than_dry_friction_leaves_the_fit_in_doubt():
    """Dry friction stress 0.1 × 10 MPa is more than a film of 0.5 MPa."""
    m = margins(DEMAND, '[compound]\nshear_strength = "0.5 MPa"\n')["pushed_out"]
    assert m.margin > 0.0
    assert m.state == "unresolved"
    assert "may weaken" in m.doubt


def test_clamping_pulls_the_sleeve_and_takes_part_of_the_fit_from_it():
    """Half-way, without friction: σ_z = F/A in the sleeve, and −σ_θ at its bore of what is left of the
    interference, by Lamé; σ_v² = σ_θ² − σ_θσ_z + σ_z²."""
    case, preload = case_of(CUPS), preload_by_hand(0.10, 0.12)
    fit = study_of(case).at(frictionless(0.0, 0.0, preload)).finest
    middle = int(np.argmin(np.abs(fit.walls["sleeve"].z - 30.0)))
    tension = preload / (np.pi * (400 - 17.399**2))
    assert fit.walls["sleeve"].membrane[middle, 2] == pytest.approx(tension, rel=2e-3)
    left = interference_left(case, preload)[300] / 0.02
    hoop = -2 * left * lame_pressure(case) * 400 / (400 - 17.399**2)
    # the wedge bends both walls; 20 mm from it 1.2 % are left
    assert fit.walls["sleeve"].surface_inner[middle, 1] == pytest.approx(hoop, rel=0.02)
    by_hand = np.sqrt(hoop**2 - hoop * tension + tension**2)
    # Linearised stress is a few per cent below Lamé at the bore of a thin wall.
    assert von_mises(fit.walls["sleeve"].inner)[middle] == pytest.approx(by_hand, rel=0.05)


@pytest.mark.parametrize("body", ["sleeve", "shell"])
def test_yield_when_clamped_takes_the_worst_of_all_paths_over_the_temperatures_of_use(body):
    """With the cups tightened on the bench, and twice from cold to warm and back."""
    case = case_of(CUPS, WARM)
    study = study_of(case)
    tensions = {rise: greatest_tension(study, rise) for rise in (0.0, -30.0, 25.0)}
    reached = paths(case).clamped(tensions)
    greatest = max(s.von_mises(body) for s in reached)
    assert clamped_stress(body, CUPS, WARM) == pytest.approx(greatest, rel=1e-4)
    cell = cell_of(margins(CUPS, WARM)[f"{body}_yields"], "cups")
    assert abs(cell.demand.value - greatest) <= cell.demand.error
    assert cell.when.preload == tensions[cell.when.temperature_rise]


def test_heating_raises_the_preload_by_more_than_that_of_two_bars():
    """A steel sleeve in aluminium: what takes pressure off the seat lengthens the shell as well."""
    case = case_of(CUPS, WARM)
    study = study_of(case)
    sleeve, shell = case.sleeve_material, case.shell_material
    gained = thermal_preload_change(
        length=60.0,
        tension_stiffness=sleeve.young_modulus * np.pi * (400 - 17.399**2) / 60,
        compression_stiffness=shell.young_modulus * np.pi * (529 - 400) / 60,
        tension_alpha=sleeve.expansion,
        compression_alpha=shell.expansion,
        temperature_change=25.0,
    )
    assert gained > 1000.0
    assert 1.1 * gained < greatest_tension(study, 25.0) - greatest_tension(study, 0.0) < 1.4 * gained


def test_sleeve_buckles_at_glocks_pressure_for_its_thinnest_zone():
    """t 2.601, D 37.399: E/(1−ν²)(t/D)^2.2, against Lamé's pressure."""
    case = case_of()
    m = cell_of(margins()["sleeve_buckles"], "pressed")
    steel = case.sleeve_material
    critical = steel.young_modulus / (1 - steel.poisson_ratio**2) * (2.601 / 37.399) ** 2.2
    assert m.capacity.value == pytest.approx(critical, rel=1e-6)
    assert m.demand.value == pytest.approx(lame_pressure(case), rel=0.15)
    assert m.margin == pytest.approx(critical / (2.0 * m.demand.value) - 1.0)
    assert m.where.r == pytest.approx(0.5 * 37.399)
