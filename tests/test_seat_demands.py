"""What the seat must hold together in every stage."""

from __future__ import annotations

import pytest
from cells import cell_of
from holding_case import CUPS, case_of, evidence_at

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
