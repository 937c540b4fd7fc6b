"""Fits past yield: what extra interference adds, and what stays as permanent deformation."""

from dataclasses import replace

import pytest
from press_cases import lands, press_case
from reference.plastic import mises_limit_pressure

from hoopwright.closed_form.compound_cylinder import compound_cylinder, contact_pressure
from hoopwright.fem import Resolution
from hoopwright.pressing.past_yield import solve_past_yield
from hoopwright.study import CaseStudy

COARSE = Resolution(elements_through_wall=3)


@pytest.fixture(scope="module")
def soft():
    """A shell of 115 MPa yield, 44/39 mm: first yield near 13 MPa of pressure."""
    return CaseStudy(press_case(shell="6061-T6 welded"), COARSE)


def test_within_the_elastic_range_every_micrometre_adds_pressure(soft):
    found = solve_past_yield(soft, greatest=0.0)
    assert not found.plastic
    assert found.last.normal == pytest.approx(found.last.elastic_normal, rel=1e-9)
    assert found.last.remaining == pytest.approx(0.040, rel=1e-9)
    assert found.last.outside_growth == 0.0


def test_past_full_yield_extra_interference_adds_no_pressure_and_stays_as_growth(soft):
    """The limit lies between (Y) and (2/√3 Y) times ln(b/a), Tresca and plane strain von Mises; further
    interference goes into the shell, micrometre for micrometre."""
    found = solve_past_yield(soft, greatest=0.200)
    last, before = found.steps[-1], found.steps[-2]
    pressure = last.normal / (3.14159265 * 39.0 * 73.0)
    limit = mises_limit_pressure(a=19.5, b=22.0, yield_stress=115.0)
    assert 0.866 * limit < pressure < limit
    assert last.gain_share < 0.05
    assert last.bore_growth - before.bore_growth == pytest.approx(
        last.interference - before.interference, rel=0.05
    )
    assert last.remaining < 0.6 * last.interference
    assert last.equivalent["sleeve"] == 0.0
    assert last.normal / last.elastic_normal == pytest.approx(last.remaining / last.interference)


def test_a_soft_sleeve_shrinks_for_good_and_a_hard_shell_springs_back():
    """Interference stays less what the sleeve has lost; its bore closes by more than Lamé has it."""
    case = press_case(shell="4130 steel", outside='outside_diameter = "39.200 mm"')
    soft = replace(case, sleeve_material=replace(case.sleeve_material, yield_strength=150.0))
    last = solve_past_yield(CaseStudy(soft, COARSE), greatest=0.0).last
    assert last.equivalent["sleeve"] > 0.0
    assert last.sleeve_shrink > 0.02
    assert last.remaining == pytest.approx(
        last.interference - last.bore_growth - last.sleeve_shrink, rel=0.01
    )
    steel = (case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio)
    shell = (case.shell_material.young_modulus, case.shell_material.poisson_ratio)
    rings = {"sleeve_bore_radius": 17.45, "interface_radius": 19.5, "shell_outer_radius": 22.0}
    pressure = contact_pressure(radial_interference=0.1, **rings, sleeve=steel, shell=shell)
    elastic = compound_cylinder(pressure=pressure, **rings, sleeve=steel, shell=shell)
    assert last.bore_closure > 1.02 * -2.0 * elastic.sleeve_bore_displacement


def test_the_bore_is_said_to_close_by_what_it_does_where_it_closes_farthest():
    """One land has 40 µm, the other none: the bore closes under the one and stands open under the other."""
    outside = lands("sleeve.outside", (0.0, 36.0, 39.04), (36.0, 73.0, 39.0))
    both = CaseStudy(press_case(), COARSE), CaseStudy(press_case(outside=outside), COARSE)
    even, uneven = (solve_past_yield(study, greatest=0.0).last for study in both)
    assert not even.equivalent["sleeve"]
    assert uneven.bore_closure == pytest.approx(even.bore_closure, rel=0.1)


def test_below_yield_the_bore_closes_as_lame_has_it(soft):
    case = soft.case
    last = solve_past_yield(soft, greatest=0.0).last
    sleeve = (case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio)
    shell = (case.shell_material.young_modulus, case.shell_material.poisson_ratio)
    rings = {"sleeve_bore_radius": 17.45, "interface_radius": 19.5, "shell_outer_radius": 22.0}
    pressure = contact_pressure(radial_interference=0.02, **rings, sleeve=sleeve, shell=shell)
    elastic = compound_cylinder(pressure=pressure, **rings, sleeve=sleeve, shell=shell)
    assert last.bore_closure == pytest.approx(-2.0 * elastic.sleeve_bore_displacement, rel=5e-3)


def test_remaining_interference_is_the_total_less_permanent_deformation(soft):
    """Left of the interference = interference − permanent growth of the bore − shrink of the sleeve."""
    last = solve_past_yield(soft, greatest=0.100).last
    assert last.remaining == pytest.approx(
        last.interference - last.bore_growth - last.sleeve_shrink, rel=0.01
    )
