"""Readings that stand out: which they are, what they may have been, and that nothing holds on them."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from figure_cases import solved
from suspect_cases import SOUND, SWAPPED, text

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.document.size import land_part
from hoopwright.errors import CaseError
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.measured.slips import likeliest_slip
from hoopwright.measured.suspects import suspects
from hoopwright.record.pages.readings_and_loads import readings as readings_pages
from hoopwright.sizing.plan import size_case
from hoopwright.sizing.verdict import not_makeable_text, size_state, size_verdict
from hoopwright.suspected import doubt_of, open_suspects
from hoopwright.verdict import verdict, verdict_state

GAUGE = Gauge("bore gauge", 0.001, 0.002)


def found(*stations, gauge=GAUGE, angles=(), z=(5.0, 20.0, 35.0)):
    """What stands out of stations of values, mm at 20 °C."""
    rows = tuple(
        Station(at, angles, values, gauge, written=tuple(f"{v:.3f}" for v in values))
        for at, values in zip(z, stations, strict=False)
    )
    given = np.array([v for values in stations for v in values])
    return suspects(LandReadings(0.0, 40.0, rows), given)


def places(*stations, **more):
    return [(one.z, round(one.value, 4)) for one in found(*stations, **more)]


@pytest.mark.parametrize(
    "stations",
    [
        ((36.637,), (36.673,), (36.637,)),  # a reading a station
        ((36.637, 36.637), (36.673, 36.637)),  # a taper from station to station would follow it
        ((36.637, 36.638, 36.673),),
        ((36.637, 36.637, 36.638), (36.638, 36.637, 36.637), (36.637, 36.638, 36.673)),
    ],
)
def test_a_slip_is_found_and_named_however_few_the_readings(stations):
    (one,) = found(*stations)
    assert one.value == 36.673
    assert one.residual == pytest.approx(0.036, abs=0.001)
    assert (one.written, one.meant, one.slip) == ("36.673 mm", "36.637 mm", "two digits swapped")


def test_of_two_readings_that_contradict_each_other_both_are_asked_about():
    assert places((36.637,), (36.673,)) == [(5.0, 36.637), (20.0, 36.673)]


def test_two_slips_do_not_hide_each_other():
    assert places((41.000, 41.036, 41.001, 41.036, 41.000)) == [(5.0, 41.036), (5.0, 41.036)]


def test_an_odd_station_is_found_as_a_whole():
    odd = places((41.0, 41.001), (41.0, 41.0), (41.030, 41.031))
    assert odd == [(35.0, 41.030), (35.0, 41.031)]


@pytest.mark.parametrize("off", [0.0015, -0.0015, 0.0019])
def test_what_the_gauge_may_err_by_is_nothing_that_stands_out(off):
    """However well it repeats: good to 2 µm it may read so much more at one place than at another."""
    rows = (41.0, 41.0, 41.0 + off), (41.0,) * 3, (41.0,) * 3
    steady = replace(GAUGE, resolution=0.0001, repeatability=0.0002)
    assert places(*rows) == places(*rows, gauge=steady) == []
    assert len(places(*rows, gauge=replace(steady, accuracy=0.0005))) == 1
    both_ways = (41.0, 41.0 - 0.9 * off, 41.0 + 0.9 * off), (41.0,) * 8, (41.0,) * 8
    assert places(*both_ways, gauge=steady) == []


@pytest.mark.parametrize(
    ("oval", "taper", "bell"), [(0.0, 0.0, 0.0), (0.02, 0.0, 0.0), (0.0, 0.03, 0.0), (0.0, 0.0, 0.02)]
)
@pytest.mark.parametrize("angles", [(0.0, 45.0, 90.0, 135.0), (0.0, 60.0), (0.0,)])
def test_form_is_no_suspect(oval, taper, bell, angles):
    """A sound land that scatters by 0.7 µm, read in one direction or more, at most 5 % of the time."""
    rng, wrong, times = np.random.default_rng(2), 0, 20
    for _ in range(times):
        along = np.array([-0.5, 0.0, 0.5])[:, None]
        at = 2.0 * (np.radians(angles) - rng.uniform(0.0, np.pi))[None, :]
        form = 0.5 * oval * np.cos(at) + taper * along + 2.0 * bell * np.abs(along)
        values = np.round(41.0 + form + 0.0007 * rng.standard_normal((3, len(angles))), 3)
        wrong += bool(found(*(tuple(map(float, row)) for row in values), angles=angles))
    assert wrong <= 0.05 * times


@pytest.mark.parametrize(
    ("written", "true", "meant", "slip"),
    [
        ("36.673", 36.637, "36.637", "two digits swapped"),
        ("3.6637", 36.637, "36.637", "the decimal point moved"),
        ("36637", 36.637, "36.637", "the decimal point moved"),
        ("63.637", 36.637, "36.637", "two digits swapped"),
        ("1.5015", 1.5005, "1.5005", "one digit"),
        ("36.137", 36.637, "36.637", "one digit"),
        ("36.900", 36.637, "", ""),
    ],
)
def test_the_slip_that_a_number_may_have_come_by(written, true, meant, slip):
    assert likeliest_slip(written, lambda v: abs(v - true), within=0.0001) == (meant, slip)


@cache
def swapped():
    return size_case(parse_case(text(*SWAPPED)))


def test_nothing_holds_while_a_reading_stands_out():
    plan = swapped()
    assert {m.state for m in plan.margins if m.margin is not None} == {"unresolved"}
    results = replace(solved("plain"), case=plan.case, margins=plan.margins)
    assert verdict_state(results) == "undecided"
    assert status.BY_STATE["undecided"] == 1
    said = "A reading stands out (shell bore, 36.673 mm at z 20.0 mm (0.79 in), 35.6 µm (1.40 thou) above "
    asked = "the others: 36.637 mm, two digits swapped?): "
    assert verdict(results).startswith(said + asked + "Undecided: no row holds until that is read again")
    assert size_state(plan) == "undecided"
    assert size_verdict(plan, Units()).startswith(said + asked + "Do not cut yet: ")


def test_confirmed_it_counts_as_read_and_the_record_says_so():
    case = parse_case(text(*SWAPPED, confirmed=(1,)))
    assert (open_suspects(case), doubt_of(case)) == ((), "")
    plan = replace(swapped(), case=case)
    assert size_state(plan) == "holds"
    assert size_verdict(plan, Units()).startswith("Turn the sleeve to")
    (land,) = case.shell_measured
    assert land.diameter == swapped().case.shell_measured[0].diameter  # kept either way
    part = land_part(land)
    assert [(o["written"], o["confirmed"]) for o in part["standing_out"]] == [("36.673 mm", True)]
    pages = str(readings_pages({"readings": [part], "gauges": []}, Units()))
    assert "36.673 mm at z 20.0 mm" in pages
    assert "It is so, by the case" in pages


def test_sound_readings_put_nothing_in_doubt():
    case = parse_case(text(*SOUND))
    assert (open_suspects(case), doubt_of(case)) == ((), "")


@pytest.mark.parametrize(
    ("values", "part"),
    [("366.37 36.637 36.638", "no wall"), ("3.6637 36.637 36.638", "2 %"), ("38.637 36.637 36.638", "gap")],
)
def test_where_a_slip_leaves_no_part_the_fault_names_the_reading_first(values, part):
    with pytest.raises(CaseError) as caught:
        parse_case(text(SOUND[0], values, SOUND[2]))
    first, second = (str(fault) for fault in caught.value.faults)
    assert "[[shell.bore]] readings: one stands out: " in first
    assert f"{values.split()[0]} mm at z 20.0 mm" in first
    assert "36.637 mm, " in first
    assert part in second


def test_advice_is_never_to_read_to_nothing():
    """0.04 µm is not ± 0.0 µm, and what is needed is rounded down."""
    plan = swapped()
    for own, other, words in (
        (0.00004, None, "± 0.04 µm (0.001 thou)"),
        (0.00519, None, "± 5.1 µm (0.20 thou)"),
        (None, 0.000009, "± 0.009 µm (0.0003 thou)"),
        (None, 0.0, "narrower than a step of the gauge"),
        (float("inf"), None, "a gauge with a finer step would do"),
    ):
        advice = replace(plan.turn_to, accuracy_needed=own, other_needed=other)
        said = not_makeable_text(advice, plan.window, Units())
        assert words in said
        assert "± 0.0 µm" not in said


@pytest.mark.slow
@pytest.mark.parametrize("command", ["check", "size"])
@pytest.mark.parametrize(("confirmed", "code"), [((), 1), ((1,), 0)])
def test_the_first_lines_of_a_screen_name_it(command, confirmed, code, tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(text(*SWAPPED, confirmed=confirmed), encoding="utf-8")
    assert main([command, str(path)]) == code
    first = " ".join(capsys.readouterr().out.split("\n\n")[1].split())
    assert first.startswith("A reading stands out (shell bore, 36.673 mm") is not confirmed
