"""Form that readings cannot show: how much of it counts, and where it is said."""

from dataclasses import replace

import numpy as np
import pytest
from plain_pair import plain_pair

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.left_out import with_grounds_named
from hoopwright.measured.form_prior import (
    OVALITY_COUNTED,
    USUAL_FORM,
    reading_to_come,
    tells_bell_mouth,
    too_few,
)
from hoopwright.measured.measured_land import measured_land
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent

GAUGE = Gauge("g", resolution=0.0001, accuracy=0.002, repeatability=0.0005)
BORED = USUAL_FORM["bored"]
OVAL = 0.5 * OVALITY_COUNTED * BORED.ovality
LENGTH = 20.0


def readings(places, angles, *, gauge=GAUGE, noted=True, form=lambda z, phi: 0.0 * z * phi):
    """Without error, of a land from 0 to 20 mm. form: added to 41 mm at z, mm, and an angle, radians."""
    stations = tuple(
        Station(z, angles if noted else (), tuple(41.0 + form(z, np.radians(a)) for a in angles), gauge)
        for z in places
    )
    return LandReadings(0.0, LENGTH, stations)


def bell_mouth(exponent):
    """20 µm at both ends, from the middle of the land."""
    return lambda z, phi: 0.020 * (z / 10.0 - 1.0) ** exponent + 0.0 * phi


def oval(z, phi):
    return 0.005 * np.cos(2.0 * phi) + 0.0 * z


def unread(found):
    """Scales of the components for form that was not read, by kind of form."""
    return {p.name.split()[1]: p.scale for p in found.errors.components if p.name.startswith("unread")}


def land(places, angles, *, process="bored", **how):
    return measured_land(
        readings(places, angles, **how),
        expansion=23e-6,
        part="shell",
        surface="bore",
        index=0,
        process=process,
    )


ENDS_AND_MIDDLE = (2.0, 10.0, 18.0)


@pytest.mark.parametrize(
    ("angles", "share"),
    [
        ((20.0,), 1.0),
        ((20.0, 20.0), 1.0),
        ((20.0, 200.0), 1.0),  # the same diameter from the other side
        ((0.0, 60.0), 0.5),  # |1 + exp(i 120°)| / 2
        ((0.0, 90.0), 0.0),
        ((0.0, 60.0, 120.0), 0.0),
        ((0.0, 45.0, 90.0, 135.0), 0.0),
    ],
)
def test_ovality_counts_as_far_as_the_directions_do_not_show_it(angles, share):
    """0.5 e |Σ w exp 2iφ|: the whole of it in one direction, half at 0 and 60°, nothing evenly round."""
    found = unread(land(ENDS_AND_MIDDLE, angles))
    assert found.get("ovality", 0.0) == pytest.approx(share * OVAL, abs=1e-9)
    assert "taper" not in found


def test_directions_that_were_not_noted_count_as_one():
    assert unread(land(ENDS_AND_MIDDLE, (0.0, 60.0, 120.0), noted=False))["ovality"] == pytest.approx(OVAL)


def test_three_contacts_read_the_mean_of_an_oval_land():
    three = replace(GAUGE, contacts=3)
    assert "ovality" not in unread(land(ENDS_AND_MIDDLE, (20.0,), gauge=three))


@pytest.mark.parametrize(("z", "share"), [(10.0, 0.0), (5.0, 0.25), (2.0, 0.4), (18.0, 0.4)])
def test_taper_counts_as_far_from_the_middle_as_the_one_station_lies(z, share):
    found = unread(land((z,), (0.0, 60.0, 120.0)))
    assert found.get("taper", 0.0) == pytest.approx(share * BORED.taper, abs=1e-9)
    assert "taper" not in unread(land((3.0, 17.0), (0.0, 60.0, 120.0)))


def test_bell_mouth_counts_where_two_stations_cannot_show_it():
    """Stations at ζ = ±0.8: b (0.8² − 1/3), more than with a mouth that is closer to the end. At ζ = 0 the
    mean is b/3 off. Three stations show it."""
    assert unread(land((2.0, 18.0), (0.0, 60.0, 120.0)))["bell-mouth"] == pytest.approx(
        BORED.bell_mouth * (0.64 - 1.0 / 3.0)
    )
    assert unread(land((10.0,), (0.0, 60.0, 120.0)))["bell-mouth"] == pytest.approx(BORED.bell_mouth / 3.0)
    assert unread(land(ENDS_AND_MIDDLE, (0.0, 60.0, 120.0))) == {}


def test_three_stations_side_by_side_do_not_tell_a_bell_mouth():
    assert tells_bell_mouth(np.array([-0.6, 0.0, 0.6]))
    assert not tells_bell_mouth(np.array([-0.2, 0.0, 0.2]))
    assert not tells_bell_mouth(np.array([-0.9, -0.85, 0.9]))
    assert unread(land((8.0, 10.0, 12.0), (0.0, 60.0, 120.0)))["bell-mouth"] > 0.004


def test_a_bell_mouth_that_was_read_no_longer_shifts_the_mean():
    """D = 41 + 20 µm · ζ² has the mean 41 mm + 6.7 µm over its length; the mean of readings at ζ = ±0.8 and
    0 is 41 mm + 8.5 µm. What is left is that nobody knows its course between the stations."""
    bell = land(ENDS_AND_MIDDLE, (0.0, 60.0, 120.0), form=bell_mouth(2))
    assert bell.diameter == pytest.approx(41.0 + 0.020 / 3.0, abs=1e-9)
    course = {p.name: p.scale for p in bell.errors.components}["course of the bell-mouth"]
    steep = land(ENDS_AND_MIDDLE, (0.0, 60.0, 120.0), form=bell_mouth(6))
    assert 0.0 < abs(steep.diameter - (41.0 + 0.020 / 7.0)) <= 1.001 * course


def test_what_two_directions_differ_by_is_form_and_not_scatter():
    found = land(ENDS_AND_MIDDLE, (0.0, 60.0), form=oval)
    assert found.scatter == pytest.approx(0.0, abs=1e-9)
    assert found.diameter == pytest.approx(41.0 + 0.005 * 0.25, abs=1e-9)


@pytest.mark.parametrize("process", sorted(USUAL_FORM))
def test_the_process_sets_how_much_is_usual(process):
    usual = USUAL_FORM[process]
    found = land((18.0,), (20.0,), process=process)
    assert found.process == process
    assert unread(found) == pytest.approx(
        {
            "ovality": 0.5 * OVALITY_COUNTED * usual.ovality,
            "taper": 0.4 * usual.taper,
            "bell-mouth": (0.64 - 1.0 / 3.0) * usual.bell_mouth,
        }
    )


def test_the_default_process_is_that_of_the_part():
    for part, surface, process in (
        ("shell", "bore", "bored"),
        ("shell", "outside", "turned"),
        ("sleeve", "outside", "turned"),
    ):
        found = measured_land(readings((10.0,), (0.0,)), expansion=0.0, part=part, surface=surface, index=0)
        assert found.process == process


def test_a_reading_to_come_is_taken_evenly():
    """One in the middle sees neither ovality nor bell-mouth; n evenly along leave b/(3 n²) of ζ²."""
    one, three = ({p.name.split()[1]: p.scale for p in reading_to_come(n, 2, "bored")} for n in (1, 3))
    assert one == pytest.approx({"ovality": OVAL, "bell-mouth": BORED.bell_mouth / 3.0})
    assert set(three) == {"bell-mouth"}
    wrong = [abs((2 / 3) * (2 / 3) ** p - 1 / (p + 1)) for p in (2, 4, 6)]
    assert wrong[0] == pytest.approx(1 / 27)
    assert three["bell-mouth"] == pytest.approx(BORED.bell_mouth * max(wrong))


def test_the_cosine_of_an_unknown_angle():
    """Arcsine distribution between ±a: standard uncertainty a/√2, half of it within a/√2, all within a.
    Source: JCGM 101, 6.4.6 (from memory, not seen)."""
    part = UncertaintyComponent("oval", 0.004, "arcsine")
    assert part.standard_uncertainty == pytest.approx(0.004 / 2**0.5)
    budget = UncertaintyBudget((part,))
    assert budget.half_width(0.5) == pytest.approx(0.004 / 2**0.5, rel=2e-3)
    assert budget.half_width() == pytest.approx(0.004 * np.sin(0.475 * np.pi), rel=2e-3)
    assert budget.limit == pytest.approx(0.004)
    sample = budget.sample(np.random.default_rng(1), 20_000)
    assert np.abs(sample).max() <= 0.004
    assert sample.std() == pytest.approx(part.standard_uncertainty, rel=0.02)


# ---- what is said of it -------------------------------------------------------------------------

WELL = ", ".join(
    f'{{ z = "{z} mm", angles = "0 60 120 deg", values = "41.001 41.000 41.001 mm" }}' for z in (2, 10, 18)
)
ONE = '{ z = "18 mm", angles = "30 deg", values = "41.000 mm" }'


def case(rows, shell=""):
    land = f'[[shell.bore]]\nfrom = "0 mm"\nto = "20 mm"\ngauge = "g"\nreadings = [{rows}]'
    gauge = '[gauge.g]\nresolution = "1 um"\nmax_error = "3 um"\nrepeatability = "1 um"\n'
    return parse_case(plain_pair(shell=f"{shell}\n{land}", length="20 mm", more=gauge))


def test_one_direction_or_station_is_said_with_the_verdict():
    """The verdict is in the first lines of check, size and record."""
    assert with_grounds_named(case(WELL), "Holds.") == "Holds."
    said = with_grounds_named(case(ONE), "Holds.")
    assert said.startswith(
        "Holds. Read too little to show its form: the shell's bore, land 1, only in one "
    )
    assert "in one direction and at one station" in said


@pytest.mark.parametrize(
    ("places", "angles", "noted", "few"),
    [
        ((2.0, 18.0), (0.0, 60.0), True, ""),
        ((2.0, 18.0), (0.0, 180.0), True, "in one direction"),
        ((2.0, 18.0), (0.0, 60.0), False, "in no noted direction"),
        ((2.0,), (0.0, 60.0), True, "at one station"),
    ],
)
def test_what_is_too_few(places, angles, noted, few):
    assert too_few(readings(places, angles, noted=noted)) == few


def test_the_process_of_a_case_counts():
    bored, ground = (case(ONE, shell=keys).shell_measured[0] for keys in ("", 'process = "ground"'))
    assert (bored.process, ground.process) == ("bored", "ground")
    assert ground.plus_minus < 0.6 * bored.plus_minus


def test_an_unknown_process_is_one_clear_line():
    with pytest.raises(CaseError) as caught:
        case(WELL, shell='process = "milled"')
    (line,) = str(caught.value).splitlines()
    assert '[shell] process = "milled": not a known process; write' in line
    assert '"reamed"' in line


def test_a_process_without_readings_is_said_to_change_nothing():
    text = plain_pair(shell='process = "reamed"\nbore_diameter = "41 mm"', length="20 mm")
    (notice,) = parse_case(text).without_effect
    assert "[shell] process changes nothing here" in str(notice)
