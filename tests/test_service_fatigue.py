"""Fatigue criteria against published forms and hand calculation, on invented stress."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from reference.fatigue import sines_slope, sines_stress, swt_amplitude, walker_amplitude
from service_cases import CRANK, case_of, edited

from hoopwright.case.service_model import Endurance, FatigueInput
from hoopwright.closed_form.fatigue import sqrt_j2_amplitude
from hoopwright.closed_form.fatigue_life import sn_cycles
from hoopwright.materials import table
from hoopwright.service.cyclic import CyclicField, sqrt_j2_radius
from hoopwright.service.fatigue_strength import FatigueStrength, fatigue_strength_of
from hoopwright.service.fields import WallField
from hoopwright.service.sn_line import LEAST_AMPLITUDE, SNLine

PLAIN = FatigueInput(surface=1.0, reliability=0.5)
"""The mean of the tests."""

TESTED = {key: metal.fatigue for key, metal in table().items() if metal.fatigue is not None}


def field(*instants: list[float]) -> CyclicField:
    """One point, its stress at each instant of the cycle."""
    stress = np.array(instants, dtype=float).reshape(-1, 1, 1, 1, 6)
    stress = np.repeat(stress, 2, axis=1)
    one = np.ones((2, 1))
    wall = WallField(np.zeros(1), one, np.zeros(1), stress, np.zeros(stress.shape[1:]))
    return CyclicField(wall, tuple(range(k, k + 1) for k in range(len(instants))))


def still(*stress: float) -> np.ndarray:
    return np.tile(np.array(stress, dtype=float), (2, 1, 1))


def strength(material: str, **factors: float) -> FatigueStrength:
    case = replace(case_of(CRANK), shell_material=table()[material], fatigue=replace(PLAIN, **factors))
    found = fatigue_strength_of(case, "shell")
    assert isinstance(found, FatigueStrength)
    return found


def hoop(value: float) -> list[float]:
    return [0.0, value, 0.0, 0.0, 0.0, 0.0]


NO_FIT = still(0, 0, 0, 0, 0, 0)


def as_tested(material: str) -> FatigueStrength:
    """The mean of the tests, of the metal tested."""
    return FatigueStrength(table()[material].fatigue, {}, "")


def test_fully_reversed_strength_is_that_of_the_published_curve():
    """MIL-HDBK-5J, R = -1, 1e6 cycles (from memory): 6061-T6 20.0 ksi, of metal of 45 ksi."""
    assert as_tested("6061-T6").amplitude(1e6) / 6.894757 == pytest.approx(20.0, abs=0.1)
    ratio = 260.0 / (45.0 * 6.894757)
    assert strength("6061-T6").amplitude(1e6) == pytest.approx(
        ratio * as_tested("6061-T6").amplitude(1e6), rel=1e-6
    )


@pytest.mark.parametrize("criterion", ["sines", "walker"])
@pytest.mark.parametrize(("lowest", "highest"), [(-80.0, 80.0), (0.0, 120.0)])
def test_both_criteria_give_the_life_of_the_curve_for_one_axis_at_r_minus_one_and_zero(
    criterion, lowest, highest
):
    s = as_tested("6061-T6")
    equivalent = float(getattr(field(hoop(lowest), hoop(highest)), criterion)(NO_FIT, s).max())
    assert s.cycles(equivalent) == pytest.approx(
        sn_cycles(stress_max=highest, stress_ratio=lowest / highest, curve=s.data), rel=1e-9
    )


def test_walker_gives_the_life_of_the_curve_at_any_ratio_it_is_used_for_with_the_fit_as_mean():
    """Service stress cycles over ±90 MPa on top of a fit of 30 MPa: S_max 120, R = -0.5."""
    s = as_tested("6061-T6")
    found = field(hoop(-90.0), hoop(90.0)).walker(still(*hoop(30.0)), s)
    assert s.cycles(float(found.max())) == pytest.approx(
        sn_cycles(stress_max=120.0, stress_ratio=-0.5, curve=s.data), rel=1e-9
    )


def test_walker_is_the_published_form_on_the_worst_plane_of_a_biaxial_cycle():
    """Hoop 0 to 60 on a fit of 90 MPa, axial ±70 on 40 MPa: each plane's normal stress by hand, the
    greatest amplitude of all planes counts."""
    s = replace(as_tested("6061-T6"), data=replace(as_tested("6061-T6").data, max_stress_ratio=0.9))
    lowest, highest = [0.0, 0.0, -70.0, 0.0, 0.0, 0.0], [0.0, 60.0, 70.0, 0.0, 0.0, 0.0]
    found = float(field(lowest, highest).walker(still(0, 90, 40, 0, 0, 0), s).max())
    amplitudes = []
    for plane in np.radians(np.arange(0.0, 180.0, 15.0)):
        hoop_part, axial_part = np.cos(plane) ** 2, np.sin(plane) ** 2
        least = 90.0 * hoop_part + (40.0 - 70.0) * axial_part
        greatest = (90.0 + 60.0) * hoop_part + (40.0 + 70.0) * axial_part
        amplitudes.append(
            walker_amplitude(stress_max=greatest, stress_ratio=least / greatest, gamma=s.gamma)
        )
    assert found == pytest.approx(max(amplitudes), rel=1e-12)


def test_user_data_is_corrected_by_smith_watson_topper():
    data = Endurance(100.0, 1e7, 8.0, "invented")
    s = FatigueStrength(data, {}, "")
    found = field(hoop(0.0), hoop(60.0)).walker(still(*hoop(90.0)), s)
    assert float(found.max()) == pytest.approx(swt_amplitude(amplitude=30.0, mean=120.0))
    assert s.amplitude(1e7) == pytest.approx(100.0, rel=1e-12)
    assert s.cycles(50.0) == pytest.approx(1e7 * 2.0**8)


def test_sines_is_the_published_form_under_multiaxial_stress():
    """Sines 1959 (from memory): √J2,a + k σ_H,mean <= t, k from s at R = -1 and f at R = 0, t = s/√3."""
    s = as_tested("6061-T6")
    limit = s.amplitude(1e6)
    f = limit / 2.0 ** (1.0 - s.gamma)
    swing = [10.0, 60.0, 40.0, 0.0, 0.0, 25.0]
    found = float(field([0.0] * 6, swing).sines(still(5, 70, 20, 0, 0, 0), s).max())
    amplitude = float(sqrt_j2_amplitude(np.array([[0.0] * 6, swing])))
    mean = (110.0 / 2.0 + 95.0) / 3.0
    slope = sines_slope(torsion_limit=limit / np.sqrt(3.0), repeated_limit=f)
    published = sines_stress(
        sqrt_j2_amplitude=amplitude,
        hydrostatic_mean=mean,
        torsion_limit=limit / np.sqrt(3.0),
        repeated_limit=f,
    )
    assert slope > 0.0
    assert found / np.sqrt(3.0) == pytest.approx(float(published), rel=1e-9)


def test_walker_finds_the_plane_at_45_degrees_of_pure_shear():
    """τ_θz = ±50: ±50 MPa of normal stress at 45°, on a plane of the set."""
    s = strength("6061-T6")
    found = field([0, 0, 0, 0, 0, -50.0], [0, 0, 0, 0, 0, 50.0]).walker(NO_FIT, s)
    assert float(found.max()) == pytest.approx(50.0, rel=1e-9)


@pytest.mark.parametrize("criterion", ["sines", "walker"])
def test_compressive_fit_stress_earns_no_credit(criterion):
    s = strength("6061-T6")
    one = field(hoop(-50.0), hoop(50.0))
    assert getattr(one, criterion)(still(*hoop(-200.0)), s) == pytest.approx(
        getattr(one, criterion)(NO_FIT, s)
    )


def test_the_smallest_ball_around_three_instants_agrees_with_the_general_search():
    rng = np.random.default_rng(3)
    history = rng.normal(size=(3, 200, 6)) * 50.0
    exact, searched = sqrt_j2_radius(history), sqrt_j2_amplitude(history, iterations=4000)
    assert np.all(exact <= searched * (1.0 + 1e-9))
    assert exact == pytest.approx(searched, rel=5e-3)


def test_heat_affected_metal_takes_the_parent_curve_with_a_reported_knock_down():
    welded, parent = table()["6061-T6 welded"], table()["6061-T6"]
    ratio = welded.ultimate_strength / parent.ultimate_strength
    own = strength("6061-T6 welded")
    assert own.amplitude(1e6) == pytest.approx(ratio * strength("6061-T6").amplitude(1e6))
    assert f"heat-affected {ratio:.3g}" in own.factors_text
    changed = strength("6061-T6 welded", heat_affected=0.5)
    assert changed.amplitude(1e6) == pytest.approx(0.5 * strength("6061-T6").amplitude(1e6))
    assert "[fatigue] heat_affected" in changed.source


def test_the_surface_lowers_the_strength_and_yield_caps_it():
    rough = strength("6061-T6", surface=0.8)
    assert rough.amplitude(1e5) == pytest.approx(0.8 * strength("6061-T6").amplitude(1e5))
    assert rough.cycles(rough.amplitude(1e5)) == pytest.approx(1e5)
    soft = strength("6061-T6 welded")
    mean = as_tested("6061-T6").amplitude(1e4) * 175.0 / (45.0 * 6.894757)
    assert soft.yielding < mean
    assert soft.amplitude(1e4) == soft.amplitude(1.0) == soft.yielding == 115.0
    assert soft.cycles(1.01 * 115.0) < 1.0  # not even one cycle is promised


def test_metal_without_data_is_not_assessed_and_the_note_says_what_to_give():
    case = replace(case_of(CRANK), shell_material=table()["1025 steel"])
    assert "give [fatigue.shell]" in fatigue_strength_of(case, "shell")
    given = edited(CRANK, ('"6061-T6"', '"1025 steel"')) + (
        '[fatigue.shell]\namplitude = "200 MPa"\nat_cycles = 1000000\nslope = 9\nsource = "invented"\n'
    )
    found = fatigue_strength_of(case_of(given), "shell")
    assert isinstance(found, FatigueStrength)
    assert found.amplitude(1e6) == pytest.approx((1.0 - 0.08 * 2.326348) * 200.0)
    scattered = fatigue_strength_of(case_of(given + "scatter = 0.3\n"), "shell")
    assert isinstance(scattered, FatigueStrength)
    assert scattered.amplitude(1e6) == pytest.approx(10.0 ** (-2.326348 * 0.3 / 9.0) * 200.0)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(
    "data", [*TESTED.values(), Endurance(100.0, 1e6, 50.0, "invented")], ids=[*TESTED, "own"]
)
def test_an_amplitude_next_to_none_lasts_beyond_all_numbers_without_a_warning(data):
    """Its life overflowed, and a warning of numpy stood on the screen beside the verdict."""
    line = SNLine.of(data)
    assert line.cycles(np.array([LEAST_AMPLITUDE]))[0] > 1e15
