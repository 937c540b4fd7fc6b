"""Service rows: what they compare, when they are in doubt, and when they do not apply."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from cells import Rows, cell_of, stages_of, thin_side_rise
from friction_paths import Paths, Reached
from service_cases import CRANK, PARTS, case_of, edited, results_of

from hoopwright.case.load_cases import service_loads
from hoopwright.case.model import ProofInput
from hoopwright.checks import evidence_of, judged, service_rows
from hoopwright.checks.fatigue import rounded_down, shell_fatigue_sines
from hoopwright.checks.grip import grip
from hoopwright.checks.joint_opens import joint_opens
from hoopwright.checks.joint_slips import ShearCapacity, joint_slips
from hoopwright.checks.margin import Location
from hoopwright.checks.seat_pressure import total_pressure
from hoopwright.checks.service_rows import joint_conditions, where_of
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.checks.yields import shell_yields
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.fem import Resolution, von_mises
from hoopwright.screen.check import report
from hoopwright.study import CaseStudy

HARD = edited(
    CRANK,
    (
        'pedalling_test = "city"',
        'pedalling_test = "city"\nstanding_start = "6 kN"\n'
        'crank_length = "170 mm"\nchainring_radius = "85 mm"\npedal_offset = "140 mm"',
    ),
)
COMPOUND = """
[compound]
shear_strength = "{}"
credit = 1.0
combination = "greater"
gap_least = "-0.1 mm"
gap_most = "0.1 mm"
temperature_least = "-50 degC"
temperature_most = "150 degC"
full_cure = "24 h"
cure_least = "10 degC"
cured_for = "48 h"
[temperatures]
use_least = "0 degC"
use_most = "40 degC"
"""


@cache
def evidence(text: str):
    case = case_of(text)
    return evidence_of(case, CaseStudy(case, Resolution()))


@cache
def rows(text: str) -> Rows:
    return Rows(evidence(text))


def test_without_service_loads_one_row_asks_for_them():
    found = {m.id: m for m in judged(evidence(PARTS))}
    assert (found["joint_opens"].state, found["joint_opens"].factor) == ("not assessed", 1.0)
    assert "[service]" in found["joint_opens"].note
    assert not {"joint_slips", "shell_fatigue_sines"} & set(found)
    assert stages_of(found["shell_yields"]) == ["entering", "pressed"]
    unloaded = PARTS + '[service]\nnone = "a dummy shell for a workshop stand"\n'
    assert "joint_opens" not in {m.id for m in judged(evidence(unloaded))}


def at_rest(found, mesh: int = 0) -> list[Reached]:
    """The fit without friction, and let go at low and at high friction; on the finest mesh, or another."""
    return list(Paths(found.case, found.study.meshes[mesh].meshed_joint, 0.0).at_rest())


@pytest.mark.parametrize("body", ["shell", "sleeve"])
def test_yield_in_service_uses_the_greatest_equivalent_stress_of_the_summed_tensors(body):
    found = evidence(CRANK)
    worst, cell = greatest_stress(found, body, "in use"), cell_of(rows(CRANK)[f"{body}_yields"], "in use")
    greatest = [
        von_mises(service.walls[body].stress + fit.surfaces[body][None, :, :, None, :]).max()
        for fit in at_rest(found)
        for service, *_ in found.study.service.solutions.values()
    ]
    assert len(greatest) == 6
    # between two angles of the grid the stress may be a little higher
    assert max(greatest) <= worst.value.value == pytest.approx(max(greatest), rel=2e-3)
    assert worst.value.error < 0.03 * worst.value.value
    for judged_as in (worst, cell):
        assert judged_as.where.theta is not None
        assert judged_as.when.load_case
    assert abs(cell.demand.value - max(greatest)) <= cell.demand.error


def test_a_joint_opens_where_service_loads_exceed_the_pressure_of_the_fit():
    assert rows(CRANK)["joint_opens"].state == "holds"
    row = rows(HARD)["joint_opens"]
    assert row.state == "fails"
    assert "opens over" in row.note
    found = evidence(HARD)
    finest, coarsest = (
        [
            total_pressure(fit, service[mesh]).min()
            for fit in at_rest(found, mesh)
            for service in found.study.service.solutions.values()
        ]
        for mesh in (0, -1)
    )
    # the fit that governs is looked for on the coarsest mesh, and solved on all of them
    judged_pressure = finest[int(np.argmin(coarsest))]
    # between two angles of the grid the pressure may be a little lower
    assert row.capacity.value - row.demand.value == pytest.approx(judged_pressure, abs=0.02)
    assert row.capacity.value - row.demand.value <= judged_pressure
    assert judged_pressure - min(finest) < row.demand.error


def test_a_margin_that_rests_on_an_opening_joint_never_holds():
    hard = rows(HARD)
    for id_ in ("shell_yields", "sleeve_yields", "shell_fatigue_sines"):
        cell = cell_of(hard[id_], "in use")
        assert cell.doubt
        assert cell.state != "holds"
        assert hard[id_].state != "holds"
        assert "opens" in cell.doubt or "fretting" in cell.doubt
        assert "opens" not in cell_of(rows(CRANK)[id_], "in use").doubt


def test_micro_slip_compares_shear_with_friction_times_pressure():
    """Low friction, whatever the friction that the fit went in with."""
    found = evidence(CRANK)
    row, stuck = joint_slips(found), found.study.service.solutions["stuck"][0]
    ratio = max((stuck.seat.shear / (0.1 * total_pressure(fit, stuck))).max() for fit in at_rest(found))
    assert row.demand.value / row.capacity.value == pytest.approx(ratio, rel=1e-6)
    assert "fretting" in row.note


def test_accepted_micro_slip_is_reported_and_not_judged():
    found = evidence(CRANK)
    takes_it = replace(found.case, service=replace(found.case.service, micro_slip_accepted=True))
    row = joint_slips(replace(found, case=takes_it))
    assert row.state == "not assessed"
    assert "accepted" in row.note
    assert "fretting" in row.note


@pytest.mark.parametrize(("how", "expected"), [("instead", 3.0), ("added", 3.5), ("greater", 3.0)])
def test_compound_combines_with_friction_as_the_case_states(how, expected):
    assert ShearCapacity(0.1, 3.0, how).of(np.array(5.0)) == pytest.approx(expected)
    assert ShearCapacity(0.1, 0.0, how).of(np.array(5.0)) == pytest.approx(0.5)
    assert ShearCapacity(0.1, 0.0, how).of(np.array(-5.0)) == 0.0


def test_compound_that_carries_all_the_shear_keeps_the_joint_stuck():
    strong, weak = evidence(CRANK + COMPOUND.format("60 MPa")), evidence(CRANK + COMPOUND.format("1 MPa"))
    assert joint_conditions(strong) == ("stuck",)
    assert joint_conditions(weak) == ("sliding", "stuck")
    assert joint_slips(strong).state == "holds"
    assert joint_slips(weak).state == "fails"
    stress = [cell_of(shell_yields(one), "in use").demand.value for one in (strong, weak)]
    assert stress[0] < stress[1]


def test_one_place_that_the_film_does_not_carry_lets_the_joint_slide(monkeypatch):
    """At one end of the seat, or on one of the meshes, where the others would carry all of it."""
    strong = evidence(CRANK + COMPOUND.format("60 MPa"))
    finest = len(strong.study.service.solutions["stuck"][0].seat.z)
    at_an_end = lambda _, z: np.where(z > 70.0, 0.0, 60.0)  # noqa: E731
    on_a_mesh = lambda _, z: np.full(len(z), 60.0 if len(z) == finest else 1e-3)  # noqa: E731
    for film in (at_an_end, on_a_mesh):
        monkeypatch.setattr(service_rows, "credited_shear_at", film)
        assert joint_conditions(strong) == ("sliding", "stuck")


@pytest.mark.parametrize(
    ("case", "form", "angle"), [(None, False, None), (None, True, 30.0), (0, False, 30.0)]
)
def test_what_a_true_bore_does_without_load_it_does_at_every_angle(case, form, angle):
    spot = SimpleNamespace(body="shell", r=19.5, z=3.0, theta=30.0, instant=SimpleNamespace(case=case))
    found = SimpleNamespace(study=SimpleNamespace(service=object()), has_form=form)
    assert where_of(found, spot) == Location("shell", 19.5, 3.0, angle)


def test_a_looser_fit_opens_at_a_lower_load():
    found = evidence(CRANK)
    looser = replace(found, least=-0.02, greatest=-0.02)
    assert joint_opens(looser).margin < joint_opens(found).margin


def test_fatigue_rows_state_the_life_and_what_is_not_covered():
    row = rows(CRANK)["shell_fatigue_walker"]
    assert "weld toes are not covered" in row.note
    assert "lasts more than 7.6e5 cycles at this stress" in row.note  # 1e7 of the mean, of 99 % of bars
    assert "strength at 1e+05 cycles" in row.basis
    assert rows(CRANK)["sleeve_fatigue_sines"].state == "not assessed"


@pytest.mark.parametrize(
    ("life", "words"), [(9999.0, "9900"), (990.4, "990"), (10000.0, "1.0e4"), (2.39e6, "2.3e6"), (0.4, "0")]
)
def test_a_life_has_two_digits_and_is_never_more_than_it_is(life, words):
    assert rounded_down(life) == words


def test_more_cycles_reduce_the_margin():
    found = evidence(CRANK)
    more = replace(found.case, service=replace(found.case.service, cycles=10**8))
    service = found.study.service
    before = rows(CRANK)["shell_fatigue_sines"].margin
    service.loads = service_loads(more.service, more.shell, more.sleeve)
    try:
        assert shell_fatigue_sines(replace(found, case=more)).margin < before
    finally:
        service.loads = service_loads(found.case.service, more.shell, more.sleeve)


def test_stress_is_higher_on_the_thin_side_of_an_eccentric_bore():
    """In every stage, by the rise of ring bending where loads bend the wall; not that of the sleeve."""
    off = edited(CRANK, ('bore_diameter = "39 mm"', 'bore_diameter = "39 mm"\nrunout = "0.2 mm"'))
    eccentric, centred = rows(off), rows(CRANK)
    rise = {
        stage: cell_of(eccentric["shell_yields"], stage).demand.value
        / cell_of(centred["shell_yields"], stage).demand.value
        for stage in ("entering", "pressed", "in use")
    }
    assert rise["in use"] == pytest.approx((2.5 / 2.4) ** 2, rel=1e-9)
    by_hand = thin_side_rise(bore=39.0, outside=44.0, runout=0.2)
    assert [rise["entering"], rise["pressed"]] == pytest.approx(2 * [by_hand], rel=1e-9)
    assert eccentric["sleeve_yields"].demand == centred["sleeve_yields"].demand
    assert "thin side" in eccentric["shell_yields"].basis
    assert "thin side" not in centred["shell_yields"].basis


def test_the_document_has_angle_loads_reactions_and_balance():
    made = document(results_of(CRANK))
    row = next(c for c in made["checks"] if c["id"] == "shell_yields")
    where = next(cell["where"] for cell in row["cells"] if cell["where"]["stage"] == "in use")
    assert 0.0 <= where["theta_deg"] < 360.0
    assert where["state"]["load_case"] in {case["name"] for case in made["loads"]["cases"]}
    one = made["loads"]["cases"][0]
    assert one["name"] == "right pedal"
    assert [e["on"] for e in one["loads"]] == ["left cup", "right cup"]
    assert len(one["reactions"]) == 4
    assert one["left_over_force_N"] < 1e-6
    assert [one["count"] for one in made["loads"]["cycles"]] == [100_000]
    assert document(results_of(PARTS))["loads"] is None


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_the_screen_fits_eighty_columns_and_shows_angles(system):
    text = report(document(results_of(HARD)), Units(system))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "° " in text
    assert "Service loads" in text


def test_a_slip_on_the_bench_takes_of_local_slip_what_it_takes_of_the_grip():
    """Friction that was shown to be less does not keep the seat still as if it were not."""
    found = results_of(CRANK)
    before = evidence_of(found.case, found.study)
    push = 0.25 * grip(before, before.bench).force.value
    slipped = replace(found.case, proof=ProofInput(push=push, torque=None, slipped=True))
    after = evidence_of(slipped, found.study)
    one, other = joint_slips(before), joint_slips(after)
    assert other.margin == pytest.approx(0.25 * (1.0 + one.margin) - 1.0, abs=2e-3)
    assert "25 % of it left by the slip at the load of [proof]" in other.basis
    held = replace(slipped, proof=replace(slipped.proof, slipped=False))
    assert joint_slips(evidence_of(held, found.study)).margin == pytest.approx(one.margin)
