"""Sleeves as they are made (proud, longer than the shell, with a flange, against a shoulder, bored after
pressing) against a model that shares neither code nor method with `fem/`: see its docstring.

Mean contact pressure, the force while it is pushed or pulled out, and hoop stress away from the ends.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from fem_models import MATERIALS, FrictionPress, friction_press
from independent_sleeve import Body, Pair, Rectangle, Seat
from plain_pair import plain_pair

from hoopwright.case.read import parse_case
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.discretisation import elastic
from hoopwright.fem import PressFit, Resolution, Way
from hoopwright.fem.friction import FrictionFit
from hoopwright.fem.stiffness import Model
from hoopwright.fem.surface_stress import surface_hoop
from hoopwright.geometry import BoreZone, Shell, Sleeve
from hoopwright.geometry.joint import Joint, joint
from hoopwright.geometry.land import cylinder
from hoopwright.state import being_pushed, frictionless
from hoopwright.study import CaseStudy

WITHIN, STRESS_WITHIN = 1e-3, 0.01
"""Of pressure and force, and of stress: both agree far better where the mesh of a check is finer."""
WIDTH, BORE, OUTSIDE, INTERFERENCE, FRICTION = 73.0, 39.0, 44.0, 0.040, 0.1
MIDDLE = 36.5
STATIONS = (2.0, MIDDLE, 57.0)
"""Where stress is compared, z in mm: beside the left face of the shell, at its middle, and near where the
shorter sleeves end."""
EVEN = Resolution(elements_through_wall=2)
"""Half as many rows as a check has by default: the difference is far below what is held here."""


def sleeve(start: float, end: float, *, bore=((None, None, 34.9),), flange: float = 0.0) -> Sleeve:
    """A sleeve for the bore; bore: zones from, to and diameter; flange: diameter of what lies before the
    left face of the shell, mm."""
    turned = BORE + INTERFERENCE
    outside = (cylinder(start, end, turned),)
    if flange:
        outside = (cylinder(start, 0.0, flange), cylinder(0.0, end, turned))
    zones = tuple(
        BoreZone(start if a is None else a, end if b is None else b, diameter) for a, b, diameter in bore
    )
    return Sleeve(start, end, outside, zones)


def shell(shoulder: tuple[float, float] | None = None) -> Shell:
    """A plain shell, or one with a shoulder: z where it begins, and its bore, mm."""
    bore = (cylinder(0.0, WIDTH, BORE),)
    if shoulder is not None:
        bore = (cylinder(0.0, shoulder[0], BORE), cylinder(shoulder[0], WIDTH, shoulder[1]))
    return Shell(WIDTH, (cylinder(0.0, WIDTH, OUTSIDE),), bore)


TWO_BORES = ((None, 20.0, 34.9), (20.0, None, 33.0))
"""Bored to 34.9 mm over the left 20 mm and to 33 mm beyond; the blank has 30 mm all along."""

PARTS = {
    "proud at the left": (shell(), sleeve(-3.0, 60.0)),
    "longer than the shell": (shell(), sleeve(-3.0, 77.0)),
    "flange": (shell(), sleeve(-3.0, 70.0, flange=50.0)),
    "shoulder": (shell((60.0, 36.0)), sleeve(0.0, 60.0)),
    "blank": (shell(), sleeve(0.0, WIDTH, bore=((None, None, 30.0),))),
    "bored after": (shell(), sleeve(0.0, WIDTH, bore=TWO_BORES)),
}


def rectangles(part: Shell | Sleeve) -> tuple[Rectangle, ...]:
    """The half section of a part as it is drawn, not as it is meshed: what stands proud has the bore's
    diameter, as interference is far below any size of the part."""
    start, end = (0.0, part.width) if isinstance(part, Shell) else (part.z_start, part.z_end)
    marks = sorted({start, end, *(x for b in (*part.outside, *part.bore) for x in (b.z_start, b.z_end))})
    found = []
    for a, b in zip(marks[:-1], marks[1:], strict=True):
        inner, outer = (
            next(band for band in bands if band.z_start <= 0.5 * (a + b) <= band.z_end)
            for bands in (part.bore, part.outside)
        )
        r_0 = 0.5 * (inner.mean_diameter if isinstance(part, Shell) else inner.diameter)
        r_1 = 0.5 * outer.mean_diameter
        if not isinstance(part, Shell) and abs(r_1 - 0.5 * BORE) < INTERFERENCE:
            r_1 = 0.5 * BORE
        found.append(Rectangle(r_0, r_1, a, b))
    return tuple(found)


def independent(outer: Shell, inner: Sleeve, *, metals=MATERIALS, interference=INTERFERENCE) -> Pair:
    ends = max(inner.z_start, 0.0), min(inner.z_end, outer.bore[0].z_end)
    bodies = [
        Body(rectangles(part), m.young_modulus, m.poisson_ratio, corners=ends, coarser=coarser)
        for part, m, coarser in ((inner, metals["sleeve"], 1.0), (outer, metals["shell"], 1.13))
    ]
    return Pair(*bodies, (Seat(0.5 * outer.bore[0].mean_diameter, *ends, 0.5 * interference),))


@cache
def solved(name: str) -> tuple[FrictionPress, Pair]:
    return friction_press(joint(*PARTS[name]), resolution=EVEN), independent(*PARTS[name])


def stress_at(model: Model, face: str, displacement: np.ndarray, z: float) -> float:
    """Hoop stress of a fit without friction on a free face, MPa, as a check reports it."""
    at, stress = surface_hoop(model, face, displacement, 0.0)
    order = np.argsort(at)
    return float(np.interp(z, at[order], stress[order]))


def assert_agrees(inner: Sleeve, model: Model, found: PressFit | FrictionFit, weight, pair: Pair) -> None:
    """Pressure and stress of a fit without friction."""
    expected = pair.frictionless()
    mean = float(found.pressure @ weight / weight.sum())
    assert mean == pytest.approx(expected.mean_pressure, rel=WITHIN)
    for z in STATIONS:
        bore = next(0.5 * zone.diameter for zone in inner.bore if zone.z_start <= z <= zone.z_end)
        for face, body, radius in (
            ("sleeve.bore", "sleeve", bore),
            ("shell.outside", "shell", 0.5 * OUTSIDE),
        ):
            stress = getattr(pair, body).hoop(expected.moved[body], radius, z)
            by_check = stress_at(model, face, found.displacement, z)
            assert by_check == pytest.approx(stress, rel=STRESS_WITHIN), (face, z)


def mirrored(pair: Joint) -> Joint:
    """The same joint from its other end."""

    def turn(s):
        ends = {"z_start": WIDTH - s.z_end, "z_end": WIDTH - s.z_start}
        if hasattr(s, "inner_start"):
            ends |= {"inner_start": s.inner_end, "inner_end": s.inner_start}
            ends |= {"outer_start": s.outer_end, "outer_end": s.outer_start}
        else:
            ends |= {"interference_start": s.interference_end, "interference_end": s.interference_start}
        return replace(s, **ends)

    return Joint(*(tuple(map(turn, reversed(part))) for part in (pair.shell, pair.sleeve, pair.seats)))


# ---- the independent model against what is known ---------------------------------------------------


@pytest.mark.slow
def test_the_independent_model_agrees_with_lame_on_a_plain_pair():
    """Two flush cylinders without friction are in plane stress all along: Lamé to seven digits. Pushed
    with friction it agrees with a third model, converged, ∫ p dA 53 247 N (frozen)."""
    pair = independent(shell(), sleeve(0.0, WIDTH))
    fit = pair.frictionless()
    pressure = contact_pressure(
        radial_interference=0.5 * INTERFERENCE,
        sleeve_bore_radius=17.45,
        interface_radius=19.5,
        shell_outer_radius=22.0,
        sleeve=(205e3, 0.29),
        shell=(69e3, 0.33),
    )
    assert fit.mean_pressure == pytest.approx(float(pressure), rel=1e-6)
    hoop = -2.0 * pressure * 19.5**2 / (19.5**2 - 17.45**2), 2.0 * pressure * 19.5**2 / (22.0**2 - 19.5**2)
    assert pair.sleeve.hoop(fit.moved["sleeve"], 17.45, MIDDLE) == pytest.approx(hoop[0], rel=1e-4)
    assert pair.shell.hoop(fit.moved["shell"], 22.0, MIDDLE) == pytest.approx(hoop[1], rel=1e-4)
    pushed = pair.sliding(FRICTION, loaded="left", held="right")
    assert pushed.normal_force == pytest.approx(53247.0, rel=1e-4)


@pytest.mark.slow
def test_the_independent_model_finds_a_short_sleeve_as_two_converged_ones_do():
    """40 mm in the middle of the shell: mean pressure 6.6347 MPa, bore closed by 5.1189 µm on the radius at
    its middle (frozen)."""
    pair = independent(shell(), sleeve(16.5, 56.5))
    fit = pair.frictionless()
    closed = pair.sleeve.along(Seat(17.45, 16.5, 56.5, 0.0), np.array([MIDDLE]), 0) @ fit.moved["sleeve"]
    assert fit.mean_pressure == pytest.approx(6.6347, rel=1e-4)
    assert 1e3 * closed[0] == pytest.approx(-5.1189, rel=1e-3)


# ---- what a check is made of, against it -----------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("name", PARTS)
def test_pressure_push_out_and_stress_agree(name):
    press, pair = solved(name)
    meshed, found = press.meshed_joint, press.solver.fit(press.free())
    assert_agrees(PARTS[name][1], meshed.model, found, meshed.interface.weight, pair)
    for pulled in (True, False):
        force = press.slid(FRICTION, Way(1, pulled=pulled)).normal_force
        expected = pair.sliding(FRICTION, loaded="right" if pulled else "left", held="right")
        assert force == pytest.approx(expected.normal_force, rel=WITHIN), pulled


CASE = plain_pair(
    shell=f'bore_diameter = "{BORE} mm"\nbore_plus_minus = "2 um"',
    sleeve=f"""outside_diameter = "{BORE + INTERFERENCE:.3f} mm"
outside_plus_minus = "2 um"
bore = [
  {{ from = "0 mm", to = "20 mm", diameter = "30 mm", bored_after = "34.9 mm" }},
  {{ from = "20 mm", to = "{WIDTH} mm", diameter = "30 mm", bored_after = "33 mm" }},
]""",
    shell_outside=f"{OUTSIDE} mm",
    length=f"{WIDTH} mm",
).replace('bore_diameter = "35.5 mm"\n', "")


FACED = plain_pair(
    shell=f'bore_diameter = "{BORE} mm"\nbore_plus_minus = "2 um"',
    sleeve=f"""outside_diameter = "{BORE + INTERFERENCE:.3f} mm"
outside_plus_minus = "2 um"
start = "-3 mm"
proud = "faced\"""",
    shell_outside=f"{OUTSIDE} mm",
    length=f"{WIDTH} mm",
    sleeve_bore="33 mm",
)
"""The left end stands 3 mm proud until it is faced: 3 mm of it are missing at the right."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "pressed", "used"),
    [
        (CASE, PARTS["blank"][1], PARTS["bored after"][1]),
        (FACED, *(sleeve(start, 70.0, bore=((None, None, 33.0),)) for start in (-3.0, 0.0))),
    ],
    ids=["bored after", "faced after"],
)
def test_a_case_finished_after_pressing_is_pressed_as_one_sleeve_and_used_as_the_other(text, pressed, used):
    case = parse_case(text)
    study = CaseStudy(case, EVEN)
    metals = {"sleeve": elastic(case.sleeve_material), "shell": elastic(case.shell_material)}
    for blank, inner in ((True, pressed), (False, used)):
        mesh = study.at(frictionless(0.0, 0.0, blank=blank)).finest.mesh
        expected = independent(case.shell, inner, metals=metals)
        found = mesh.press(frictionless(0.0, 0.0, blank=blank))
        joint_ = mesh.meshed_joint
        assert_agrees(inner, joint_.model, found, joint_.interface.weight, expected)
    pulled_out = study.fine.sliding_normal_forces(0.0, 0.0, FRICTION)[0].sum()
    by_other = expected.sliding(FRICTION, loaded="right", held="right")
    assert pulled_out == pytest.approx(by_other.normal_force, rel=WITHIN)
    pushed_in = study.way_in.normal_force(study.way_in.home, 0, being_pushed(case, 0.0, FRICTION))
    as_blank = independent(case.shell, pressed, metals=metals)
    by_other = as_blank.sliding(FRICTION, loaded="left", held="right")
    assert pushed_in == pytest.approx(by_other.normal_force, rel=WITHIN)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["proud at the left", "flange", "shoulder"])
def test_the_mirror_image_is_equal(name):
    press, _ = solved(name)
    other = friction_press(mirrored(joint(*PARTS[name])), resolution=EVEN)
    for pulled in (True, False):
        there, back = (
            one.slid(FRICTION, Way(way, pulled=pulled)) for one, way in ((press, 1), (other, -1))
        )
        assert back.normal_force == pytest.approx(there.normal_force, rel=1e-9)


NECK = replace(PARTS["flange"][1], outside=PARTS["flange"][1].outside[1:])
"""The flanged sleeve by what it says of its flange: its lands are those of the neck."""
STOPS = {
    "flange": (shell(), NECK, {"stop": "left flange"}, (shell(), PARTS["flange"][1])),
    "shoulder": (*PARTS["shoulder"], {"stop": "right shoulder"}, PARTS["shoulder"]),
}
FLANGE = {"flange_diameter": 50.0, "flange_thickness": 3.0}


@pytest.mark.slow
@pytest.mark.parametrize("name", STOPS)
def test_a_stop_is_in_the_mesh(name):
    """What the sleeve says of its stop is meshed as it is drawn."""
    outer, inner, stop, drawn = STOPS[name]
    more = FLANGE if name == "flange" else {}
    press = friction_press(joint(outer, replace(inner, **stop, **more)), resolution=EVEN)
    meshed, found = press.meshed_joint, press.solver.fit(press.free())
    pair = independent(*drawn)
    assert_agrees(inner, meshed.model, found, meshed.interface.weight, pair)
    force = press.slid(FRICTION, Way(1, pulled=True)).normal_force
    expected = pair.sliding(FRICTION, loaded="right", held="right")
    assert force == pytest.approx(expected.normal_force, rel=WITHIN)
