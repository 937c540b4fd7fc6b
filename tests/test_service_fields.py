"""Stress fields of service loads, through the whole tool, against hand calculation and symmetry."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from reference.ring_harmonics import ring_harmonic
from service_cases import CRANK, PARTS, TUBES, case_of, edited

from hoopwright.case.load_cases import service_loads
from hoopwright.closed_form._check import PLANE_STRESS
from hoopwright.fem import Resolution, von_mises
from hoopwright.fit import FitSolution
from hoopwright.loads.cases import LoadCase
from hoopwright.loads.description import LoadDescription
from hoopwright.loads.fourier_series import FourierSeries
from hoopwright.loads.seat_load import SeatLoad
from hoopwright.loads.traction import resultant, traction
from hoopwright.service.reactions import reactions_of
from hoopwright.service.study import ServiceStudy, fit_surfaces
from hoopwright.state import let_go
from hoopwright.study import CaseStudy

TURN = 37.0
BEARING = (
    PARTS
    + """
[service]
cycles = 1000
[[service.bearing]]
name = "wheel"
radial = "2 kN"
angle = "{angle}"
axial = "300 N"
z = "9 mm"
from = "0 mm"
to = "14 mm"
hold = "{hold}"
"""
)


def study_of(text: str, *, theta: np.ndarray | None = None, rows: int = 4) -> ServiceStudy:
    study = CaseStudy(case_of(text), Resolution(elements_through_wall=rows))
    return ServiceStudy(study.case, study.joint, study.resolution, study.nominal, theta)


def let_go_at_high_friction(text: str) -> FitSolution:
    """The fit at rest, with what high friction holds of pushing; its axial stress varies along the seat."""
    study = CaseStudy(case_of(text), Resolution())
    return study.at(let_go(study.case, 0.0)[-1]).finest


def tubes(turn: float) -> str:
    text = TUBES
    for angle in (20, 105, 185):
        text = text.replace(f'angle = "{angle} deg"', f'angle = "{angle + turn} deg"')
    return text


@pytest.mark.parametrize(("joint_condition", "mounting"), [("stuck", "clamped"), ("sliding", "pressed")])
def test_rotating_all_loads_rotates_every_stress_and_traction(joint_condition, mounting):
    grid = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    straight = study_of(BEARING.format(angle="20 deg", hold=mounting) + tubes(0), theta=grid)
    turned = study_of(
        BEARING.format(angle=f"{20 + TURN} deg", hold=mounting) + tubes(TURN), theta=grid + radians(TURN)
    )
    one, other = straight.solutions[joint_condition][0], turned.solutions[joint_condition][0]
    for body in ("sleeve", "shell"):
        size = np.abs(one.walls[body].stress).max()
        assert other.walls[body].stress == pytest.approx(one.walls[body].stress, abs=1e-6 * size)
    for name in ("pressure", "shear"):
        size = np.abs(getattr(one.seat, name)).max()
        assert getattr(other.seat, name) == pytest.approx(getattr(one.seat, name), abs=1e-6 * size)


def test_rotating_an_oval_bore_rotates_its_stress():
    grid = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    oval = PARTS.replace(
        "[sleeve]",
        '[shell.out_of_round]\novality = "0.02 mm"\nangle = "{}"\n'
        'three_lobe = "0.008 mm"\nthree_lobe_angle = "{}"\n[sleeve]',
    )
    one = study_of(oval.format("10 deg", "50 deg"), theta=grid).solutions["stuck"][0].walls["shell"].static
    other = study_of(oval.format("47 deg", "87 deg"), theta=grid + radians(TURN))
    turned = other.solutions["stuck"][0].walls["shell"].static
    assert turned == pytest.approx(one, abs=1e-6 * np.abs(one).max())
    assert np.abs(one).max() > 1.0


def test_doubling_the_load_doubles_the_service_part_and_leaves_the_fit():
    text = BEARING.format(angle="20 deg", hold="clamped") + TUBES
    once = study_of(text)
    twice = study_of(edited(text, ("2 kN", "4 kN"), ("300 N", "600 N")))
    for joint_condition in ("stuck", "sliding"):
        a, b = once.solutions[joint_condition][0], twice.solutions[joint_condition][0]
        for body in ("sleeve", "shell"):
            size = np.abs(a.walls[body].stress).max()
            assert b.walls[body].stress == pytest.approx(2.0 * a.walls[body].stress, abs=1e-9 * size)
        assert b.seat.pressure == pytest.approx(2.0 * a.seat.pressure, abs=1e-9)
    fits = [s.nominal.finest for s in (once, twice)]
    assert np.array_equal(fit_surfaces(fits[0], "shell"), fit_surfaces(fits[1], "shell"))


def test_the_expanded_equivalent_stress_is_that_of_the_sum_of_the_tensors():
    service = study_of(CRANK)
    fit, state = let_go_at_high_friction(CRANK), service.solutions["stuck"][0]
    for body in ("sleeve", "shell"):
        pressed, wall = fit_surfaces(fit, body), service.solutions["stuck"][0].walls[body]
        assert np.allclose(wall.z, fit.walls[body].z)
        total = wall.stress + pressed[None, :, :, None, :]
        assert state.walls[body].von_mises(pressed) == pytest.approx(von_mises(total), abs=1e-9)


def test_half_the_rows_through_the_wall_are_enough_for_service():
    """Quadratic elements represent membrane and bending with few rows; 0.4 % measured, limit 1 %."""
    usual, many = study_of(CRANK, rows=4), study_of(CRANK, rows=4)
    many._meshed = lambda mesh, _: mesh.meshed_joint  # the fit's own mesh, twice the rows
    assert many.resolution.elements_through_wall == 4
    for joint_condition in ("stuck", "sliding"):
        for body in ("sleeve", "shell"):
            peaks = [
                von_mises(s.solutions[joint_condition][0].walls[body].stress).max() for s in (usual, many)
            ]
            assert peaks[0] == pytest.approx(peaks[1], rel=0.01)


def test_an_out_of_round_bore_without_loads_has_fields_of_one_case():
    oval = '[shell.out_of_round]\novality = "0.04 mm"\nangle = "30 deg"\n[sleeve]'
    study = study_of(PARTS.replace("[sleeve]", oval, 1))
    assert study.cases == ()
    for solution in (found for solved in study.solutions.values() for found in solved):
        for wall in solution.walls.values():
            assert wall.stress.shape[0] == 1  # no load
            assert np.max(np.abs(wall.static)) > 0.1


def test_loads_and_reactions_balance_without_a_residual():
    case = case_of(CRANK)
    found = service_loads(case.service, case.shell, case.sleeve)
    assert [c.name for c in found.cases] == ["right pedal", "left pedal"]
    for one in found.cases:
        balance = reactions_of(one, case.shell)
        force = sum(np.abs(e.force).sum() for e in balance.loads)
        assert balance.residual_force < 1e-9 * force
        assert balance.residual_moment < 1e-9 * force * case.shell.width
        assert [e.name for e in balance.reactions] == ["tube 1", "tube 2", "tube 3", "tube 4"]
        # the listed loads are the resultants of the tractions
        total = sum(e.force for e in (*balance.loads, *balance.reactions))
        assert total == pytest.approx(np.zeros(3), abs=1e-6)


def test_tubes_in_another_order_keep_their_reactions_by_name():
    """The order of the tables in the case file says nothing about which tube a reaction belongs to."""
    names = ("down tube", "seat tube", "left stay", "right stay")
    parts = TUBES.split("[[service.tube]]\n")[1:]
    named = [f'[[service.tube]]\nname = "{n}"\n{p}' for n, p in zip(names, parts, strict=True)]
    found = []
    for order in ((0, 1, 2, 3), (3, 1, 0, 2)):
        case = case_of(edited(CRANK, (TUBES, "".join(named[k] for k in order))))
        one = service_loads(case.service, case.shell, case.sleeve).cases[0]
        found.append({e.name: e for e in reactions_of(one, case.shell).reactions})
        assert list(found[-1]) == [names[k] for k in order]
    for name in names:
        one, other = (by_name[name] for by_name in found)
        assert other.z == one.z
        assert other.force == pytest.approx(one.force, abs=1e-6)
        assert other.moment == pytest.approx(one.moment, abs=1e-4)


def test_cup_loads_of_the_right_pedal_agree_with_statics():
    """City test by hand: moments about the left bearing, 6 mm; the right one is at 67 mm.

    Pedal: 1000 cos 7.5° down and 1000 sin 7.5° inwards at (a, -a, 36.5 + 150), a = 175 cos 45°; chain:
    1000 cos 7.5° a/75 rearwards at z = 36.5 + 45.
    """
    case = case_of(CRANK)
    one = service_loads(case.service, case.shell, case.sleeve).cases[0]
    right = next(e for e in reactions_of(one, case.shell).loads if e.name == "right cup")
    down, tilt = 1000.0 * np.cos(radians(7.5)), 1000.0 * np.sin(radians(7.5))
    arm = 175.0 * np.cos(radians(45.0))
    chain = down * arm / 75.0
    assert right.force[0] == pytest.approx((tilt * arm - chain * 75.5) / 61.0, rel=1e-9)
    assert right.force[1] == pytest.approx(-(down * 180.5 + tilt * arm) / 61.0, rel=1e-9)


def bent(moment: float, text: str, monkeypatch) -> ServiceStudy:
    """A study whose one load case bends the shell: σ_zz = ±M r cos θ / I on both end faces."""
    case = case_of(text)
    area = []
    E = {"shell": case.shell_material.young_modulus, "sleeve": case.sleeve_material.young_modulus}
    radii = {"sleeve": (17.45, 19.5), "shell": (19.5, 22.0)}
    stiffness = sum(E[b] * np.pi / 4.0 * (o**4 - i**4) for b, (i, o) in radii.items())
    for body, (inner, outer) in radii.items():
        for face, level, sign in (("left", 0.0, -1.0), ("right", 73.0, 1.0)):
            slope = sign * moment * E[body] / stiffness
            area.append(
                traction(
                    f"{body}.{face}",
                    level=level,
                    start=inner,
                    end=outer,
                    factors=(inner, outer),
                    axial=FourierSeries((0.0, slope), (0.0, 0.0)),
                )
            )
    ends = SeatLoad("both end faces", 36.5, tuple(area))
    one = LoadCase("bending", LoadDescription("moments on both ends"), (ends,), (), "test")
    force, turning = resultant(area)
    assert np.abs(force).max() < 1e-6
    assert np.abs(turning).max() < 1e-4
    service = study_of(text)
    loads = replace(service.loads, cases=(one,), cycles=())
    monkeypatch.setattr(service, "_loads", lambda _: loads)
    service.loads = loads
    return service


def test_a_sleeved_tube_in_bending_has_mr_over_i(monkeypatch):
    """σ_zz = E r M cos θ / Σ E I, plane sections staying plane; 0.5 % for the different ν of the two."""
    text = PARTS.replace('material = "E355 steel"', 'material = "6061-T6"')
    moment = 200e3
    state = bent(
        moment,
        text
        + "[service]\ncycles = 1\n"
        + BEARING.split("cycles = 1000\n")[1].format(angle="0 deg", hold="clamped")
        + TUBES,
        monkeypatch,
    ).solutions["stuck"][0]
    inertia = np.pi / 4.0 * (22.0**4 - 17.45**4)
    for body, surface, radius in (("sleeve", 0, 17.45), ("shell", 1, 22.0)):
        wall = state.walls[body]
        middle = int(np.argmin(np.abs(wall.z - 36.5)))
        found = wall.stress[0, surface, middle, :, 2]
        assert found == pytest.approx(
            moment * radius / inertia * np.cos(wall.theta), abs=0.002 * np.abs(found).max()
        )


def test_an_oval_bore_changes_the_contact_pressure_as_in_two_plane_rings():
    """Jump of u_r by -ovality/4 cos 2θ between two sliding rings: polar general solution, plane stress.

    A shell 1 mm wide is a plane ring; 0.1 % measured, limit 0.5 %.
    """
    text = edited(PARTS, ('"73 mm"', '"1 mm"')).replace(
        "[sleeve]", '[shell.out_of_round]\novality = "0.04 mm"\nangle = "30 deg"\n[sleeve]', 1
    )
    case, state = case_of(text), study_of(text).solutions["sliding"][0]
    weight = state.meshed_joint.interface.weight
    steel, aluminium = (
        (m.young_modulus, m.poisson_ratio) for m in (case.sleeve_material, case.shell_material)
    )
    shell = ring_harmonic(
        2, inner_radius=19.5, outer_radius=22.0, material=aluminium, inner_rr=-1.0, condition=PLANE_STRESS
    )
    sleeve = ring_harmonic(
        2, inner_radius=17.45, outer_radius=19.5, material=steel, outer_rr=-1.0, condition=PLANE_STRESS
    )
    expected = 0.01 / (shell.displacement(19.5)[0] - sleeve.displacement(19.5)[0])
    swing = -float(expected) * np.cos(2.0 * (state.theta - radians(30.0)))
    found = weight @ state.static.traction_at(state.theta)[0, :, :, 0] / weight.sum()
    assert found == pytest.approx(swing, abs=0.005 * abs(expected))
