"""Heat and cold: change of interference by hand calculation, and the effect of an oven."""

from dataclasses import replace
from functools import cache

import pytest
from cells import cell_of, stages_of
from friction_paths import Paths
from holding_case import CUPS, WARM, case_of, evidence_at, margins_by_id, text
from reference.sliding import sliding_force

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks.margin import worst_of
from hoopwright.checks.sleeve_loads import cup_moves
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.checks.stays_tight import interference_lost, stays_tight
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.fem import Resolution
from hoopwright.left_out import left_out
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
    """d (α_shell − α_sleeve) ΔT at 40 mm over 170 K, α of the steel the mean over them."""
    case = pair(OVEN, swap=swap)
    by_hand = 40.0 * (case.shell_material.free_strain(170.0) - case.sleeve_material.free_strain(170.0))
    assert abs(by_hand) > 0.06
    assert interference_lost(study_of(case), 170.0).value == pytest.approx(by_hand, rel=1e-6)
    oven = cell_of(margins(OVEN, swap=swap)["stays_tight"], "oven")
    assert oven.demand.value == pytest.approx(max(1e3 * by_hand, 0.0), rel=1e-6)


def study_of(case):
    return CaseStudy(case, Resolution(elements_through_wall=2))


@pytest.mark.parametrize(
    ("swap", "rise"),
    [(False, 25.0), (True, -30.0)],
    ids=["steel in aluminium when hot", "aluminium in steel when cold"],
)
def test_push_out_capacity_is_lowest_where_the_fit_loses_interference(swap, rise):
    """40 µm less 40 × Δα × ΔT: at rest by Lamé, and 5 % less while the sleeve is pulled out."""
    case = pair(DEMAND, WARM, swap=swap)
    left = 0.04 - 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * rise
    assert left < 0.03
    free = study_of(case).at(frictionless(0.0, rise)).finest
    assert 0.1 * free.normal_force == pytest.approx(held_at_rest(case, left), rel=3e-3)
    found = margins(DEMAND, WARM, swap=swap)
    assert cell_of(found["stays_tight"], "in use").demand.value == pytest.approx(
        40.0 - 1e3 * left, rel=1e-6
    )
    row = found["pushed_out"]
    m = cell_of(row, "in use")
    assert m.capacity.value == pytest.approx(held_while_pulled(case, left), rel=1e-3)
    assert m.capacity.value < 0.96 * held_at_rest(case, left)
    assert m.when.temperature_rise == rise
    assert m.demand.value == 2000.0
    assert row.margin == m.margin < cell_of(row, "pressed").margin


def test_demand_when_hot_is_the_greatest_force_along_the_seat():
    """Of one cup tightened or undone, on the 20 mm of the seat; the grip is that of 45 °C."""
    cold, hot = (cell_of(margins(*parts)["slips_combined"], "cups") for parts in ((CUPS,), (CUPS, WARM)))
    by_hand = max(act.resultant(20.0) for act in cup_moves(case_of(CUPS)) if act.axial and act.torque)
    assert hot.demand.value == pytest.approx(by_hand, rel=1e-3)
    assert hot.demand.value == pytest.approx(cold.demand.value, rel=1e-9)
    assert hot.when.temperature_rise == 25.0
    assert hot.margin < cold.margin


def test_stress_of_a_cold_aluminium_shell_grows_with_its_interference():
    case = pair(WARM)
    study = study_of(case)
    gained = 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * 30.0
    stress = [
        study.at(frictionless(0.0, rise)).finest.equivalent_peak("shell").value for rise in (0.0, -30.0)
    ]
    assert stress[1] / stress[0] == pytest.approx(1.0 + gained / 0.04, rel=1e-6)


@pytest.mark.parametrize(("swap", "rise"), [(False, -30.0), (True, 25.0)])
def test_yield_in_heat_and_cold_takes_the_worst_of_all_paths_twice_through_the_temperatures(swap, rise):
    """Friction keeps the parts from sliding over each other as they shrink unequally, and the second round
    does not begin where the first did."""
    case = pair(WARM, swap=swap)
    seat = study_of(case).fine.meshed_joint
    worst = worst_of(
        [cell_of(margins(WARM, swap=swap)[f"{body}_yields"], "in use") for body in ("shell", "sleeve")]
    )
    strength = {"shell": case.shell_material.yield_strength, "sleeve": case.sleeve_material.yield_strength}
    rounds = 2 * (-30.0, 25.0, 0.0)
    reached = [s for s in Paths(case, seat, 0.0).at_rest(*rounds) if s.temperature_rise]
    used = {s: max(s.von_mises(body) / strength[body] for body in strength) for s in reached}
    evidence = evidence_at(case)
    for body in ("shell", "sleeve"):
        greatest = greatest_stress(evidence, body, "in use").value.value
        assert greatest == pytest.approx(max(s.von_mises(body) for s in reached), rel=1e-6)
    assert abs(worst.demand.value / worst.capacity.value - max(used.values())) <= (
        worst.demand.error / worst.capacity.value
    )
    assert max(used.values()) > 1.03 * max(share for s, share in used.items() if not s.friction)
    assert worst.when.temperature_rise == rise
    assert worst.when.friction == "μ = 0.2"


def test_an_oven_that_opens_the_fit_fails_and_the_note_gives_the_opening_temperature():
    """The opening temperature by hand: 20 °C + δ/(d Δα), α of the steel the mean up to it, 11.26e-6."""
    row = margins(OVEN)["stays_tight"]
    m = cell_of(row, "oven")
    opens = 20.0 + 0.04 / (40.0 * (23.4e-6 - 11.26e-6))
    assert row.state == m.state == "fails"
    assert f"{opens:.1f} °C" in m.note
    assert "20 min" in m.basis


@pytest.mark.parametrize("bench", [-10, 40])
def test_what_heat_leaves_of_the_fit_does_not_depend_on_the_bench(bench):
    """Sizes are those at 20 °C: a warm bench has taken its part before anything is pressed."""
    case = pair(OVEN)
    warm = replace(case, press=replace(case.press, temperature_rise_K=bench - 20.0))
    cold, found = (stays_tight(evidence_at(one)) for one in (case, warm))
    for stage in ("in use", "oven"):
        assert cell_of(found, stage).margin == pytest.approx(cell_of(cold, stage).margin, rel=1e-6)
        assert cell_of(found, stage).note == cell_of(cold, stage).note
    assert cell_of(found, "in use").note == ""
    taken = 1e3 * 40.0 * (case.shell_material.expansion - case.sleeve_material.expansion) * (bench - 20.0)
    pressed = cell_of(found, "pressed")
    assert pressed.demand.value == pytest.approx(max(taken, 0.0), rel=1e-6)
    assert pressed.capacity.value == pytest.approx(40.0)


def test_an_oven_tightens_aluminium_in_steel():
    m = cell_of(margins(OVEN, swap=True)["stays_tight"], "oven")
    assert m.margin == float("inf")


def test_heat_above_the_limit_of_a_temper_leaves_the_strength_in_doubt():
    hot = OVEN.replace("190 degC", "225 degC")
    before, after = margins(OVEN)["shell_yields"], margins(hot)["shell_yields"]
    assert stages_of(before) == stages_of(after) == ["entering", "pressed", "in use", "oven"]
    assert [cell.doubt for cell in before.cells] == 4 * [""]
    assert [cell.doubt for cell in after.cells[:2]] == ["", ""]
    assert all("loses strength for good" in cell.doubt for cell in after.cells[2:])
    assert after.state != "holds"


def test_heat_and_cold_are_not_assessed_without_a_temperature_range():
    """What is left out is said of the whole."""
    m = margins(DEMAND)
    for name in ("pushed_out", "stays_tight"):
        assert stages_of(m[name]) == ["pressed"]
    assert stages_of(m["shell_yields"]) == stages_of(m["sleeve_yields"]) == ["entering", "pressed"]
    assert "no range of temperature in use is given" in left_out(pair(DEMAND), tuple(m.values()))


def test_loss_of_interference_does_not_depend_on_the_interference():
    loose, tight = (cell_of(margins(OVEN, shift=s)["stays_tight"], "oven") for s in (-0.02, 0.03))
    assert loose.demand.value == pytest.approx(tight.demand.value, rel=1e-9)
    assert tight.capacity.value - loose.capacity.value == pytest.approx(50.0, rel=1e-9)
    # nor on that at which it is measured, which is a multiple of the interference of the sizes
    measured = [
        interference_lost(study_of(parse_case(text(OVEN).replace("40.04 mm", size))), 170.0).value
        for size in ("40.01 mm", "40.04 mm", "40.12 mm")
    ]
    assert measured == pytest.approx(3 * [measured[1]], rel=1e-6)


def test_a_reversed_temperature_range_is_reported():
    with pytest.raises(CaseError) as error:
        case_of('[temperatures]\nuse_least = "45 degC"\nuse_most = "-10 degC"\n')
    assert "use_least: above use_most" in str(error.value).replace(' = "45 degC"', "")
