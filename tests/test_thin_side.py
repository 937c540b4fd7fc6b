"""A wall that is uneven or thinner than its sizes, by runout, by an outside read out of round or by a ±, in
every row that rests on it."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from cells import thin_side_rise
from plain_pair import plain_pair
from skfem import (
    Basis,
    BilinearForm,
    ElementQuad2,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshQuad,
    condense,
)
from skfem import solve as solved
from skfem.helpers import ddot, dot, eye, sym_grad, trace

from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.local_strength import THIN, factors_at
from hoopwright.checks.thin_side import governing_wall, rise_of_oval, thin_side
from hoopwright.checks.wall_left import wall_left
from hoopwright.checks.yields import shell_yields, sleeve_yields
from hoopwright.fem import Resolution
from hoopwright.interface import check
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS

BEARING = """
[service]
cycles = 2000000
[[service.bearing]]
radial = "800 N"
z = "10 mm"
from = "3 mm"
to = "17 mm"
hold = "pressed"
[service.clamped]
from = "44 mm"
to = "60 mm"
"""
READ_OUTSIDE = """[[shell.outside]]
from = "0 mm"
to = "60 mm"
gauge = "g"
readings = [
  { z = "10 mm", angles = "0 45 90 135 deg", values = "GREATEST 48.000 LEAST 48.000 mm" },
  { z = "50 mm", angles = "0 45 90 135 deg", values = "GREATEST 48.000 LEAST 48.000 mm" },
]
"""
GAUGE = '[gauge.g]\nresolution = "1 um"\nmax_error = "1 um"\n'


def evidence(text):
    case = parse_case(text)
    return evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=1)))


@cache
def read_outside(oval):
    """A pair whose outside was read out of round, mm."""
    land = READ_OUTSIDE.replace("GREATEST", f"{48 + oval / 2:.3f}").replace("LEAST", f"{48 - oval / 2:.3f}")
    text = plain_pair(more=GAUGE).replace('outside_diameter = "48 mm"\n', 'least_wall = "3 mm"\n', 1)
    return evidence(text.replace("[sleeve]", land + "[sleeve]", 1))


def test_runout_lowers_the_margin_of_fatigue_as_ring_bending_raises_stress():
    """1 mm of runout in a wall of 3.5 mm left the margin of the shell's fatigue as it was."""
    text = plain_pair(more=BEARING, demand="1 kN").replace("through_wall = 2", "through_wall = 1")
    found = [
        {
            row.id: row
            for row in check(parse_case(text.replace("[sleeve]", f'runout = "{r}"\n[sleeve]', 1))).rows
        }
        for r in ("0 mm", "1 mm")
    ]
    for row in ("shell_fatigue_sines", "shell_fatigue_walker"):
        even, uneven = (1.0 + one[row].margin for one in found)
        assert even / uneven == pytest.approx((3.5 / 3.0) ** 2, rel=1e-6)
    even, uneven = (one["sleeve_fatigue_sines"].margin for one in found)
    assert even == pytest.approx(uneven)


def test_what_lowers_fatigue_on_the_thin_side_is_named_with_its_factor():
    found = evidence(
        plain_pair(more='[service]\nnone = "x"\n').replace("[sleeve]", 'runout = "1 mm"\n[sleeve]', 1)
    )
    at = factors_at(found, "shell", SimpleNamespace(z=10.0, surface="outside"))
    assert at == {THIN: pytest.approx((3.0 / 3.5) ** 2)}
    assert factors_at(found, "sleeve", SimpleNamespace(z=10.0, surface="bore")) == {}


def test_an_outside_read_out_of_round_takes_a_quarter_of_that_off_the_wall():
    """The wall is e/4 thinner on the short diameter; it was that of the mean."""
    even, oval = (wall_left(read_outside(e)).capacity.value for e in (0.0, 0.4))
    assert even - oval == pytest.approx(0.1, abs=1e-4)


def test_an_outside_read_out_of_round_raises_the_stress_of_the_shell():
    even, oval = (shell_yields(read_outside(e)).demand.value for e in (0.0, 0.4))
    assert oval / even == pytest.approx(3.5 / 3.4 * (1.0 + 6.0 * 0.05 / 3.4), rel=1e-3)
    assert "its outside" in shell_yields(read_outside(0.4)).basis


def test_an_outside_within_the_scatter_of_its_readings_makes_no_thin_side():
    assert governing_wall(read_outside(0.0), "shell", bent=True).oval == 0.0
    assert thin_side(read_outside(0.0), "shell", bent=True).rise == pytest.approx(1.0, abs=1e-3)


def test_runout_alone_is_as_it_was():
    found = evidence(plain_pair().replace("[sleeve]", 'runout = "0.5 mm"\n[sleeve]', 1))
    expected = thin_side_rise(bore=41.0, outside=48.0, runout=0.5)
    assert thin_side(found, "shell", bent=False).rise == pytest.approx(expected)


def greatest_stress(inner, outer, *, pressed):
    """Greatest principal stress, whatever its sign, of a plane ring under a pressure of 1 at its "inner" or
    its "outer" face, by quadrilaterals of its own over a half. inner, outer: radius by the angle, mm."""
    mesh = MeshQuad.init_tensor(np.linspace(0.0, 1.0, 7), np.linspace(0.0, np.pi, 121))
    through, theta = mesh.p
    radius = (1.0 - through) * inner(theta) + through * outer(theta)
    face = mesh.facets_satisfying(lambda x: np.isclose(x[0], 0.0 if pressed == "inner" else 1.0))
    cut = mesh.facets_satisfying(lambda x: np.isclose(np.sin(x[1]), 0.0))
    ring = MeshQuad(np.array([radius * np.cos(theta), radius * np.sin(theta)]), mesh.t)
    basis = Basis(ring, ElementVector(ElementQuad2()))
    lame, shear = 0.33 / (1.33 * 0.34), 0.5 / 1.33

    @BilinearForm
    def stiffness(u, v, _):
        strain = sym_grad(u)
        return ddot(lame * eye(trace(strain), 2) + 2.0 * shear * strain, sym_grad(v))

    @LinearForm
    def pressure(v, w):
        return -dot(w.n, v)

    load = pressure.assemble(FacetBasis(ring, ElementVector(ElementQuad2()), facets=face))
    still = [*basis.get_dofs(cut).all("u^2"), basis.get_dofs(cut).all("u^1")[0]]
    moved = solved(*condense(stiffness.assemble(basis), load, D=np.array(still)))
    strain = sym_grad(basis.interpolate(moved))
    stress = lame * eye(trace(strain), 2) + 2.0 * shear * strain
    mean = 0.5 * (stress[0, 0] + stress[1, 1])
    return float(np.max(np.abs(mean) + np.hypot(0.5 * (stress[0, 0] - stress[1, 1]), stress[0, 1])))


@pytest.mark.parametrize(("bore", "outside"), [(20.5, 24.0), (20.5, 22.0), (21.0, 31.0)])
@pytest.mark.parametrize("oval", [0.1, 0.4])
def test_a_plane_ring_with_an_oval_outside_is_stressed_no_more_and_not_much_less(bore, outside, oval):
    """Against finite elements of a ring that share nothing with the formula."""

    def stressed(by):
        return greatest_stress(
            lambda theta: np.full_like(theta, bore),
            lambda theta: outside + 0.25 * by * np.cos(2.0 * theta),
            pressed="inner",
        )

    rise = stressed(oval) / stressed(0.0)
    by_hand = rise_of_oval(outside - bore, oval)
    assert rise <= by_hand * 1.002
    assert by_hand - 1.0 <= 3.0 * (rise - 1.0)


@pytest.mark.parametrize("bent", [False, True])
def test_an_outside_that_may_be_smaller_raises_the_stress_of_the_shell(bent):
    """Known to ± 1 mm it lowered the wall left, and no stress: a shell of 47 mm under the same pressure
    carries by Lamé (b² + a²)/(b² − a²) of it, and bends by the square of its wall."""
    text = plain_pair(shell='bore_diameter = "41 mm"\noutside_plus_minus = "1 mm"')
    least, sized = ((b**2 + 20.5**2) / (b**2 - 20.5**2) for b in (23.5, 24.0))
    expected = max(least / sized, (3.5 / 3.0) ** 2 if bent else 1.0)
    assert thin_side(evidence(text), "shell", bent=bent).rise == pytest.approx(expected)


def test_an_outside_that_may_be_smaller_lowers_the_margin_of_yield_by_its_working():
    known, vague = (
        evidence(plain_pair(shell=f'bore_diameter = "41 mm"\noutside_plus_minus = "{own} mm"'))
        for own in (0, 1)
    )
    found = shell_yields(vague)
    assert found.demand.value / shell_yields(known).demand.value == pytest.approx(1.154, rel=2e-3)
    assert "its outside" in found.basis
    assert WORKINGS["shell_yields"](vague, found).value("t_l") == pytest.approx(3.0)


SLEEVE_OF_DRAWING = """[drawing.sleeve]
bore_runout = "0.4 mm"
bore_plus_minus = "0.2 mm"
"""


@pytest.mark.parametrize(("bore", "outside"), [(17.75, 20.5), (19.0, 20.5), (12.0, 20.5)])
@pytest.mark.parametrize("eccentricity", [0.05, 0.2])
def test_the_rise_bounds_that_of_a_plane_ring_under_pressure_from_outside(bore, outside, eccentricity):
    """A sleeve is pressed on from outside, where the rise is less than from inside, by which it is judged;
    against finite elements of a ring that share nothing with the formula."""

    def stressed(e, pressed):
        return greatest_stress(
            lambda theta: e * np.cos(theta) + np.sqrt(bore**2 - (e * np.sin(theta)) ** 2),
            lambda theta: np.full_like(theta, outside),
            pressed=pressed,
        )

    rise = stressed(eccentricity, "outer") / stressed(0.0, "outer")
    judged = thin_side_rise(bore=2.0 * bore, outside=2.0 * outside, runout=2.0 * eccentricity)
    assert rise <= judged * 1.001
    assert judged - 1.0 <= 1.6 * (rise - 1.0)
    inside = stressed(eccentricity, "inner") / stressed(0.0, "inner")
    assert judged == pytest.approx(inside, rel=4e-3)


def test_a_bore_off_centre_and_larger_raises_the_stress_of_the_sleeve_and_no_other():
    """0.4 mm of runout and ± 0.2 mm on the bore of a wall of 2.75 mm changed nothing."""
    even, uneven = (evidence(plain_pair(more=more)) for more in ("", SLEEVE_OF_DRAWING))
    found = sleeve_yields(uneven)
    expected = thin_side_rise(bore=35.7, outside=41.0, runout=0.4) * (
        ((41.0**2 + 35.7**2) / (41.0**2 - 35.7**2)) / ((41.0**2 + 35.5**2) / (41.0**2 - 35.5**2))
    )
    assert found.demand.value / sleeve_yields(even).demand.value == pytest.approx(expected, rel=1e-6)
    assert "[drawing.sleeve] bore_runout and [drawing.sleeve] bore_plus_minus" in found.basis
    assert shell_yields(uneven).demand.value == shell_yields(even).demand.value
    sheet = WORKINGS["sleeve_yields"](uneven, found)
    assert sheet.value("t_l") == pytest.approx(2.75 - 0.1 - 0.2)
    assert sheet.value("k_w") == pytest.approx(expected)


def test_it_lowers_the_fatigue_of_the_sleeve_as_ring_bending_does():
    text = plain_pair(more=BEARING + SLEEVE_OF_DRAWING, demand="1 kN")
    at = factors_at(evidence(text), "sleeve", SimpleNamespace(z=10.0, surface="outside"))
    assert at == {THIN: pytest.approx(((2.75 - 0.3) / 2.75) ** 2)}


def test_a_threaded_zone_goes_by_the_runout_of_its_thread_and_the_more_uneven_zone_governs():
    bore = """bore = [
  { from = "0 mm", to = "20 mm", thread = "36 mm x 24 tpi right" },
  { from = "20 mm", to = "60 mm", diameter = "35 mm" },
]"""
    text = plain_pair().replace('bore_diameter = "35.5 mm"', bore)
    for more, runout, by in (
        ("", 0.0, "thread_runout"),
        ('[drawing.sleeve]\nthread_runout = "0.1 mm"\n', 0.1, "thread_runout"),
        # the thread is thinner and runs true: it hid the runout of the bore
        ('[drawing.sleeve]\nbore_runout = "0.8 mm"\n', 0.8, "bore_runout"),
        ('[drawing.sleeve]\nbore_runout = "2.4 mm"\nbore_plus_minus = "0.1 mm"\n', 2.4, "bore_runout"),
    ):
        found = governing_wall(evidence(text + more), "sleeve", bent=False)
        assert found.runout == runout
        assert found.by == f"[drawing.sleeve] {by}"


def test_a_sleeve_without_wall_on_its_thin_side_fails():
    text = plain_pair(sleeve_bore="39 mm", more='[drawing.sleeve]\nbore_runout = "2.2 mm"\n')
    found = sleeve_yields(evidence(text))
    assert found.margin == -1.0
    assert "[drawing.sleeve] bore_runout leaves" in found.basis


@pytest.mark.parametrize("bored", ["", 'bored_after = "35.5 mm"\n'])
def test_every_stage_of_the_sleeve_has_its_thin_side_in_heat_and_cold_and_under_loads(bored):
    """By even pressure where no load bends the wall, by bending where one does; a sleeve that is bored
    after pressing has it from the start."""
    heat = '[temperatures]\nuse_least = "-5 degC"\nuse_most = "40 degC"\n[press]\ncapacity = "100 kN"\n'
    text = plain_pair(more=BEARING + heat, demand="1 kN").replace("through_wall = 2", "through_wall = 1")
    if bored:
        text = text.replace('bore_diameter = "35.5 mm"\n', f'bore_diameter = "34 mm"\n{bored}')
    even, uneven = evidence(text), evidence(text + SLEEVE_OF_DRAWING)
    rise = {bent: thin_side(uneven, "sleeve", bent=bent).rise for bent in (False, True)}
    assert 1.1 < rise[False] < rise[True]
    cells = zip(sleeve_yields(even).cells, sleeve_yields(uneven).cells, strict=True)
    found = {one.stage: other.demand.value / one.demand.value for one, other in cells}
    assert {"entering", "pressed", "in use"} <= set(found)
    in_use = found.pop("in use")  # solved on finer meshes where it may govern its row, as it may only then
    assert in_use == pytest.approx(rise[True], rel=2e-3)
    assert list(found.values()) == [pytest.approx(rise[False], rel=1e-6)] * len(found)
