"""Heat and cold: change of interference by hand calculation, and the effect of an oven."""

import dataclasses
from functools import cache

import pytest
from friction_paths import Paths
from holding_case import CUPS, WARM, case_of, margins_by_id, text
from reference.sliding import sliding_force

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.temperature import interference_loss_fe
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.fem import Resolution
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy

DEMAND = '[demand]\naxial_force = "2 kN"\n'
OVEN = WARM + 'oven = "190 degC"\noven_time = "20 min"\n'


@cache
def margins(*parts, shift=0.0, swap=False):
    return margins_by_id(pair(*parts, swap=swap), shift)


def pair(*parts, swap=False):
    if not swap:
        return case_of(*parts)
    return parse_case(
        text(*parts)
        .replace("6061-T6", "shell metal")
        .replace("1025 steel", "6061-T6")
        .replace("shell metal", "1025 steel")
    )


def rings(case):
    return {
        "sleeve_bore_radius": 17.399,
        "interface_radius": 20.0,
        "shell_outer_radius": 23.0,
        "sleeve": (case.sleeve_material.young_modulus, case.sleeve_material.poisson_ratio),
        "shell": (case.shell_material.young_modulus, case.shell_material.poisson_ratio),
    }


def held_at_rest(case, interference):
    """μ π d L p by Lamé."""
    p = contact_pressure(radial_interference=0.5 * interference, **rings(case))
    return 0.1 * p * 3.141592653589793 * 40.0 * 60.0


def held_while_pulled(case, interference):
    seat = {"length": 60.0, "friction": 0.1, "radial_interference": 0.5 * interference}
    return sliding_force(**seat, **rings(case), pushed=False)


@pytest.mark.parametrize("swap", [False, True], ids=["steel in aluminium", "aluminium in steel"])
def test_loss_of_interference_by_finite_elements_agrees_with_linear_expansion(swap):
    """d (α_shell − α_sleeve) ΔT at 40 mm over 170 K."""
    case = pair(OVEN, swap=swap)
    study = study_of(case)
    by_hand = 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * 170.0
    assert abs(by_hand) > 0.06
    assert interference_loss_fe(evidence_of(case, study), 170.0).value == pytest.approx(by_hand, rel=1e-6)


def study_of(case):
    return CaseStudy(case, Resolution(elements_through_wall=2))


@pytest.mark.parametrize(
    ("swap", "rise", "named"),
    [(False, 25.0, "45.0 °C"), (True, -30.0, "-10.0 °C")],
    ids=["steel in aluminium when hot", "aluminium in steel when cold"],
)
def test_push_out_capacity_is_lowest_where_the_fit_loses_interference(swap, rise, named):
    """40 µm less 40 × Δα × ΔT: at rest by Lamé, and 5 % less while the sleeve is pulled out."""
    case = pair(DEMAND, WARM, swap=swap)
    left = 0.04 - 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * rise
    assert left < 0.03
    free = study_of(case).at(frictionless(0.0, rise)).finest
    assert 0.1 * free.normal_force == pytest.approx(held_at_rest(case, left), rel=3e-3)
    m = margins(DEMAND, WARM, swap=swap)["loosens"]
    assert m.capacity.value == pytest.approx(held_while_pulled(case, left), rel=1e-3)
    assert m.capacity.value < 0.96 * held_at_rest(case, left)
    assert named in m.basis
    assert m.demand.value == 2000.0


def test_demand_when_hot_is_the_greatest_force_along_the_seat():
    m = margins(CUPS, WARM)
    assert m["loosens"].demand.value == pytest.approx(m["slips_combined"].demand.value, rel=1e-9)
    assert m["loosens"].margin < m["slips_combined"].margin


def test_stress_of_a_cold_aluminium_shell_grows_with_its_interference():
    case = pair(WARM)
    study = study_of(case)
    gained = 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * 30.0
    stress = [
        study.at(frictionless(0.0, rise)).finest.equivalent_peak("shell").value for rise in (0.0, -30.0)
    ]
    assert stress[1] / stress[0] == pytest.approx(1.0 + gained / 0.04, rel=1e-6)


@pytest.mark.parametrize(("swap", "named"), [(False, "-10.0 °C"), (True, "45.0 °C")])
def test_yield_in_heat_and_cold_takes_the_worst_of_all_paths_twice_through_the_temperatures(swap, named):
    """Friction keeps the parts from sliding over each other as they shrink unequally, and the second round
    does not begin where the first did."""
    case = pair(WARM, swap=swap)
    worst, seat = margins(WARM, swap=swap)["yields_warm"], study_of(case).fine.meshed_joint
    strength = {"shell": case.shell_material.yield_strength, "sleeve": case.sleeve_material.yield_strength}
    rounds = 2 * (-30.0, 25.0, 0.0)
    reached = [s for s in Paths(case, seat, 0.0).at_rest(*rounds) if s.temperature_rise]
    used = {s: max(s.von_mises(body) / strength[body] for body in strength) for s in reached}
    assert worst.demand.value / worst.capacity.value == pytest.approx(max(used.values()), rel=1e-6)
    assert max(used.values()) > 1.03 * max(share for s, share in used.items() if not s.friction)
    assert named in worst.basis
    assert "μ = 0.2" in worst.basis


def test_an_oven_that_opens_the_fit_fails_and_the_note_gives_the_opening_temperature():
    """The opening temperature by hand: 20 °C + δ/(d Δα)."""
    m = margins(OVEN)["oven_opens"]
    case = pair(OVEN)
    opens = 20.0 + 0.04 / (40.0 * (case.shell_material.expansion - case.sleeve_material.expansion))
    assert m.state == "fails"
    assert f"{opens:.1f} °C" in m.note
    assert "20 min" in m.basis


def test_an_oven_tightens_aluminium_in_steel():
    m = margins(OVEN, swap=True)["oven_opens"]
    assert m.margin == float("inf")


def test_heat_above_the_limit_of_a_temper_leaves_the_strength_in_doubt():
    hot = OVEN.replace("190 degC", "210 degC")
    assert margins(OVEN)["yields_warm"].doubt == ""
    assert "loses strength for good" in margins(hot)["yields_warm"].doubt


def test_warm_checks_are_not_assessed_without_a_temperature_range():
    m = margins(DEMAND)
    for name in ("loosens", "yields_warm"):
        assert m[name].margin is None
        assert "[temperatures]" in m[name].note
    assert not m["oven_opens"].applies


def test_loss_of_interference_does_not_depend_on_the_interference():
    case = pair(OVEN)
    study = study_of(case)
    whole = evidence_of(case, study)
    losses = [
        interference_loss_fe(dataclasses.replace(whole, least=s, greatest=s), 170.0).value
        for s in (-0.02, 0.03)
    ]
    assert losses[0] == losses[1]


def test_a_reversed_temperature_range_is_reported():
    with pytest.raises(CaseError) as error:
        case_of('[temperatures]\nuse_least = "45 degC"\nuse_most = "-10 degC"\n')
    assert "use_least: above use_most" in str(error.value).replace(' = "45 degC"', "")
