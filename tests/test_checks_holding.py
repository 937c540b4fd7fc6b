"""Force and torque of the cups on the sleeve, credit for compound, and clamping stress."""

from functools import cache

import numpy as np
import pytest
from holding_case import COMPOUND, CUPS, WARM, case_of, margins_by_id
from reference.friction import press_out_force, slip_torque

from hoopwright.checks.sleeve_loads import cup_thread, greatest_preload, sleeve_loads, tightening_sense
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.closed_form.thermal import thermal_preload_change

STEEL, ALUMINIUM = (200e3, 0.32), (68.3e3, 0.33)
FULL_SEAT = np.pi * 40.0 * 60.0


@cache
def margins(*parts, shift=0.0, **threads):
    return margins_by_id(case_of(*parts, **threads), shift)


def lame_pressure(case, interference=0.04):
    return contact_pressure(
        radial_interference=0.5 * interference,
        sleeve_bore_radius=17.399,
        interface_radius=20.0,
        shell_outer_radius=23.0,
        sleeve=(case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio),
        shell=(case.shell_material.young_modulus, case.shell_material.poisson_ratio),
    )


def test_preload_agrees_with_a_hand_calculation_of_the_screw_thread():
    """40 N·m, d2 34.111, P 1.05833, μ 0.10 and 0.12 at 42 mm, least friction of both:
    λ = atan(P/πd2), ρ = atan(μ/cos 30°), K = d2/2 tan(λ + ρ) + μ_f d_f/2."""
    case = case_of(CUPS)
    lead, rub = np.arctan(25.4 / 24 / (np.pi * 34.1106)), np.arctan(0.10 / np.cos(np.pi / 6))
    arm = 34.1106 / 2 * np.tan(lead + rub) + 0.12 * 42 / 2
    preload = greatest_preload(case.cups, case.cups.left, cup_thread(case.sleeve, "left"))
    assert preload == pytest.approx(40e3 / arm, rel=1e-5)
    assert margins(CUPS)["pushed_out"].demand.value == pytest.approx(40e3 / arm, rel=1e-5)


def test_torque_on_the_cup_is_shared_by_thread_and_flange():
    for act in sleeve_loads(case_of(CUPS)):
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
    drag = [
        a
        for a in sleeve_loads(case_of(CUPS.replace("[cups.left]", 'drag_torque = "60 N*m"\n[cups.left]')))
        if a.what == "drag of pedalling"
    ]
    assert [a.torque for a in drag] == [-60e3]
    assert drag[0].turning_sense == "clockwise seen from the right"


def test_removing_a_cup_pulls_the_sleeve_while_turning_it_the_other_way():
    undone = [a for a in sleeve_loads(case_of(CUPS)) if a.what == "removing the left cup"]
    assert len(undone) == 4
    assert all(a.axial > 0.0 and a.torque < 0.0 for a in undone)
    # The thread alone needs less torque to undo than to tighten: the lead helps now.
    assert max(-a.torque for a in undone) < max(
        a.torque for a in sleeve_loads(case_of(CUPS)) if a.what == "tightening the left cup" and a.axial
    )


def test_a_flange_that_bears_on_the_sleeve_leaves_no_axial_force_but_all_the_torque():
    m = margins(CUPS.replace('"shell"', '"sleeve"'))
    assert m["pushed_out"].demand is None
    assert m["turned"].demand.value == pytest.approx(40.0)
    assert not m["slips_combined"].applies
    assert not m["sleeve_yields_clamped"].applies


def test_force_and_torque_together_are_resisted_by_one_friction_force():
    """[demand] 3 kN and 80 N·m at r = 20 mm: 5 kN along the seat."""
    m = margins('[demand]\naxial_force = "3 kN"\ntorque = "80 N*m"\n')
    assert m["slips_combined"].demand.value == pytest.approx(5000.0, rel=1e-9)
    assert m["pushed_out"].demand.value == 3000.0
    assert m["turned"].demand.value == 80.0


def test_friction_capacity_is_the_closed_form_at_lames_pressure():
    seat = {"diameter": 40.0, "length": 60.0, "friction": 0.1, "pressure": lame_pressure(case_of(CUPS))}
    m = margins(CUPS)
    assert m["pushed_out"].capacity.value == pytest.approx(press_out_force(**seat), rel=3e-3)
    assert m["turned"].capacity.value == pytest.approx(1e-3 * slip_torque(**seat), rel=3e-3)


def test_friction_capacity_grows_in_proportion_to_interference():
    loose, tight = margins(CUPS, shift=-0.02), margins(CUPS, shift=0.02)
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
    case = case_of(CUPS, WARM, COMPOUND)
    friction, film = 0.05 * lame_pressure(case) * FULL_SEAT, 5.0 * FULL_SEAT
    m = margins(CUPS, WARM, COMPOUND.replace("added", combination))["pushed_out"]
    assert m.capacity.value == pytest.approx(expected(friction, film), rel=3e-3)


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
    case = case_of(CUPS, WARM, COMPOUND)
    m = margins(CUPS, WARM, COMPOUND.replace(was, now))["pushed_out"]
    assert m.capacity.value == pytest.approx(0.05 * lame_pressure(case) * FULL_SEAT, rel=3e-3)
    assert why in m.note
    assert "less than dry" in m.note


def test_compound_needs_the_temperatures_of_use_for_its_credit():
    assert "[temperatures]" in margins(CUPS, COMPOUND)["pushed_out"].note


def test_a_film_weaker_than_dry_friction_leaves_the_fit_in_doubt():
    """Dry friction stress 0.1 × 10 MPa is more than a film of 0.5 MPa."""
    m = margins('[demand]\naxial_force = "1 kN"\n', '[compound]\nshear_strength = "0.5 MPa"\n')[
        "pushed_out"
    ]
    assert m.margin > 0.0
    assert m.state == "unresolved"
    assert "may weaken" in m.doubt


def test_clamping_adds_axial_tension_to_the_stress_of_the_fit():
    """Plane stress: −σ_θ at the bore by Lamé, with σ_z = F/A; σ_v² = σ_θ² − σ_θσ_z + σ_z²."""
    case = case_of(CUPS)
    m = margins(CUPS)
    hoop = -2 * lame_pressure(case) * 400 / (400 - 17.399**2)
    greatest_tension = m["pushed_out"].demand.value / (np.pi * (400 - 17.399**2))
    frictionless = np.sqrt(hoop**2 - hoop * greatest_tension + greatest_tension**2)
    # Linearised stress is a few per cent below Lamé at the bore of a thin wall; sticking adds end effects.
    assert m["sleeve_yields_clamped"].demand.value == pytest.approx(frictionless, rel=0.05)
    assert m["sleeve_yields_clamped"].demand.value > m["sleeve_yields_pressed"].demand.value
    assert m["shell_yields_clamped"].demand.value > m["shell_yields_pressed"].demand.value


def test_heating_raises_the_preload_of_a_steel_sleeve_in_an_aluminium_shell():
    from hoopwright.checks import evidence_of
    from hoopwright.checks.preload_yield import greatest_tension
    from hoopwright.fem import Resolution
    from hoopwright.study import CaseStudy

    case = case_of(CUPS, WARM)
    evidence = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))
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
    assert greatest_tension(evidence, 25.0) - greatest_tension(evidence, 0.0) == pytest.approx(
        gained, rel=1e-6
    )


def test_sleeve_buckles_at_glocks_pressure_for_its_thinnest_zone():
    """t 2.601, D 37.399: E/(1−ν²)(t/D)^2.2, against Lamé's pressure."""
    case = case_of()
    m = margins()["sleeve_buckles"]
    steel = case.sleeve_material
    critical = steel.young_modulus / (1 - steel.poisson_ratio**2) * (2.601 / 37.399) ** 2.2
    assert m.capacity.value == pytest.approx(critical, rel=1e-6)
    assert m.demand.value == pytest.approx(lame_pressure(case), rel=0.15)
    assert m.margin == pytest.approx(critical / (2.0 * m.demand.value) - 1.0)
