"""A sleeve that stands proud of the shell: the fit against an independent model, mirror images, the corner
at the shell's end, and what the case has to say. Invented sizes."""

from __future__ import annotations

import numpy as np
import pytest
from cup_cases import cups, threaded
from small_cases import PARTS, SLIPS_IN

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of, judged
from hoopwright.cup_load import levers
from hoopwright.discretisation import CORNER_REACH, END_REACH, corners
from hoopwright.fem import Elastic, FitSolver, Resolution, mesh_joint
from hoopwright.geometry import BoreZone, Shell, Sleeve, cylinder
from hoopwright.geometry.joint import joint, stands_proud
from hoopwright.loads.traction import resultant
from hoopwright.study import CaseStudy

SHELL = Shell(20.0, (cylinder(0, 20, 62),), (cylinder(0, 20, 42),))
MATERIALS = {"sleeve": Elastic(205e3, 0.3, 0.0, None), "shell": Elastic(70e3, 0.33, 0.0, None)}
COARSE = Resolution(elements_through_wall=2, at_contact_end=0.02, growth=1.0)


def sleeve_from(start: float, end: float, **more) -> Sleeve:
    outside = (cylinder(start, end, 42.04),)
    return Sleeve(start, end, outside, (BoreZone(start, end, 34.0),), **more)


def fit_of(sleeve: Sleeve) -> dict[str, float]:
    """∫ p dA, N, and inward motion of the bore at mid-shell and at the sleeve's left end, µm."""
    meshed = mesh_joint(joint(SHELL, sleeve), MATERIALS, COARSE)
    fit = FitSolver(meshed.model, meshed.interface).press(meshed.radial_interference(), stuck=False)
    mesh, nodes = meshed.model.mesh, np.unique(meshed.model.mesh.face("sleeve.bore").nodes)
    nodes = nodes[np.argsort(mesh.nodes[1, nodes])]
    middle, end = np.interp([10.0, sleeve.z_start], mesh.nodes[1, nodes], fit.displacement[nodes, 0])
    force = 2.0 * np.pi * np.sum(fit.pressure * meshed.interface.weight)
    return {"force": float(force), "middle": -1e3 * float(middle), "end": -1e3 * float(end)}


# Frictionless, of a model written apart from fem/: the literal weak form on plain nine-node elements, the
# seat tied pair by pair with multipliers; alike on two meshes to 0.05 %.
INDEPENDENT = {
    (0.0, 20.0): {"force": 38550.2, "middle": 7.0294, "end": 7.0294},
    (-3.0, 20.0): {"force": 39587.7, "middle": 6.8825, "end": 3.0806},
    (-3.0, 23.0): {"force": 40854.0, "middle": 6.7043, "end": 3.5360},
    (-8.0, 28.0): {"force": 41188.8, "middle": 6.7160, "end": -0.7712},
}


@pytest.mark.parametrize("ends", INDEPENDENT)
def test_the_fit_of_a_proud_sleeve_agrees_with_an_independent_model(ends):
    """Our proud end is as thick as it was turned, 0.5 % thicker than the model's."""
    found = fit_of(sleeve_from(*ends))
    for name, value in INDEPENDENT[ends].items():
        assert found[name] == pytest.approx(value, rel=2e-3, abs=0.02), name


def test_the_end_of_the_shell_is_a_corner_of_both_bodies_where_the_sleeve_goes_on():
    flush, proud = (joint(SHELL, sleeve_from(start, 20.0)) for start in (0.0, -3.0))
    assert corners(flush, flush.shell) == {0.0: END_REACH, 20.0: END_REACH}
    for body in (proud.shell, proud.sleeve):
        assert corners(proud, body) == {0.0: CORNER_REACH, 20.0: END_REACH}


def test_ends_overlap_and_middle_of_a_joint():
    short, proud = joint(SHELL, sleeve_from(4.0, 18.0)), joint(SHELL, sleeve_from(-9.0, 21.0))
    assert (short.ends, short.overlap, short.middle) == ((0.0, 20.0), (4.0, 18.0), 11.0)
    assert (proud.ends, proud.overlap, proud.middle) == ((-9.0, 21.0), (0.0, 20.0), 10.0)
    assert stands_proud(SHELL, sleeve_from(-9.0, 20.0)) == ("left",)
    assert stands_proud(SHELL, sleeve_from(-9.0, 21.0)) == ("left", "right")


def test_a_load_on_the_proud_end_has_its_mesh_lines():
    meshed = mesh_joint(
        joint(SHELL, sleeve_from(-8.0, 20.0)), MATERIALS, COARSE, load_edges=(-6.5, 3.5, 40.0)
    )
    lines = meshed.model.mesh.bodies["sleeve"].lines
    assert {-6.5, 3.5} <= set(lines.tolist())
    assert 40.0 not in lines


# ---- the case -----------------------------------------------------------------------------------

PROUD = 'proud = "stays"\n'


def proud_case(start: str, length: str, said: str = PROUD, more: str = "") -> str:
    text = SLIPS_IN.replace('length = "16 mm"', f'start = "{start} mm"\nlength = "{length} mm"\n{said}')
    return text.replace("[fit]", f"{more}[fit]")


def faults(text: str) -> list[str]:
    with pytest.raises(CaseError) as raised:
        parse_case(text)
    return [str(fault) for fault in raised.value.faults]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("", "missing, and the sleeve reaches 2 mm beyond the shell's left face and 3 mm beyond"),
        ('proud = "yes"\n', "not a known proud end"),
    ],
)
def test_a_sleeve_that_reaches_beyond_the_shell_must_be_meant_to(said, words):
    (found,) = faults(proud_case("-2", "21", said))
    assert "[sleeve] proud" in found
    assert words in found


def test_a_sleeve_wholly_outside_is_a_fault_of_its_start():
    (found,) = faults(proud_case("-30", "21"))
    assert "[sleeve] start: " in found


def test_proud_without_a_proud_end_changes_nothing_and_is_named():
    idle, meant = parse_case(proud_case("0", "16")), parse_case(proud_case("-2", "18"))
    assert [str(one) for one in idle.without_effect] == [
        "[sleeve] proud changes nothing here: it needs a sleeve that reaches beyond the shell"
    ]
    assert meant.without_effect == ()


def with_cup(start: float, end: float, bears_on: str) -> str:
    both = cups("left", "right", bears_on=bears_on, diameter="50 mm", torque="5 N*m")
    text = proud_case(f"{start:g}", f"{end - start:g}", PROUD if start < 0 or end > 16 else "", both)
    return threaded(text, start, end)


def test_a_cup_cannot_bear_on_the_shell_where_the_sleeve_stands_proud():
    (found,) = faults(with_cup(-2.0, 16.0, "shell"))
    assert "the sleeve stands 2 mm proud of its left face" in found
    parse_case(with_cup(-2.0, 16.0, "sleeve"))


def test_cups_on_a_proud_sleeve_expand_over_its_length():
    """From its own end faces to the middle of each thread: half of 19 mm twice."""
    assert levers(parse_case(with_cup(-2.0, 17.0, "sleeve"))) == pytest.approx(19.0)
    assert levers(parse_case(with_cup(0.0, 16.0, "shell"))) == pytest.approx(16.0)


# ---- mirror images --------------------------------------------------------------------------------


def margins(text: str) -> dict[tuple[str, str], float]:
    case = parse_case(text)
    evidence = evidence_of(case, CaseStudy(case, COARSE))
    return {(c.id, c.stage): c.margin for row in judged(evidence) for c in row.cells}


def same(left: dict, right: dict, *, rel: float = 1e-4) -> None:
    assert left.keys() == right.keys()
    for cell, margin in left.items():
        assert right[cell] == pytest.approx(margin, rel=rel, abs=1e-6), cell


PUSHED = f"""
title = "Small boss, pushed in"
{PARTS}[press]
capacity = "60 kN"
[demand]
axial_force = "1 kN"
[service]
none = "held by a bolt"
"""


def pushed(start: str, length: str, enters_from: str) -> str:
    text = PUSHED.replace('length = "16 mm"', f'start = "{start} mm"\nlength = "{length} mm"\n{PROUD}')
    return text.replace("[press]", f'[press]\nenters_from = "{enters_from}"')


@pytest.mark.parametrize("from_proud_end", [True, pytest.param(False, marks=pytest.mark.slow)])
def test_proud_at_the_left_is_as_proud_at_the_right(from_proud_end):
    sides = ("left", "right") if from_proud_end else ("right", "left")
    left, right = margins(pushed("-2", "18", sides[0])), margins(pushed("0", "18", sides[1]))
    assert left[("ends_crush", "entering")] > 0.0
    same(left, right)


# ---- loads in use ---------------------------------------------------------------------------------


def loaded(side: str) -> str:
    """A bearing on the end that stands 6 mm proud of a thin shell, half of it beyond the face."""
    left = side == "left"
    start, place, clamp = ("-6", (-1, -5, 3), (10, 16)) if left else ("0", (17, 13, 21), (0, 6))
    z, first, last = place
    more = f"""[[service.bearing]]
name = "wheel"
radial = "2 kN"
angle = "90 deg"
axial = "{300 if left else -300} N"
z = "{z} mm"
from = "{first} mm"
to = "{last} mm"
hold = "pressed"
[service.clamped]
from = "{clamp[0]} mm"
to = "{clamp[1]} mm"
"""
    text = pushed(start, "22", side)
    return text.replace('[service]\nnone = "held by a bolt"\n', more).replace("62 mm", "47 mm")


def test_a_load_on_a_proud_end_has_the_whole_force_and_its_mesh_lines():
    case = parse_case(loaded("left"))
    study = CaseStudy(case, COARSE)
    (load,) = study.service.cases
    force, _ = resultant(load.tractions)
    assert force == pytest.approx([0.0, 2000.0, 300.0], abs=1e-6)
    assert {-5.0, 3.0} <= set(study.fine.meshed_joint.model.mesh.bodies["sleeve"].lines.tolist())


@pytest.mark.slow
def test_a_load_on_a_proud_left_end_is_as_one_on_a_proud_right_end():
    left, right = margins(loaded("left")), margins(loaded("right"))
    assert {("shell_yields", "in use"), ("joint_opens", "in use")} <= set(left)
    same(left, right, rel=2e-3)
