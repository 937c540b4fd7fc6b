"""Whose temperature is whose: gauge, part and shop."""

import pytest
from plain_pair import plain_pair

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.measured.gauge_temperature import gauge_plus_minus, gauge_rise, temperature_components
from hoopwright.measured.measured_land import measured_land

STEEL, ALUMINIUM, SIZE = 11.5e-6, 23e-6, 41.0
GAUGE = Gauge("g", resolution=0.001, accuracy=0.002, repeatability=0.0005)
COMPARATOR = Gauge("c", resolution=0.001, accuracy=0.002, repeatability=0.0005, comparator=True)


def set_at(rise):
    return Gauge("t", resolution=0.001, accuracy=0.002, repeatability=0.0005, temperature_rise=rise)


def scales(gauge, *, rise, limit, expansion=ALUMINIUM):
    return {p.name: p.scale for p in temperature_components(SIZE, rise, limit, expansion, gauge)}


def land(gauge, value, *, rise, expansion=STEEL, unsure=0.0):
    stations = tuple(
        Station(z, (0.0, 60.0, 120.0), (value,) * 3, gauge, rise, unsure) for z in (2.0, 10.0, 18.0)
    )
    return measured_land(
        LandReadings(0.0, 20.0, stations), expansion=expansion, part="shell", surface="bore", index=0
    )


@pytest.mark.parametrize("rise", [10.0, 18.0])
def test_a_gauge_is_as_warm_as_the_part_unless_the_case_says_otherwise(rise):
    """Steel read with steel at 30 or 38 °C shows its size at 20 °C; a gauge that is at 20 °C shows 41 ·
    11.5e-6 more for each kelvin, which was taken off in every warm shop: 4.7 µm and 8.5 µm."""
    assert land(GAUGE, SIZE, rise=rise).diameter == pytest.approx(SIZE, abs=1e-9)
    assert land(set_at(0.0), SIZE, rise=rise).diameter == pytest.approx(SIZE * (1 - STEEL * rise), abs=1e-9)
    assert gauge_rise(GAUGE, rise) == rise
    assert gauge_rise(set_at(3.0), rise) == 3.0


def test_how_far_the_gauge_may_be_from_that_counts():
    """A tenth of 18 K, or what the part is known to; nothing where it is told, unless its ± is."""
    assert gauge_plus_minus(GAUGE, 18.0, 1.0) == pytest.approx(1.8)
    assert gauge_plus_minus(GAUGE, 4.0, 1.0) == 1.0
    assert gauge_plus_minus(set_at(0.0), 18.0, 1.0) == 0.0
    unsure = Gauge("u", resolution=0.001, accuracy=0.002, temperature_plus_minus=3.0)
    assert gauge_plus_minus(unsure, 18.0, 1.0) == 3.0
    found = scales(GAUGE, rise=18.0, limit=1.0)
    assert found["part temperature"] == pytest.approx(SIZE * ALUMINIUM * 1.0)
    assert found["gauge temperature"] == pytest.approx(SIZE * STEEL * 1.8)
    assert found["expansion coefficient"] == pytest.approx(0.1 * SIZE * ALUMINIUM * 18.0)
    assert found["expansion of the gauge"] == pytest.approx(0.1 * SIZE * STEEL * 18.0)
    assert scales(set_at(0.0), rise=18.0, limit=1.0)["expansion of the gauge"] == 0.0


def test_a_comparator_errs_by_the_difference_of_both_expansions():
    """A gauge set in a steel ring beside an aluminium part: 3 K make 41 · (23 − 11.5)e-6 · 3 = 1.4 µm;
    steel on steel nothing."""
    found = scales(COMPARATOR, rise=10.0, limit=3.0)
    assert found["temperature of the shop"] == pytest.approx(SIZE * (ALUMINIUM - STEEL) * 3.0)
    assert found["gauge temperature"] == pytest.approx(SIZE * STEEL * 1.0)
    assert "part temperature" not in found
    assert scales(COMPARATOR, rise=10.0, limit=3.0, expansion=STEEL)["temperature of the shop"] == 0.0
    beside, apart = (land(g, SIZE, rise=0.0, unsure=3.0) for g in (COMPARATOR, GAUGE))
    assert beside.plus_minus < apart.plus_minus


def test_several_stations_err_by_their_weights_in_either_order():
    """A comparator whose shop is known to 3 K, and a gauge in shops known to 0.5 and 1 K: each temperature
    counts with the weights of the readings taken at it, the comparator's with the difference of both
    expansions."""
    at = ((2.0, GAUGE, 10.0, 0.5), (10.0, COMPARATOR, 0.0, 3.0), (18.0, GAUGE, 0.0, 1.0))
    seen = []
    for order in (at, at[::-1]):
        stations = tuple(Station(z, (), (SIZE,), gauge, rise, limit) for z, gauge, rise, limit in order)
        found = measured_land(
            LandReadings(0.0, 20.0, stations), expansion=ALUMINIUM, part="shell", surface="bore", index=0
        )
        seen.append({p.name: p.scale for p in found.errors.components})
    assert seen[0] == seen[1]
    weights = {
        1.0: seen[0]["part temperature, 1 of 3 stated"] / (SIZE * ALUMINIUM * 1.0),
        3.0: seen[0]["temperature of the shop, 2 of 3 stated"] / (SIZE * (ALUMINIUM - STEEL) * 3.0),
        0.5: seen[0]["part temperature, 3 of 3 stated"] / (SIZE * ALUMINIUM * 0.5),
    }
    assert sum(weights.values()) == pytest.approx(1.0, rel=1e-3)
    assert min(weights.values()) > 0.05
    # the gauge that is not told its temperature is as warm as each part, to 1 K both times
    for k, weight in ((1, weights[1.0]), (2, weights[0.5])):
        own = seen[0][f"g: gauge temperature, {k} of 2"]
        assert own == pytest.approx(SIZE * STEEL * 1.0 * weight, rel=1e-3)
    assert seen[0]["g: expansion of the gauge"] == pytest.approx(
        0.1 * SIZE * STEEL * 10.0 * weights[0.5], rel=1e-3
    )
    assert seen[0]["expansion coefficient"] == pytest.approx(
        0.1 * SIZE * ALUMINIUM * 10.0 * weights[0.5], rel=1e-3
    )


def test_the_notes_say_whose_temperature_is_taken():
    said = "the gauge 'g' is taken to be as warm as the part"
    assert any(said in note for note in land(GAUGE, SIZE, rise=10.0).notes)
    assert not any("as warm as" in note for note in land(GAUGE, SIZE, rise=0.0).notes)
    assert not any("as warm as" in note for note in land(set_at(0.0), SIZE, rise=10.0).notes)


READ = plain_pair(
    shell="""[[shell.bore]]
from = "0 mm"
to = "20 mm"
gauge = "g"
part_temperature = "30 degC"
readings = [
  { z = "2 mm", angles = "0 60 120 deg", values = "41.001 41.000 41.001 mm" },
  { z = "10 mm", angles = "0 60 120 deg", values = "41.001 41.000 41.001 mm" },
  { z = "18 mm", angles = "0 60 120 deg", values = "41.001 41.000 41.001 mm" },
]""",
    length="20 mm",
    more="""[gauge.g]
resolution = "1 um"
max_error = "3 um"
GAUGE
""",
)


def test_the_keys_of_a_case_reach_the_gauge():
    own = (
        'temperature = "25 degC"\ntemperature_plus_minus = "2 K"\nexpansion = "9e-6 /K"\ncomparator = true'
    )
    plain, given = (
        parse_case(READ.replace("GAUGE", keys)).shell_measured[0].readings.stations[0].gauge
        for keys in ("", own)
    )
    assert (plain.temperature_rise, plain.temperature_plus_minus, plain.comparator) == (None, None, False)
    assert given.temperature_rise == pytest.approx(5.0)
    assert given.temperature_plus_minus == pytest.approx(2.0)
    assert (given.expansion, given.comparator) == (pytest.approx(9e-6), True)


def test_a_temperature_of_the_gauge_without_a_unit_is_one_clear_line():
    with pytest.raises(CaseError) as caught:
        parse_case(READ.replace("GAUGE", "temperature = 25"))
    line, *_ = str(caught.value).splitlines()
    assert "[gauge.g]" in line
    assert "temperature" in line
    assert "degC" in line
