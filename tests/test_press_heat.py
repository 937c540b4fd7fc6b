"""Heat and cold: temperatures, limits and times against hand calculation."""

from dataclasses import replace

import pytest
from plain_pair import plain_pair
from press_cases import lands, press_case

from hoopwright.case.heat_capacity import metal_kind
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.pressing.heat import heat_plan, notes
from hoopwright.slipping_in import DEFAULT_CLEARANCE_SHARE, slipping_in

STEEL, EXPANSION = 12.0e-6, 23.4e-6


def plan(press="", *, shell="6061-T6", interference=0.040):
    """Sizes taken as exact."""
    outside = f'outside_diameter = "{39.0 + interference} mm"'
    case = press_case(press=press, shell=shell, bore='bore_diameter = "39.000 mm"', outside=outside)
    return case, heat_plan(case)


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
    assert metal_kind(press_case(shell=shell).shell_material) == kind


def test_a_welded_shell_gives_a_warning():
    case, p = plan(shell="6061-T6 welded")
    assert "soft already" in " ".join(notes(case, p, Units()))
    unknown = replace(case.shell_material, heat_limit=None, heat_affected_of=None)
    none = replace(case, shell_material=unknown)
    assert "no temper limit is known" in " ".join(notes(none, p, Units()))


# ---- the least gap on the way in ---------------------------------------------------------------

PLAIN = plain_pair(
    shell='bore_diameter = "41.000 mm"\nbore_plus_minus = "4 um"',
    sleeve='outside_diameter = "41.036 mm"\noutside_plus_minus = "3 um"\nchamfer_right = "1 mm"',
    more="[press]\n",
)
OVAL = '[shell.out_of_round]\novality = "80 um"\n'


def tapered(start, end):
    rows = f'[[shell.bore]]\nfrom = "0 mm"\nto = "60 mm"\ndiameter_from = "{start} mm"\n'
    rows += f'diameter_to = "{end} mm"\nplus_minus = "4 um"\n'
    plain = PLAIN.replace('bore_diameter = "41.000 mm"\nbore_plus_minus = "4 um"\n', "", 1)
    return plain.replace("[sleeve]", rows + "[sleeve]", 1)


def gap_at(text, rise):
    """The least gap of a case, µm, its shell so much above 20 °C and its sleeve at 20 °C."""
    ways = slipping_in(parse_case(text))
    return 1e3 * ways.tightest(rise, 0.0, ways.half_width)[0]


def shell_rise_by_mean(interference):
    """What version 0.1.0 heated the shell to for 41 µm over the mean interference of a seat, mm."""
    half = slipping_in(parse_case(PLAIN)).half_width
    return (interference + half + 0.041) / 41.0 / EXPANSION


def test_roughness_takes_nothing_off_what_must_slip_in():
    """Rz 12 + 8 was taken for 16 µm less interference: 41 µm promised, 25 there."""
    rough = PLAIN.replace("[mesh]", 'roughness_bore = "12 um"\nroughness_sleeve = "8 um"\n[mesh]')
    assert gap_at(rough, shell_rise_by_mean(0.036 - 0.016)) == pytest.approx(25.0, abs=0.1)
    assert heat_plan(parse_case(rough)).ways == heat_plan(parse_case(PLAIN)).ways


def test_ovality_takes_half_of_itself_off_the_gap():
    """80 µm left 1.0 of the 41 µm promised; with the heat the ovality grows by 0.2 %, which leaves 0.92."""
    rise = shell_rise_by_mean(0.036)
    assert gap_at(PLAIN, rise) == pytest.approx(41.0, abs=0.01)
    left = 41.0 - 40.0 * (1.0 + EXPANSION * rise)
    assert gap_at(PLAIN.replace("[sleeve]", OVAL + "[sleeve]", 1), rise) == pytest.approx(left, abs=0.01)
    assert left == pytest.approx(1.0, abs=0.1)


@pytest.mark.parametrize(("start", "end"), [("41.040", "40.960"), ("40.960", "41.040")])
def test_a_taper_is_tightest_at_its_narrow_end(start, end):
    """80 µm left 1.6 of the 41 µm promised over the mean of the seat, which the chamfer ends at 59 mm."""
    mean = 0.036 + (-1 if end > start else 1) * 0.080 * (29.5 / 60.0 - 0.5)
    assert gap_at(tapered(start, end), shell_rise_by_mean(mean)) == pytest.approx(1.6, abs=0.05)


@pytest.mark.parametrize(
    "text", [PLAIN, PLAIN.replace("[sleeve]", OVAL + "[sleeve]", 1), tapered(41.04, 40.96)]
)
def test_the_clearance_of_a_plan_is_the_least_gap_there_is(text):
    case = parse_case(text)
    p, ways = heat_plan(case), slipping_in(case)
    for way in p.ways:
        gaps = [
            ways.gap(one, way.shell_rise_K, way.sleeve_rise_K, ways.half_width) for one in ways.passages
        ]
        assert min(gaps) == pytest.approx(0.041)
        assert way.gap_mm == pytest.approx(0.041)


def test_an_oval_sleeve_and_an_oval_bore_may_meet_at_the_worst_angle():
    def readings(middle, oval):
        values = f"{middle + oval / 2:.3f} {middle:.3f} {middle - oval / 2:.3f} {middle:.3f} mm"
        return "".join(
            f'  {{ z = "{z} mm", angles = "0 45 90 135 deg", values = "{values}" }},\n' for z in (10, 50)
        )

    gauge = '[gauge.g]\nresolution = "1 um"\nmax_error = "1 um"\n'
    head = '[[{}]]\nfrom = "0 mm"\nto = "73 mm"\ngauge = "g"\nreadings = [\n{}]\n'

    def found(bore, turned):
        case = press_case(
            bore=head.format("shell.bore", readings(39.0, bore)),
            outside=head.format("sleeve.outside", readings(39.04, turned)),
            extra=gauge,
        )
        tightest = heat_plan(case).tightest
        assert tightest.plus_minus > slipping_in(case).half_width  # that of the ovality counts too
        return tightest

    assert found(0.0, 0.0).form == 0.0
    assert 1e3 * found(0.06, 0.0).form == pytest.approx(30.0)
    assert 1e3 * found(0.0, 0.04).form == pytest.approx(20.0)
    assert 1e3 * found(0.06, 0.04).form == pytest.approx(50.0)


def test_every_land_of_the_sleeve_passes_all_of_the_bore_before_its_seat():
    """From the left, the leading land of 39.030 passes the entry of 39.000; stepped the other way round it
    goes in free to its own seat, and only there is it tight."""
    turned = lands("sleeve.outside", (0.0, 40.0, 39.100), (40.0, 73.0, 39.030))
    narrow, wide = (
        press_case(bore=lands("shell.bore", (0.0, 40.0, entry), (40.0, 73.0, 38.990)), outside=turned)
        for entry in (39.000, 39.060)
    )
    p = heat_plan(narrow).tightest
    assert (p.sleeve_land, p.bore_land) == (0, 0)
    assert 1e3 * heat_plan(narrow).interference_mm == pytest.approx(100.0)
    assert 1e3 * heat_plan(wide).interference_mm == pytest.approx(40.0)  # both seats, 39.1 in 39.06 too
    leading = slipping_in(narrow).passages
    on_its_way = next(one for one in leading if (one.sleeve_land, one.bore_land) == (1, 0))
    assert 1e3 * on_its_way.interference == pytest.approx(30.0)
    assert not any((one.sleeve_land, one.bore_land) == (0, 1) for one in leading)


def test_the_bench_counts_for_a_sleeve_that_is_not_cooled():
    """A sleeve that lies at 35 °C is 7 µm larger than at 20."""
    cool, warm = (
        plan('[press.heat]\nclearance = "30 um"')[1],
        plan('temperature = "35 degC"\n[press.heat]\nclearance = "30 um"')[1],
    )
    grown = STEEL * 15.0 / EXPANSION
    assert warm.ways[0].shell_rise_K - cool.ways[0].shell_rise_K == pytest.approx(grown, rel=1e-6)


def test_the_notes_say_where_it_is_tightest():
    case = parse_case(PLAIN.replace("[sleeve]", OVAL + "[sleeve]", 1))
    first = notes(case, heat_plan(case), Units("metric"))[0]
    assert "Tightest at z 0.0 mm: 36.0 µm by the sizes there, 40.0 µm by the form" in first
    assert "smooths nothing" in first
