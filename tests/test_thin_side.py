"""A wall that is uneven, by runout or by an outside read out of round, in every row that rests on it."""

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
from hoopwright.checks.thin_side import rise_of_oval, thin_side, thinnest_on_its_thin_side
from hoopwright.checks.wall_left import wall_left
from hoopwright.checks.yields import shell_yields
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
    assert thinnest_on_its_thin_side(read_outside(0.0)).oval == 0.0
    assert thin_side(read_outside(0.0), bent=True).rise == pytest.approx(1.0, abs=1e-3)


def test_runout_alone_is_as_it_was():
    found = evidence(plain_pair().replace("[sleeve]", 'runout = "0.5 mm"\n[sleeve]', 1))
    expected = thin_side_rise(bore=41.0, outside=48.0, runout=0.5)
    assert thin_side(found, bent=False).rise == pytest.approx(expected)


def greatest_hoop(bore, outside, oval):
    """Greatest hoop stress of a plane ring under a pressure of 1 in its bore, its outside oval, all in mm,
    by quadrilaterals of its own over a quarter."""
    mesh = MeshQuad.init_tensor(np.linspace(0.0, 1.0, 7), np.linspace(0.0, 0.5 * np.pi, 61))
    through, theta = mesh.p
    radius = bore + through * (outside + 0.25 * oval * np.cos(2.0 * theta) - bore)
    inner = mesh.facets_satisfying(lambda x: np.isclose(x[0], 0.0))
    ends = (
        mesh.facets_satisfying(lambda x: np.isclose(x[1], 0.0)),
        mesh.facets_satisfying(lambda x: np.isclose(x[1], 0.5 * np.pi)),
    )
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

    load = pressure.assemble(FacetBasis(ring, ElementVector(ElementQuad2()), facets=inner))
    still = [*basis.get_dofs(ends[0]).all("u^2"), *basis.get_dofs(ends[1]).all("u^1")]
    moved = solved(*condense(stiffness.assemble(basis), load, D=np.array(still)))
    strain = sym_grad(basis.interpolate(moved))
    stress = lame * eye(trace(strain), 2) + 2.0 * shear * strain
    x, y = basis.global_coordinates()
    c, s = x / np.hypot(x, y), y / np.hypot(x, y)
    return float(np.max(stress[0, 0] * s * s - 2.0 * stress[0, 1] * s * c + stress[1, 1] * c * c))


@pytest.mark.parametrize(("bore", "outside"), [(20.5, 24.0), (20.5, 22.0), (21.0, 31.0)])
@pytest.mark.parametrize("oval", [0.1, 0.4])
def test_a_plane_ring_with_an_oval_outside_is_stressed_no_more_and_not_much_less(bore, outside, oval):
    """Against finite elements of a ring that share nothing with the formula."""
    rise = greatest_hoop(bore, outside, oval) / greatest_hoop(bore, outside, 0.0)
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
    assert thin_side(evidence(text), bent=bent).rise == pytest.approx(expected)


def test_an_outside_that_may_be_smaller_lowers_the_margin_of_yield_by_its_working():
    known, vague = (
        evidence(plain_pair(shell=f'bore_diameter = "41 mm"\noutside_plus_minus = "{own} mm"'))
        for own in (0, 1)
    )
    found = shell_yields(vague)
    assert found.demand.value / shell_yields(known).demand.value == pytest.approx(1.154, rel=2e-3)
    assert "its outside" in found.basis
    assert WORKINGS["shell_yields"](vague, found).value("t_l") == pytest.approx(3.0)
