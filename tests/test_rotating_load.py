"""A load that goes round the joint, against separate solves at fixed angles and against symmetry."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from cells import cell_of
from service_cases import PARTS, TUBES, case_of, edited

from hoopwright.case.faults import CaseError
from hoopwright.case.load_cases import service_loads
from hoopwright.case.read import parse_case
from hoopwright.checks import Margin, evidence_of, judged
from hoopwright.fem import Resolution
from hoopwright.fem.fourier_sum import linearised_sum
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.service.cyclic import range_over
from hoopwright.service.fatigue_strength import FatigueStrength, fatigue_strength_of
from hoopwright.service.instants import Instants, upsampled
from hoopwright.service.reactions import reactions_of
from hoopwright.study import CaseStudy

WHEEL = """
[service]
cycles = 1000000
[[service.bearing]]
name = "wheel"
radial = "3 kN"
axial = "700 N"
angle = "ANGLE deg"
z = "10 mm"
from = "0 mm"
to = "14 mm"
hold = "HOLD"
"""
COARSE = "[mesh]\nelements_through_wall = 2\n"
MESH = Resolution(elements_through_wall=2)
CLAMPED = '[service.clamped]\nfrom = "30 mm"\nto = "50 mm"\n'
FATIGUE = '[fatigue.sleeve]\namplitude = "180 MPa"\nat_cycles = 2000000\nslope = 10\nsource = "invented"\n'


def wheel(angle: float = -90.0, *, rotates: bool = False, mounting: str = "pressed") -> str:
    """A bearing in one end of the shell."""
    table = WHEEL.replace("ANGLE", f"{angle:g}").replace("HOLD", mounting)
    return table + ("rotates = true\n" if rotates else "")


def text(angle: float = -90.0, *, rotates: bool = False, support: str = TUBES) -> str:
    return PARTS + COARSE + wheel(angle, rotates=rotates) + support + FATIGUE


@cache
def rows(source: str) -> dict[str, Margin]:
    """Every row on the same mesh, never refined."""
    case = case_of(source)
    return {row.id: row for row in judged(evidence_of(case, CaseStudy(case, MESH)))}


def solved(source: str, parts, *, sliding: bool):
    """Response of a whole series, without an end to it by its size."""
    study = CaseStudy(case_of(source), MESH)
    band = study.service.loads.cases[0].clamped
    solution = study.service.solutions["stuck"][0]
    solver = ServiceSolver(
        solution.meshed_joint,
        solution.closed,
        sliding=sliding,
        clamped=(band.z_start, band.z_end) if band else None,
    )
    return solver.solve(parts, tolerance=0.0)


@pytest.mark.parametrize("support", [TUBES, CLAMPED], ids=["tubes", "clamp"])
@pytest.mark.parametrize("mounting", ["pressed", "clamped"])
def test_every_instant_of_a_turn_is_a_solve_of_its_own_at_that_angle(support, mounting):
    """Off-centre radial load with an axial one; the tubes break the symmetry. Superposed parts against
    separate solves at three angles."""
    source = edited(text(rotates=True, support=support), ("pressed", mounting))
    case = case_of(source)
    turning = service_loads(case.service, case.shell, case.sleeve).cases
    instants = Instants(turning, 36)
    parts = solved(source, turning[0].parts, sliding=False)
    every = linearised_sum(
        parts.harmonics, instants.amplitudes(parts.harmonics, parts.linearised("shell")), THETA
    )
    for step in (0, 7, 20):
        fixed = case_of(edited(text(10.0 * step, support=support), ("pressed", mounting)))
        (one,) = service_loads(fixed.service, fixed.shell, fixed.sleeve).cases
        alone = solved(source, [one.loads_and_reactions], sliding=False).linearised_at("shell", THETA)
        assert every[step] == pytest.approx(alone[0], abs=1e-6 * np.abs(alone).max())


THETA = np.radians(np.arange(0.0, 360.0, 15.0))


def test_the_parts_of_a_rotating_load_are_each_in_equilibrium():
    case = case_of(text(30.0, rotates=True))
    (one,) = service_loads(case.service, case.shell, case.sleeve).cases
    study = CaseStudy(case, MESH)
    assert len(one.parts) == 4
    assert study.service.solutions["sliding"][0].solved.stress.shape[1] == 4  # solved without a clamp
    balance = reactions_of(one, case.shell)
    assert balance.loads[0].force == pytest.approx(
        [3000 * np.cos(np.pi / 6), 3000 * np.sin(np.pi / 6), 700.0]
    )


def test_reactions_of_evenly_spaced_tubes_cancel_without_being_out_of_balance():
    """In harmonic 0 three equal tubes leave rounding alone, which once passed for a net force."""
    spokes = "".join(
        f'[[service.tube]]\nangle = "{a} deg"\noutside_diameter = "30 mm"\nz = "36 mm"\n'
        for a in (0, 120, 240)
    )
    study = CaseStudy(case_of(text(rotates=True, support=spokes)), MESH)
    assert np.isfinite(study.service.solutions["stuck"][0].solved.stress).all()


def test_what_is_shown_of_a_rotating_load_is_the_load_at_its_angle():
    """Figures and section files take the load at `angle`; the field on a grid, and the sum shown."""
    turning, fixed = (
        CaseStudy(case_of(text(40.0, rotates=r)), MESH).service.solutions["stuck"][0] for r in (True, False)
    )
    shown, alone = (one.response.linearised_at("shell", THETA) for one in (turning, fixed))
    assert shown == pytest.approx(alone, abs=0.012 * np.abs(alone).max())  # each series ends by its size
    step = round(np.radians(40.0) * turning.instants.steps / (2.0 * np.pi))
    assert turning.instants.all[step].name == f"wheel at {step * 360.0 / turning.instants.steps:.0f}°"


@pytest.mark.slow
def test_rows_are_the_worst_of_the_turn():
    """The row under a load that goes round is that of a load at its own worst angle, and no load at another
    fixed angle is worse."""
    whole = rows(text(rotates=True))
    for id_ in ("shell_yields", "joint_opens"):
        worst = cell_of(whole[id_], "in use")
        angle = float(worst.when.load_case.split(" at ")[1].rstrip("°"))
        same = cell_of(rows(text(angle))[id_], "in use")
        assert worst.demand.value == pytest.approx(same.demand.value, rel=4e-3), id_
        other = cell_of(rows(text((angle + 120.0) % 360.0))[id_], "in use")
        assert worst.margin <= other.margin + 1e-3, id_


@pytest.mark.slow
def test_a_turn_is_never_better_than_a_fixed_angle():
    """Fatigue, opening, slip and yield of the turn lie below those of three fixed angles."""
    whole = rows(text(rotates=True))
    for angle in (-90.0, 20.0):
        for row in rows(text(angle)).values():
            if row.margin is not None and row.id in RESTS_ON_THE_TURN:
                allowed = (row.numerical_error or 0.0) + (whole[row.id].numerical_error or 0.0)
                assert whole[row.id].margin <= row.margin + allowed, row.id


RESTS_ON_THE_TURN = {
    "joint_opens",
    "joint_slips",
    "shell_fatigue_sines",
    "shell_fatigue_walker",
    "shell_yields",
    "sleeve_fatigue_sines",
    "sleeve_fatigue_walker",
    "sleeve_yields",
}


def test_by_symmetry_every_point_of_a_circle_sees_the_same_cycle():
    """A clamp all round breaks no symmetry: what goes round in time is what lies round the circle at one
    moment, so that amplitude and mean of the hoop stress follow from one instant."""
    case = case_of(edited(text(rotates=True, support=CLAMPED), ('axial = "700 N"', 'axial = "0 N"')))
    study = CaseStudy(case, MESH)
    strength = fatigue_strength_of(case, "shell")
    assert isinstance(strength, FatigueStrength)
    for solution in (study.service.solutions["stuck"][0], study.service.solutions["sliding"][0]):
        cycle = solution.cyclic("shell", study.service.cycles)
        no_fit = np.zeros((2, len(solution.walls["shell"].z), 6))
        # the ball of Sines is searched, up to 1 % too large
        for field, within in (
            (cycle.sines(no_fit, strength), 1e-2),
            (cycle.walker(no_fit, strength), 2e-3),
        ):
            spread = field.max(axis=-1) - field.min(axis=-1)
            assert spread.max() < within * field.max()
        around = solution.walls["shell"].stress[0]  # (2, lines, angles, 6): one instant, all angles
        around_hoop = around[..., 1]
        amplitude, mean = (part[0, ..., 0] for part in cycle.planes)  # first plane: hoop direction
        low = np.minimum(around_hoop.min(axis=-1), 0.0)
        high = np.maximum(around_hoop.max(axis=-1), 0.0)
        assert amplitude == pytest.approx(0.5 * (high - low), abs=5e-3 * around_hoop.max())
        assert mean == pytest.approx(0.5 * (high + low), abs=5e-3 * around_hoop.max())


def test_peaks_between_the_instants_of_a_turn_are_found():
    """Harmonics 3 and 5 at angles that no instant meets: series and parabola against a fine grid."""
    phi = 2.0 * np.pi * np.arange(24) / 24

    def wave(at):
        return np.cos(3.0 * (at - 0.11)) + 0.3 * np.cos(5.0 * (at - 0.05))

    fine = wave(np.linspace(0.0, 2.0 * np.pi, 100_000))
    twice = upsampled(wave(phi)[:, None])
    assert twice[:, 0] == pytest.approx(wave(2.0 * np.pi * np.arange(48) / 48), abs=1e-12)
    low, high = range_over(twice, lambda stress: stress)
    assert [float(low[0]), float(high[0])] == pytest.approx([fine.min(), fine.max()], rel=2e-3)
    assert twice.max() < 0.998 * fine.max()


def test_the_slip_of_a_turn_is_read_at_the_same_angle_on_every_mesh():
    study = CaseStudy(case_of(text(rotates=True)), MESH)
    fine, _, coarse = study.service.solutions["stuck"]
    assert fine.instants.steps > coarse.instants.steps
    for k in (0, 9, 30):
        instant = fine.instants.all[k]
        there = coarse.instants.all[coarse.instants.nearest(instant)]
        assert abs(there.angle - instant.angle) <= np.pi / coarse.instants.steps + 1e-9
    last = fine.instants.all[fine.instants.steps - 1]
    assert coarse.instants.nearest(replace(last, angle=2.0 * np.pi - 0.01)) == 0
    assert coarse.instants.nearest(fine.instants.all[-1]) == len(coarse.instants.all) - 1


def test_a_load_without_a_radial_part_cannot_rotate():
    bad = edited(text(rotates=True), ('radial = "3 kN"', 'radial = "0 N"'))
    with pytest.raises(CaseError, match="no radial load to rotate; give radial or leave rotates out"):
        parse_case(bad)
    with pytest.raises(CaseError, match="rotates"):
        parse_case(edited(text(rotates=True), ("rotates = true", 'rotates = "yes"')))
