"""Heat and cold: what the fit loses and gains by hand calculation, and what an oven does."""

import dataclasses
from functools import cache

import pytest
from holding_case import CUPS, WARM, case_of, found, text

from fem import Resolution
from hoopwright.case.read import CaseError, parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.warmth import lost_by_fe
from hoopwright.closed_form.compound import contact_pressure
from hoopwright.study import CaseStudy

DEMAND = '[demand]\naxial_force = "2 kN"\n'
OVEN = WARM + 'oven = "190 degC"\noven_time = "20 min"\n'


@cache
def lines(*parts, shift=0.0, swap=False):
    return found(pair(*parts, swap=swap), shift)


def pair(*parts, swap=False):
    if not swap:
        return case_of(*parts)
    return parse_case(text(*parts).replace("6061-T6", "shell metal").replace("1025 steel", "6061-T6")
                      .replace("shell metal", "1025 steel"))


def held_by_lame(case, interference):
    p = contact_pressure(
        radial_interference=0.5 * interference, sleeve_bore_radius=17.399, interface_radius=20.0,
        shell_outer_radius=23.0,
        sleeve=(case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio),
        shell=(case.shell_material.young_modulus, case.shell_material.poisson_ratio))
    return 0.1 * p * 3.141592653589793 * 40.0 * 60.0


@pytest.mark.parametrize("swap", [False, True], ids=["steel in aluminium", "aluminium in steel"])
def test_finite_elements_lose_what_linear_expansion_says(swap):
    """d (α_shell − α_sleeve) ΔT at 40 mm over 170 K."""
    case = pair(OVEN, swap=swap)
    study = study_of(case)
    by_hand = 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * 170.0
    assert abs(by_hand) > 0.06
    assert lost_by_fe(evidence_of(case, study), 170.0).value == pytest.approx(by_hand, rel=1e-6)


def study_of(case):
    return CaseStudy(case, Resolution(elements_through_wall=2))


def test_steel_in_aluminium_holds_least_when_hot():
    """40 µm less 40 × Δα × 25 K, by Lamé where nothing rubs; seats that stick lose a little more, since
    the shell then drags the sleeve longer and so thinner."""
    case = pair(DEMAND, WARM)
    lost = 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * 25.0
    by_hand = held_by_lame(case, 0.04 - lost)
    assert 0.1 * study_of(case).at(0.0, 25.0).free[0].normal_force == pytest.approx(by_hand, rel=3e-3)
    m = lines(DEMAND, WARM)["loosens"]
    assert 0.93 * by_hand < m.capacity.value < by_hand
    assert "45.0 °C" in m.basis
    assert m.demand.value == 2000.0


def test_aluminium_in_steel_holds_least_when_cold():
    case = pair(DEMAND, WARM, swap=True)
    lost = 40.0 * (case.sleeve_material.expansion - case.shell_material.expansion) * 30.0
    by_hand = held_by_lame(case, 0.04 - lost)
    assert 0.1 * study_of(case).at(0.0, -30.0).free[0].normal_force == pytest.approx(by_hand, rel=3e-3)
    m = lines(DEMAND, WARM, swap=True)["loosens"]
    assert 0.93 * by_hand < m.capacity.value < by_hand
    assert "-10.0 °C" in m.basis


def test_demand_in_the_heat_is_the_greatest_force_along_the_seat():
    m = lines(CUPS, WARM)
    assert m["loosens"].demand.value == pytest.approx(m["slips_combined"].demand.value, rel=1e-9)
    assert m["loosens"].margin < m["slips_combined"].margin


def test_cold_tightens_the_aluminium_shell_in_proportion():
    m = lines(WARM)
    case = pair(WARM)
    gained = 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * 30.0
    cold, study = m["yields_warm"], study_of(case)
    stress = [study.at(0.0, rise).free[0].equivalent_peak("shell").value for rise in (0.0, -30.0)]
    assert stress[1] / stress[0] == pytest.approx(1.0 + gained / 0.04, rel=1e-6)
    # Seats that stick add axial stress where the parts want to shrink unequally.
    assert stress[1] < cold.demand.value < 1.4 * stress[1]
    assert "-10.0 °C" in cold.basis


def test_oven_that_takes_more_than_there_is_opens_the_fit_and_says_at_what_temperature():
    """The opening temperature by hand: 20 °C + δ/(d Δα)."""
    m = lines(OVEN)["oven_opens"]
    case = pair(OVEN)
    opens = 20.0 + 0.04 / (40.0 * (case.shell_material.expansion - case.sleeve_material.expansion))
    assert m.state == "fails"
    assert f"{opens:.1f} °C" in m.note
    assert "20 min" in m.basis


def test_oven_tightens_aluminium_in_steel():
    m = lines(OVEN, swap=True)["oven_opens"]
    assert m.margin == float("inf")


def test_heat_beyond_a_temper_leaves_the_strength_in_doubt():
    hot = OVEN.replace("190 degC", "210 degC")
    assert lines(OVEN)["yields_warm"].doubt == ""
    assert "loses strength for good" in lines(hot)["yields_warm"].doubt


def test_nothing_is_judged_without_the_range_of_use():
    m = lines(DEMAND)
    for name in ("loosens", "yields_warm"):
        assert m[name].margin is None
        assert "[temperatures]" in m[name].note
    assert not m["oven_opens"].applies


def test_loss_does_not_depend_on_the_shift_looked_at():
    case = pair(OVEN)
    study = study_of(case)
    whole = evidence_of(case, study)
    losses = [lost_by_fe(dataclasses.replace(whole, least=s, greatest=s), 170.0).value
              for s in (-0.02, 0.03)]
    assert losses[0] == losses[1]


def test_a_range_the_wrong_way_round_is_told():
    with pytest.raises(CaseError) as error:
        case_of('[temperatures]\nuse_least = "45 degC"\nuse_most = "-10 degC"\n')
    assert "use_least: above use_most" in str(error.value).replace(' = "45 degC"', "")
