"""What the seat must hold together in every stage."""

from __future__ import annotations

import pytest
from cells import cell_of
from holding_case import CUPS, WARM, case_of, evidence_at, preload_by_hand, thread_arm

from hoopwright.checks.holding import slips_combined, turned
from hoopwright.checks.seat_demands import seat_demands
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE
from hoopwright.working import WORKINGS


@pytest.mark.parametrize("flange", ["shell", "sleeve"])
def test_a_stated_torque_adds_to_the_drag_of_pedalling_without_service_loads_too(flange):
    """Each was judged by itself: 60 and 25 N·m as 60."""
    dragged = CUPS.replace("[cups.left]", 'drag_torque = "60 N*m"\n[cups.left]').replace("shell", flange)
    evidence = evidence_at(case_of(dragged, '[demand]\ntorque = "25 N*m"\naxial_force = "2 kN"\n'))
    both = {load.what: load for load in seat_demands(evidence, "in use")}[
        "drag of pedalling and [demand] together"
    ]
    assert both.torque == -85e3
    rows = {check.__name__: check(evidence) for check in (turned, slips_combined)}
    cell = cell_of(rows["turned"], "in use")
    assert cell.demand.value == pytest.approx(85.0)
    assert "drag of pedalling and [demand] together, which turns the sleeve clockwise" in cell.basis
    assert PRELOAD_SOURCE not in cell.basis
    found = WORKINGS["slips_combined"](evidence, cell_of(rows["slips_combined"], "in use"))
    assert found.value("T_a") == pytest.approx(85e3)


def test_the_first_of_two_cups_is_undone_with_what_heat_has_added_to_their_pull():
    """Greased when it was tightened and dry now, on an aluminium shell at 45 °C: F tan(ρ − λ) d2/2, with
    the force of the flanges there. Nothing pulls the sleeve along while the other one is tight."""
    evidence = evidence_at(case_of(CUPS, WARM))
    pull = preload_by_hand(0.10, 0.12) + evidence.tensions[25.0] - evidence.tensions[0.0]
    assert pull > 1.2 * preload_by_hand(0.10, 0.12)
    hot = [load for load in seat_demands(evidence, "cups", 25.0) if load.cup.gained]
    worst = max(hot, key=lambda load: abs(load.torque))
    assert (worst.what, worst.axial) == ("removing the left cup", 0.0)
    assert abs(worst.torque) == pytest.approx(pull * thread_arm(0.20, -1.0), rel=1e-5)
    row = turned(evidence)
    cell = cell_of(row, "cups")
    assert cell.when.temperature_rise == 25.0
    assert cell.demand.value == pytest.approx(1e-3 * abs(worst.torque), rel=1e-9)
    assert "removing the left cup, its pull raised by temperature, which turns the sleeve" in cell.basis
    assert WORKINGS["turned"](evidence, cell).value("T_g") == pytest.approx(abs(worst.torque), rel=1e-9)
    assert max(load.axial for load in seat_demands(evidence, "cups", 25.0)) == pytest.approx(
        preload_by_hand(0.10, 0.12), rel=1e-5
    )


@pytest.mark.parametrize(
    "cups",
    [
        CUPS.replace('"shell"', '"sleeve"'),  # they keep their pull
        CUPS.split("[cups.right]")[0],  # one alone, which friction on the seat carries
    ],
)
def test_temperature_adds_nothing_to_the_torque_that_undoes_other_cups(cups):
    evidence = evidence_at(case_of(cups, WARM))
    assert seat_demands(evidence, "cups", 25.0) == seat_demands(evidence, "cups")


def test_a_stated_torque_that_undoes_a_cup_grows_with_its_pull():
    stated = CUPS.replace("[cups.right]", 'removing_torque = "45 N*m"\n[cups.right]')
    evidence = evidence_at(case_of(stated, WARM))
    gained = evidence.tensions[25.0] - evidence.tensions[0.0]
    loads = seat_demands(evidence, "cups", 25.0)
    cold = {load.cup[:3]: load for load in loads if not load.cup.gained}
    hot = {load.cup[:3]: load for load in loads if load.cup.gained}
    undone = [move for move in hot if move[0] == "left"]
    assert len(undone) == 16
    for move in undone:
        left = abs(cold[move].torque)  # 45 N·m less friction under the flange
        assert left == pytest.approx(45e3 - cold[move].axial * move[2].flange * 42 / 2, rel=1e-9)
        assert abs(hot[move].torque) == pytest.approx(left * (1.0 + gained / cold[move].axial), rel=1e-9)
