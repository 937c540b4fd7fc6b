"""From readings to a size with its uncertainty: expected values and coverage."""

import numpy as np
import pytest
from plain_pair import plain_pair

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.geometry.joint import Seat
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.interference import EffectiveInterference, SeatInterference
from hoopwright.measured.measured_land import measured_land
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent

GAUGE = Gauge("bore gauge", resolution=0.0001, accuracy=0.003, zero_error=0.001, temperature_rise=0.0)
ANGLES = (0.0, 45.0, 90.0, 135.0)
Z = (2.0, 10.0, 18.0)


def land(values, *, gauge=GAUGE, rise=0.0, unsure=0.0, expansion=23e-6, angles=ANGLES, z=Z):
    stations = tuple(
        Station(at, angles, tuple(map(float, v)), gauge, rise, unsure)
        for at, v in zip(z, values, strict=True)
    )
    return measured_land(
        LandReadings(0.0, 20.0, stations), expansion=expansion, part="shell", surface="bore", index=0
    )


def form(*, mean=41.0, taper=0.0, oval=0.0, toward=0.0, bell=0.0, lobes=0.0):
    """Two-point diameters without error at the stations and angles above."""
    z, phi = np.array(Z)[:, None], np.radians(ANGLES)[None, :]
    ends = bell * (np.abs(z - 10.0) > 1.0)
    # a radius that varies as cos 3φ gives r(φ) + r(φ + 180°) = 0: no two-point diameter shows it
    three = lobes * (np.cos(3 * phi) + np.cos(3 * (phi + np.pi)))
    return mean + taper * (z - 10.0) / 20.0 + 0.5 * oval * np.cos(2 * (phi - toward)) + ends + three


def test_taper_ovality_and_mean_are_recovered():
    measured = land(form(taper=0.006, oval=0.010, toward=np.radians(30.0)))
    assert measured.diameter == pytest.approx(41.0, abs=1e-9)
    assert measured.taper == pytest.approx(0.006, abs=1e-9)
    assert (measured.diameter_start, measured.diameter_end) == pytest.approx((40.997, 41.003), abs=1e-9)
    assert measured.ovality == pytest.approx(0.010, abs=1e-9)
    assert measured.ovality_angle == pytest.approx(30.0, abs=1e-6)
    assert measured.scatter == pytest.approx(0.0, abs=1e-9)


def test_bell_mouth_is_the_ends_less_the_middle():
    assert land(form(bell=0.004)).bell_mouth == pytest.approx(0.004, abs=1e-9)
    assert land(form(bell=0.004, taper=-0.03)).bell_mouth == pytest.approx(0.004, abs=1e-9)


def test_three_lobes_are_invisible_to_a_two_point_gauge_and_the_notes_say_so():
    measured = land(form(lobes=0.02))
    assert measured.ovality == pytest.approx(0.0, abs=1e-9)
    assert any("blind to odd lobes" in note for note in measured.notes)


def test_a_suspect_reading_is_reported_and_still_counted():
    values = form() + 0.0005 * np.random.default_rng(3).standard_normal((3, 4))
    clean = land(values)
    values[1, 2] += 0.030
    measured = land(values)
    assert not clean.outliers
    assert [(o.z, o.angle) for o in measured.outliers] == [(10.0, 90.0)]
    assert measured.outliers[0].residual == pytest.approx(0.030, abs=0.002)
    # counted all the same, by its weight in a mean, a taper, an ovality and a bell-mouth
    z, phi = (
        v.ravel() for v in np.meshgrid((np.array(Z) - 10.0) / 10.0, np.radians(ANGLES), indexing="ij")
    )
    terms = (np.ones(12), z, np.cos(2 * phi), np.sin(2 * phi), z**2 - 1 / 3)
    mean = np.linalg.lstsq(np.column_stack(terms), values.ravel(), rcond=None)[0][0]
    assert measured.diameter == pytest.approx(mean, abs=1e-9)
    assert measured.diameter - clean.diameter > 0.003
    assert any("stand out" in note and "kept" in note for note in measured.notes)


def test_one_step_of_the_gauge_is_not_an_outlier():
    values = np.full((3, 4), 41.0)
    values[0, 0] += 0.001
    coarse = Gauge("coarse", resolution=0.001, accuracy=0.003)
    assert not land(values, gauge=coarse).outliers


def test_more_readings_do_not_reduce_the_error_of_the_gauge():
    few = land(form() + 0.0002 * np.random.default_rng(1).standard_normal((3, 4)))
    many = np.tile(form(), 50)
    many = many + 0.0002 * np.random.default_rng(1).standard_normal(many.shape)
    measured = land(many, angles=ANGLES * 50)
    systematic = UncertaintyBudget(
        (UncertaintyComponent("accuracy", 0.003), UncertaintyComponent("zero", 0.001))
    ).half_width()
    assert systematic <= measured.plus_minus <= few.plus_minus
    assert measured.plus_minus == pytest.approx(systematic, rel=0.02)


def test_a_warm_part_is_corrected_with_its_uncertainty():
    cold, warm = land(form()), land(form(), rise=10.0, unsure=2.0)
    assert warm.diameter == pytest.approx(41.0 * (1.0 - 23e-6 * 10.0))
    scales = {p.name: p.scale for p in warm.errors.components}
    assert scales["part temperature"] == pytest.approx(41.0 * 23e-6 * 2.0, rel=1e-3)
    assert scales["expansion coefficient"] == pytest.approx(0.1 * 41.0 * 23e-6 * 10.0, rel=1e-3)
    assert warm.plus_minus > cold.plus_minus


def test_the_shift_common_to_all_seats_has_the_errors_of_the_least_certain():
    sure, unsure = (UncertaintyBudget((UncertaintyComponent("±", size),)) for size in (0.002, 0.006))
    seat = Seat(0.0, 10.0, 0.04, 0.04, 0, 0)
    for errors in ((sure, unsure), (unsure, sure)):
        fit = EffectiveInterference(tuple(SeatInterference(seat, 0.04, 0.0, e) for e in errors), 0.0)
        assert fit.errors is unsure
        assert fit.limits == pytest.approx((0.034, 0.046))


def test_known_repeatability_replaces_the_scatter_of_few_readings():
    gauge = Gauge("known", resolution=0.0001, accuracy=0.003, repeatability=0.001)
    one = measured_land(
        LandReadings(0.0, 20.0, (Station(5.0, (), (41.0,), gauge),)),
        expansion=23e-6,
        part="shell",
        surface="bore",
        index=0,
    )
    components = {p.name: p.scale for p in one.errors.components}
    assert components["repeatability of the gauge"] == pytest.approx(0.001)
    two = LandReadings(0.0, 20.0, (Station(5.0, (), (41.0, 41.0100), GAUGE),))
    unknown = measured_land(two, expansion=23e-6, part="shell", surface="bore", index=0)
    assert next(p.dof for p in unknown.errors.components if p.name.startswith("scatter")) == 1


def test_scatter_beyond_the_stated_repeatability_is_used_instead_of_it():
    """Scatter of 3 µm against a repeatability of 0.5 µm: beyond the 1 % limit of chi-squared, so the
    readings' own scatter counts, with its few degrees of freedom, and a note says so."""
    gauge = Gauge("known", resolution=0.0001, accuracy=0.003, repeatability=0.0005)
    values = 41.0 + 0.003 * np.random.default_rng(2).standard_normal((3, 4))
    measured = land(values, gauge=gauge)
    part = next(p for p in measured.errors.components if p.name == "scatter of the readings")
    assert part.dof == measured.scatter_dof == 12 - 5
    # mean over the land from stations at ζ = ±0.8 and 0: weights (1/3)/(2 · 0.64) at each end and the rest
    ends = (1 / 3) / (2 * 0.64)
    share = ((2 * ends**2 + (1 - 2 * ends) ** 2) / 4) ** 0.5
    assert part.scale == pytest.approx(measured.scatter * share, rel=1e-6)
    assert any("scatter more than" in note for note in measured.notes)
    calm = land(form() + 0.0003 * np.random.default_rng(2).standard_normal((3, 4)), gauge=gauge)
    assert {p.name: p.dof for p in calm.errors.components}["repeatability of the gauge"] == np.inf


def test_ten_thousand_readings_are_all_counted():
    angles = tuple(np.linspace(0.0, 350.0, 50))
    z = tuple(np.linspace(0.5, 19.5, 200))
    values = 41.0 + 0.001 * np.random.default_rng(5).standard_normal((200, 50))
    measured = land(values, angles=angles, z=z)
    assert measured.readings.count == 10_000
    assert measured.plus_minus > 0.0


@pytest.mark.slow
def test_sizes_fall_in_their_95_percent_interval_94_to_96_times_in_100():
    """Errors sampled from what the case states: a limit for gauge, zero, temperature and expansion, normal
    scatter. Standard error of the share over the trials: 0.4 %."""
    rng = np.random.default_rng(11)
    truth, alpha, trials, inside = 41.0, 23e-6, 2500, 0
    for _ in range(trials):
        gauge_error, zero = 0.003 * rng.uniform(-1, 1), 0.001 * rng.uniform(-1, 1)
        rise = 4.0 + 1.0 * rng.uniform(-1, 1)
        own = alpha * (1.0 + 0.1 * rng.uniform(-1, 1))
        read = truth * (1.0 + own * rise) + gauge_error + zero + 0.0015 * rng.standard_normal((3, 4))
        measured = land(read, rise=4.0, unsure=1.0, expansion=alpha)
        inside += abs(measured.diameter - truth) <= measured.plus_minus
    assert 0.94 <= inside / trials <= 0.96


@pytest.mark.slow
def test_intervals_of_a_few_readings_cover_as_often():
    """Four readings without a fit of taper or form, scatter large against the gauge: Student's t. The land
    is true, so what is usual of a form that was not read is left out."""
    rng = np.random.default_rng(12)
    trials, inside = 2000, 0
    for _ in range(trials):
        read = 41.0 + 0.001 * rng.uniform(-1, 1) + 0.003 * rng.standard_normal(4)
        gauge = Gauge("g", resolution=1e-5, accuracy=0.001)
        station = Station(5.0, (), tuple(map(float, read)), gauge)
        measured = measured_land(
            LandReadings(0.0, 20.0, (station,)), expansion=23e-6, part="shell", surface="bore", index=0
        )
        parts = [p for p in measured.errors.components if not p.name.startswith("unread")]
        inside += abs(measured.diameter - 41.0) <= UncertaintyBudget(tuple(parts)).half_width()
    assert 0.94 <= inside / trials <= 0.965


READ = plain_pair(
    shell="""[[shell.bore]]
from = "0 mm"
to = "20 mm"
gauge = "bore"
part_temperature = "30 degC"
[[shell.bore.readings]]
z = "5 mm"
angles = "0 60 120 deg"
values = "41.0094 41.0094 41.0094 mm"
[[shell.bore.readings]]
z = "15 mm"
angles = "0 60 120 deg"
values = "1.614543 1.614543 1.614543 in"
""",
    length="20 mm",
    more="""[gauge.bore]
resolution = "1 um"
max_error = "3 um"
temperature = "20 degC"
""",
)


def test_a_case_takes_land_sizes_from_readings():
    case = parse_case(READ)
    land_ = case.shell.bore[0]
    assert land_.mean_diameter == pytest.approx(41.0, abs=5e-4)
    components = (
        UncertaintyComponent("accuracy", 0.003),
        # 3 µm assumed of a two-point bore gauge, 3 degrees of freedom, and six readings alike, 2 of them
        UncertaintyComponent("assumed", 0.003 * (3.0 / 5.0 / 6.0) ** 0.5, "normal", 5.0),
        UncertaintyComponent("α", 41.0 * 23.1e-6 * 1.0),
        # stations at ζ = ±0.5 of a bored land: 20 µm · (1/5 − 0.5⁴)
        UncertaintyComponent("bell-mouth", 0.020 * (0.2 - 0.0625)),
    )
    assert land_.plus_minus == pytest.approx(UncertaintyBudget(components).half_width(), rel=0.01)
    assert case.shell_measured[0].readings.count == 6


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            'values = "41.0094 41.0094 41.0094 mm"',
            'values = "41.0094 41,0094 mm"',
            "'41,0094' is not a number",
        ),
        ('values = "41.0094 41.0094 41.0094 mm"', 'values = "41.0094 41.0094 mm"', "3 angles for 2 values"),
        ('values = "41.0094 41.0094 41.0094 mm"', 'values = "mm"', "needs numbers followed by their unit"),
        ('values = "41.0094 41.0094 41.0094 mm"', 'values = "41.0094 41.0094 41.0094"', "not understood"),
        ('gauge = "bore"', 'gauge = "bor"', 'write "bore"'),
        ('gauge = "bore"', "", "missing"),
        ('z = "5 mm"', 'z = "25 mm"', "outside its land"),
        ('max_error = "3 um"', "", "one of max_error and accuracy"),
        ('max_error = "3 um"', 'max_error = "3 um"\ncoverage = 2', "goes with accuracy"),
        ('part_temperature = "30 degC"', 'diameter = "41 mm"', "given as well as readings"),
    ],
)
def test_a_fault_in_the_readings_is_one_clear_error_line(old, new, expected):
    assert old in READ
    with pytest.raises(CaseError) as caught:
        parse_case(READ.replace(old, new, 1))
    assert expected in str(caught.value)
    assert all(len(line) < 400 for line in str(caught.value).splitlines())
