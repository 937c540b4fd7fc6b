"""Proof of the pressed joint and taking it apart again, against hand calculation and direct solution."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi, sqrt

import pytest
from plain_pair import PRESSED, plain_pair

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of, pushed_out, turned
from hoopwright.checks import judged as judged_by
from hoopwright.checks.grip import computed_grip, grip
from hoopwright.checks.yields import shell_yields, sleeve_yields
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.document.working import working_part
from hoopwright.fem import Resolution
from hoopwright.geometry.joint import Segment
from hoopwright.pressing.heat import heat_plan
from hoopwright.pressing.past_yield import PastYield, YieldedFit
from hoopwright.pressing.proof import (
    NO_STRENGTH,
    NONE_EXISTS,
    NOTHING_ASKED,
    NOTHING_HELD,
    Stressed,
    chosen,
    proof_of,
    rounded_down,
    torsion_modulus,
)
from hoopwright.pressing.removal import removal_of
from hoopwright.state import being_pushed, let_go
from hoopwright.study import CaseStudy

CHECKS = (shell_yields, sleeve_yields, pushed_out, turned)


@cache
def judged(text: str = PRESSED):
    evidence = evidence_for(text)
    return evidence, judged_by(evidence, CHECKS)


def evidence_for(text):
    case = parse_case(text)
    return evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))


def pressure(evidence, shift):
    """Lamé, mean of the seat, MPa."""
    case = evidence.case
    sleeve, shell = case.sleeve_material, case.shell_material
    return float(
        contact_pressure(
            radial_interference=0.5 * (0.035 + shift),
            sleeve_bore_radius=16.0,
            interface_radius=20.0,
            shell_outer_radius=30.0,
            sleeve=(sleeve.young_modulus, sleeve.poisson_ratio),
            shell=(shell.young_modulus, shell.poisson_ratio),
        )
    )


def test_a_proof_load_lies_between_service_and_both_slip_and_yield():
    evidence, rows = judged()
    push, torque = proof_of(evidence, rows).loads
    assert (push.kind, torque.kind) == ("push", "torque")
    for one in (push, torque):
        assert one.service <= one.needed < one.load <= 1.5 * one.needed
        assert one.load < one.slips
        assert one.slip_margin == pytest.approx(one.slips / one.load - 1.0)
        assert one.yield_margin > 0.0
    assert push.service == pytest.approx(2000.0)
    assert torque.service == pytest.approx(2000.0 * 20.0, rel=1e-6)
    row = next(row for row in rows if row.id == "pushed_out")
    held = {cell.when.temperature_rise: cell.capacity.value for cell in row.cells}
    in_use = next(cell for cell in row.cells if cell.stage == "in use")
    assert push.needed == pytest.approx(2000.0 * held[0.0] / in_use.capacity.value, rel=1e-9)
    # μ π d L p at least interference, pulled out: what the pull takes is within a few per cent
    by_hand = 0.1 * pi * 40.0 * 40.0 * pressure(evidence, evidence.least)
    assert push.slips == pytest.approx(by_hand, rel=0.05)
    assert torque.slips == pytest.approx(20.0 * by_hand, rel=0.05)


def test_the_stress_under_a_push_lies_below_the_chord():
    """Pushed so that it just slides at less friction, the same force does less than the chord says."""
    evidence, rows = judged()
    (push, _), shift, study = proof_of(evidence, rows).loads, evidence.greatest, evidence.study
    normal = study.fits((being_pushed(evidence.case, shift, 0.1),)).fits[0].coarsest.normal_force
    state = being_pushed(evidence.case, shift, push.load / normal)
    moving = study.fits((state,)).fits[0].coarsest
    for row in rows[:2]:
        body = row.id.split("_")[0]
        still = study.fits(let_go(evidence.case, shift)).fits
        fit = max(one.coarsest.equivalent_peak(body).value for one in still)
        cell = next(cell for cell in row.cells if cell.stage == "pressed")
        solved = cell.demand.value * moving.equivalent_peak(body).value / fit
        chord = cell.capacity.value / cell.factor / (push.yield_margin + 1.0)
        assert (
            solved / (cell.capacity.value / cell.factor)
            <= chord / (cell.capacity.value / cell.factor) + 1e-9
        )


def test_torsion_across_the_stress_of_the_fit_is_by_hand():
    """π (R⁴ − r⁴)/(2 R) of a tube 60 × 40: 34034 mm³. With 100 of 250 MPa: τ = √((250² − 100²)/3)."""
    modulus = torsion_modulus(Segment(0.0, 1.0, 20.0, 20.0, 30.0, 30.0))
    assert modulus == pytest.approx(34033.92, rel=1e-6)
    body = Stressed(100.0, 250.0, 0.01, modulus)
    assert body.yields("torque") == pytest.approx(modulus * sqrt((250.0**2 - 100.0**2) / 3.0))
    assert body.yields("push") == pytest.approx(15000.0)
    for kind in ("push", "torque"):
        assert body.margin(kind, body.yields(kind)) == pytest.approx(0.0, abs=1e-12)
        assert body.margin(kind, 0.5 * body.yields(kind)) > 0.0
    assert replace(body, fit=260.0).yields("torque") == 0.0
    assert replace(body, fit=260.0).yields("push") == 0.0


@pytest.mark.parametrize(
    ("needed", "damaged", "load"),
    [(2000.0, 9000.0, 3000.0), (2000.0, 2420.0, 2200.0), (2000.0, 2000.0, None), (2000.0, 100.0, None)],
)
def test_a_load_proves_the_factor_or_stands_midway(needed, damaged, load):
    found = chosen(needed, damaged, 1.5)
    assert found is None if load is None else found == pytest.approx(load, rel=5e-3)
    assert found is None or needed < found <= min(damaged, 1.5 * needed)


def test_a_load_is_rounded_down_and_stays_above_what_is_needed():
    assert [rounded_down(x) for x in (3103.49, 62069.8, 9.999, 1000.0)] == pytest.approx(
        [3100.0, 62000.0, 9.99, 1000.0]
    )
    assert 1000.0 < chosen(1000.0, 1002.0, 1.5) < 1002.0


def test_where_there_is_no_proof_load_it_is_said_why():
    evidence, rows = judged()
    doubted = tuple(replace(row, doubt="made up") if row.id == "pushed_out" else row for row in rows)
    assert proof_of(evidence, doubted).why == "no proof load is given: made up"
    asks_too_much = evidence_for(PRESSED.replace('"2 kN"', '"50 kN"'))
    assert proof_of(asks_too_much, rows).why == NONE_EXISTS
    assert proof_of(asks_too_much, rows[2:]).why == NO_STRENGTH
    asks_nothing = PRESSED.replace('[demand]\naxial_force = "2 kN"\n', "")
    assert proof_of(evidence_for(asks_nothing), rows).why == NOTHING_ASKED
    free = plain_pair(more='[temperatures]\nuse_least = "0 degC"\nuse_most = "150 degC"\n')
    assert proof_of(evidence_for(free), rows).why == NOTHING_HELD


def test_to_push_it_out_takes_high_friction_and_the_greatest_interference_after_a_rest():
    evidence, rows = judged()
    found = removal_of(evidence, rows, heat_plan(evidence.case), None)
    by_hand = 1.3 * 0.2 * pi * 40.0 * 40.0 * pressure(evidence, evidence.greatest)
    assert found.force == pytest.approx(by_hand, rel=0.1)
    assert found.force > by_hand  # what pushing adds
    assert found.strong_enough is True
    assert (found.growth, len(found.pressed)) == (None, 2)
    weak = replace(evidence.case, press=replace(evidence.case.press, capacity=found.force - 1.0))
    assert removal_of(replace(evidence, case=weak), rows, heat_plan(weak), None).strong_enough is False


def test_the_heat_that_frees_it_is_by_hand():
    """(δ + U)/(d α) of the shell alone; both as warm by the difference of the expansions."""
    evidence, rows = judged(plain_pair())
    found = removal_of(evidence, rows, heat_plan(evidence.case), None)
    tight = 0.036 + evidence.study.interference_half_width
    shell, sleeve = (
        m.mean_expansion(60.0) for m in (evidence.case.shell_material, evidence.case.sleeve_material)
    )
    assert found.free_shell_K == pytest.approx(tight / 41.0 / shell, rel=0.02)
    assert found.free_together_K == pytest.approx(tight / 41.0 / (shell - sleeve), rel=0.03)
    assert found.free_together_K > found.free_shell_K
    steel, rows = judged()
    alike = removal_of(steel, rows, heat_plan(steel.case), None)
    assert alike.free_together_K is None  # no temperature parts steel from steel that expands as much


def test_growth_past_yield_is_named():
    evidence, rows = judged()
    last = YieldedFit(0.1, 1.0, 2.0, {"shell": 1e-3, "sleeve": 0.0}, 0.05, 0.021, 0.034, 0.003, 0.1, 0.4)
    growth = removal_of(evidence, rows, heat_plan(evidence.case), PastYield((last,), {})).growth
    assert (growth.outside, growth.bore, growth.sleeve_shrink) == (0.021, 0.034, 0.003)


# ---- what a slip says ---------------------------------------------------------------------------


def proved(load: str, *, slipped: bool):
    return evidence_for(PRESSED + f"[proof]\n{load}\nslipped = {str(slipped).lower()}\n")


def test_a_slip_bounds_what_the_seat_holds_and_lowers_every_margin_in_proportion():
    evidence, _ = judged()
    before = pushed_out(evidence)
    after = pushed_out(proved('push = "3 kN"', slipped=True))
    share = 3000.0 / grip(evidence, 0.0).force.value
    for one, other in zip(before.cells, after.cells, strict=True):
        assert other.capacity.value == pytest.approx(share * one.capacity.value, rel=1e-6)
        assert other.margin < one.margin
        assert "slipped" in other.note
    bench = next(cell for cell in after.cells if cell.stage == "pressed")
    assert bench.capacity.value == pytest.approx(3000.0)


def test_a_torque_that_slips_it_bounds_the_push_too():
    evidence, _ = judged()
    share = 62000.0 / grip(evidence, 0.0).torque.value
    after = pushed_out(proved('torque = "62 N*m"', slipped=True))
    assert after.capacity.value == pytest.approx(share * pushed_out(evidence).capacity.value, rel=1e-6)
    lowered = grip(proved('torque = "62 N*m"', slipped=True), 0.0)
    assert lowered.torque.value == pytest.approx(62000.0)


@pytest.mark.parametrize(
    ("load", "slipped"), [('push = "3 kN"', False), ('push = "90 kN"', True), ('push = "90 kN"', False)]
)
def test_no_proof_makes_a_joint_better(load, slipped):
    evidence, _ = judged()
    assert pushed_out(proved(load, slipped=slipped)) == pushed_out(evidence)


def test_the_proof_load_itself_does_not_move_with_what_the_proof_found():
    evidence, rows = judged()
    found, expected = (proof_of(one, rows) for one in (proved('push = "3 kN"', slipped=True), evidence))
    for one, other in zip(found.loads, expected.loads, strict=True):
        assert one.kind == other.kind
        assert one.load == pytest.approx(other.load, rel=1e-9)
        assert one.yield_margin == pytest.approx(other.yield_margin, rel=1e-9)


def test_the_working_of_a_joint_that_slipped_ends_in_its_margin():
    evidence = proved('push = "3 kN"', slipped=True)
    row = pushed_out(evidence)
    lines = working_part(evidence, row)["lines"]
    left = next(line for line in lines if line["symbol"] == "s")
    assert left["value"] == pytest.approx(3000.0 / judged_force(evidence))
    assert lines[-1]["value"] == pytest.approx(row.margin)


def judged_force(evidence):
    return computed_grip(evidence, 0.0).force.value


@pytest.mark.parametrize(
    ("lines", "key"),
    [
        ("slipped = true", "push"),
        ('push = "3 kN"', "slipped"),
        ('push = "3 kN"\ntorque = "60 N*m"\nslipped = true', "torque"),
        ('push = "0 N"\nslipped = true', "push"),
        ('push = "3 kN"\nslipped = "yes"', "slipped"),
    ],
)
def test_a_faulty_proof_is_one_line(lines, key):
    with pytest.raises(CaseError) as caught:
        parse_case(PRESSED + f"[proof]\n{lines}\n")
    (fault,) = caught.value.faults
    assert (fault.table, fault.key) == ("[proof]", key)
    assert fault.advice
