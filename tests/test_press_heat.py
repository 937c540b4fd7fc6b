"""Heat and cold: temperatures, limits and times against hand calculation."""

from dataclasses import replace

import pytest
from press_cases import press_case

from hoopwright.display import Units
from hoopwright.pressing.heat import DEFAULT_CLEARANCE_SHARE, heat_plan, notes, specific_heat

STEEL, ALUMINIUM = 12.0e-6, 23.4e-6


def plan(press="", *, shell="6061-T6", interference=0.040):
    case = press_case(press=press, shell=shell)
    return case, heat_plan(case, greatest_interference=interference)


def test_shell_temperature_is_the_hand_calculation():
    """ΔT = (δ + gap)/(d α): 0.040 + 0.030 mm over 39 mm; a cold sleeve provides part of it."""
    case, p = plan('[press.heat]\nclearance = "30 um"\nsleeve_cold = "-18 degC"')
    alone, cold = p.ways
    expansion, sleeve = case.shell_material.expansion, case.sleeve_material.expansion
    assert alone.shell_rise_K == pytest.approx(0.070 / 39.0 / expansion, rel=1e-9)
    assert cold.shell_rise_K == pytest.approx((0.070 / 39.0 - sleeve * 38.0) / expansion, rel=1e-9)
    assert alone.gap_mm == pytest.approx(0.030, rel=1e-9)
    assert cold.gap_mm == pytest.approx(0.030, rel=1e-9)


def test_clearance_defaults_to_a_thousandth_of_the_bore():
    _, p = plan()
    assert p.clearance_mm == pytest.approx(DEFAULT_CLEARANCE_SHARE * 39.0)


def test_the_heat_limit_of_the_temper_decides():
    """7020-T6 withstands 120 °C, 6061-T6 about 204 °C; 0.1 mm over 39 mm needs some 130 °C."""
    _, hard = plan(shell="7020-T6", interference=0.060)
    _, soft = plan(shell="6061-T6", interference=0.060)
    assert not hard.ways[0].allowed
    assert hard.ways[0].time_s is None
    assert soft.ways[0].allowed


def test_the_users_own_limit_applies_where_it_is_lower():
    case, p = plan('[press.heat]\nshell_most = "60 degC"')
    assert p.limit_K == pytest.approx(40.0)
    assert not any(option.allowed for option in p.ways)
    assert "No way within 60 °C" in " ".join(notes(case, p, Units("metric")))
    assert "No way within 140 °F" in " ".join(notes(case, p, Units("inch")))


def test_handling_time_follows_lumped_cooling():
    """Shell alone hot: gap gone when ΔT has fallen to δ/(d α); t = τ ln((δ + gap)/δ) with
    τ = ρ c V/(h A), A both cylinders and both ends."""
    case, p = plan('[press.heat]\nclearance = "30 um"\nheat_transfer = 15.0')
    from math import log, pi

    volume = pi / 4 * (44.0**2 - 39.0**2) * 73.0
    area = pi * (44.0 + 39.0) * 73.0 + 2 * pi / 4 * (44.0**2 - 39.0**2)
    tau = case.shell_material.density * 900.0 * volume / area * 1e-3 / 15.0
    assert p.ways[0].time_s == pytest.approx(tau * log(70.0 / 40.0), rel=1e-6)


def test_more_heat_transfer_shortens_the_handling_time():
    _, slow = plan("[press.heat]\nheat_transfer = 10.0")
    _, fast = plan("[press.heat]\nheat_transfer = 30.0")
    assert fast.ways[0].time_s == pytest.approx(slow.ways[0].time_s / 3.0)


@pytest.mark.parametrize(
    ("shell", "kind"),
    [
        ("6061-T6", "aluminium"),
        ("1025 steel", "steel"),
        ("Ti-6Al-4V", "titanium"),
        ("C93200 bronze", "copper alloy"),
    ],
)
def test_metals_are_identified_by_their_density(shell, kind):
    assert specific_heat(press_case(shell=shell).shell_material)[1] == kind


def test_a_welded_shell_gives_a_warning():
    case, p = plan(shell="6061-T6 welded")
    assert "soft already" in " ".join(notes(case, p, Units()))
    unknown = replace(case.shell_material, heat_limit=None, heat_affected_of=None)
    none = replace(case, shell_material=unknown)
    assert "no temper limit is known" in " ".join(notes(none, p, Units()))
