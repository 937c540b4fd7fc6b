"""From the window to the micrometer reading to turn to, and whether to press."""

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from sizing_cases import PLAIN, light_trike, plain, study_of

from hoopwright import status
from hoopwright.case.read import parse_case, read_case
from hoopwright.case.sizing_model import Boring, SizeInput
from hoopwright.checks import CHECKS
from hoopwright.cli import main
from hoopwright.geometry.readings import Gauge
from hoopwright.measured.measured_land import indicated_diameter
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent
from hoopwright.sizing.boring_plan import boring_plan
from hoopwright.sizing.plan import size_case
from hoopwright.sizing.rounding import readable_band, rounded_inward
from hoopwright.sizing.turn_to import reading_errors, turn_to
from hoopwright.sizing.window import find_window

MICROMETER = Gauge("micrometer", resolution=0.001, accuracy=0.002, zero_error=0.001, repeatability=0.0007)


@pytest.fixture(scope="module")
def trike(tmp_path_factory):
    path = tmp_path_factory.mktemp("cases") / "trike.toml"
    path.write_text(light_trike(), encoding="utf-8")
    return str(path)


@cache
def gauged():
    case = replace(plain(bore_pm=0.003), size=SizeInput(MICROMETER, 3, 6.0, 1.0))
    study = study_of(case)
    return case, study, find_window(case, study, CHECKS)


def test_band_is_the_window_less_the_guard():
    case, study, window = gauged()
    found = turn_to(case, study, window)
    (b,) = found.bands
    assert found.makeable
    assert b.low == pytest.approx(40.040 + window.low.shift + b.guard)
    assert b.high == pytest.approx(40.040 + window.high.shift - b.guard)
    errors = reading_errors(case, "sleeve", 0).plus(study.interference.seats[0].errors)
    assert {p.name for p in errors.components} >= {
        "accuracy of the gauge",
        "zero of the gauge",
        "repeatability of the gauge",
        "part temperature",
        "stated ± of the shell's bore",
    }


@pytest.mark.parametrize(("cut", "process"), [("sleeve", "turned"), ("shell", "bored")])
def test_a_single_reading_to_come_may_not_be_the_mean(cut, process):
    """Its form counts as is usual of how it is cut; three readings spread evenly show its ovality."""
    case, study, window = gauged()
    once = replace(case, size=replace(case.size, readings=1))
    names, of_three = ({p.name for p in reading_errors(c, cut, 0).components} for c in (once, case))
    assert {f"unread ovality ({process})", f"unread bell-mouth ({process})"} <= names
    assert f"unread ovality ({process})" not in of_three
    found = turn_to(once, study, window, cut=cut)
    assert any("a single one" in note and process in note for note in found.notes)
    assert any("mean of 3" in note for note in turn_to(case, study, window, cut=cut).notes)


@pytest.mark.parametrize("cut", ["sleeve", "shell"])
@pytest.mark.parametrize("where", ["low", "high", "anywhere"])
def test_fits_turned_to_the_band_fall_in_the_window_as_often_as_stated(cut, where):
    """Readings at an edge of the band, the worst case, and anywhere in it; all errors sampled anew."""
    case, study, window = gauged()
    (b,) = turn_to(case, study, window, cut=cut).bands
    rng = np.random.default_rng(8)
    count = 40_000
    read = {"low": b.low, "high": b.high, "anywhere": rng.uniform(b.low, b.high, count)}[where]
    errors = (
        0.002 * rng.uniform(-1, 1, count)
        + 0.001 * rng.uniform(-1, 1, count)
        + 0.0007 / 3**0.5 * rng.standard_normal(count)
        + 0.003 * rng.uniform(-1, 1, count)
    )
    alpha = (case.sleeve_material if cut == "sleeve" else case.shell_material).expansion
    errors += 40.0 * alpha * (1.0 * rng.uniform(-1, 1, count) + 6.0 * 0.1 * rng.uniform(-1, 1, count))
    fit = (read - 40.0 if cut == "sleeve" else 40.040 - read) + errors
    share = np.mean((fit >= window.least) & (fit <= window.greatest))
    assert share >= 0.95


def test_shop_temperature_by_hand():
    """At 26 °C a steel sleeve reads 40.04 · α · 6 larger on a gauge told to be at 20 °C; on one that is as
    warm as the shop it reads larger by the difference of both expansions only."""
    case, study, window = gauged()
    told = replace(case, size=replace(case.size, gauge=replace(MICROMETER, temperature_rise=0.0)))
    (b,) = turn_to(told, study, window).bands
    growth = b.shop_low - b.low
    assert growth == pytest.approx(b.low * case.sleeve_material.expansion * 6.0, rel=1e-3)
    (b,) = turn_to(case, study, window).bands
    difference = case.sleeve_material.expansion - MICROMETER.expansion
    assert b.shop_low - b.low == pytest.approx(b.low * difference * 6.0, rel=1e-3)
    assert indicated_diameter(40.0, 6.0, 11.5e-6, gauge_rise=6.0, gauge_expansion=11.5e-6) == pytest.approx(
        40.0
    )


def test_the_aim_in_the_shop_is_the_aim_as_the_warm_gauge_shows_it():
    case, study, window = gauged()
    case = replace(case, size=replace(case.size, gauge=replace(MICROMETER, temperature_rise=0.0)))
    (b,) = turn_to(case, study, window).bands
    growth = 40.04 * case.sleeve_material.expansion * 6.0
    assert b.shop_low <= b.shop_aim <= b.shop_high
    assert b.shop_aim - b.aim == pytest.approx(growth, abs=0.001)  # both on a step of the gauge


def test_each_end_of_a_tapered_sleeve_has_a_band_of_its_own():
    """Its large end inside the band of its mean was 19 µm too small."""
    case, study, window = gauged()
    (land,) = case.sleeve.outside
    tapered = replace(
        land, diameter_start=land.diameter_start - 0.020, diameter_end=land.diameter_end + 0.020
    )
    (plain_band,) = turn_to(case, study, window).bands
    (found,) = turn_to(replace(case, sleeve=replace(case.sleeve, outside=(tapered,))), study, window).bands
    assert plain_band.ends == ()
    assert [e.z for e in found.ends] == [0.0, 60.0]
    for end, off in zip(found.ends, (-0.020, 0.020), strict=True):
        assert (end.low - found.low, end.high - found.high) == pytest.approx((off, off), abs=1e-9)
        assert end.low < end.aim < end.high
    assert found.ends[1].low > found.low + 0.019


def test_limits_are_rounded_inwards_to_what_the_micrometer_shows():
    assert rounded_inward(41.03412, 41.03988, 0.001) == (41.035, 41.039)
    assert rounded_inward(41.035, 41.039, 0.001) == (41.035, 41.039)
    assert rounded_inward(41.0352, 41.0358, 0.001) is None
    low, high = readable_band(41.0341, 41.0399, "inch")
    assert (low, high) == (1.6156, 1.6157)
    assert 41.0341 <= low * 25.4 <= high * 25.4 <= 41.0399
    assert readable_band(41.034, 41.066, "metric", resolution=0.01) == (41.04, 41.06)


def test_a_gauge_too_coarse_is_rejected_with_the_accuracy_that_would_suffice():
    case, study, window = gauged()
    coarse = replace(MICROMETER, accuracy=0.030)
    rough = replace(case, size=replace(case.size, gauge=coarse))
    found = turn_to(rough, study, window)
    assert not found.makeable
    needed = found.accuracy_needed
    assert 0.001 < needed < 0.030
    own = reading_errors(rough, "sleeve", 0).half_width()
    for factor, makeable in ((0.97, True), (1.10, False)):
        k = factor * needed / own  # scales every part of the reading's error alike
        g = Gauge(
            "better",
            resolution=1e-9,
            accuracy=coarse.accuracy * k,
            zero_error=0.001 * k,
            repeatability=0.0007 * k,
        )
        tried = replace(rough, size=SizeInput(g, 3, 6.0, 0.0))
        assert turn_to(tried, study, window).makeable is makeable


def test_the_accuracy_needed_leaves_a_band_of_one_step_of_the_gauge():
    """Window less the error of that reading and of the bore on both sides: one step of 0.01 mm is left."""
    case, study, window = gauged()
    coarse = Gauge("coarse", resolution=0.010, accuracy=0.030)
    found = turn_to(replace(case, size=SizeInput(coarse)), study, window)
    (seat,) = study.interference.seats
    better = reading_errors(replace(case, size=SizeInput(coarse)), "sleeve", 0)
    share = found.accuracy_needed / better.half_width()
    scaled = UncertaintyBudget(tuple(replace(p, scale=p.scale * share) for p in better.components))
    bore = UncertaintyBudget(tuple(p for p in seat.errors.components if "bore" in p.name))
    assert window.width - 2.0 * scaled.plus(bore).half_width() == pytest.approx(0.010, abs=1e-5)


def test_a_bore_with_too_large_an_uncertainty_is_named_as_the_cause():
    case = replace(plain(bore_pm=0.030), size=SizeInput(MICROMETER))
    study = study_of(case)
    window = find_window(case, study, CHECKS)
    found = turn_to(case, study, window)
    assert found.accuracy_needed is None
    assert 0.0 < found.other_needed < 0.030
    # a perfect reading leaves one step of the micrometer where the bore is known to that, rectangular
    bore = UncertaintyBudget((UncertaintyComponent("bore", found.other_needed / 0.95),))
    assert window.width - 2.0 * bore.half_width() == pytest.approx(0.001, abs=2e-5)


def test_bore_to_mirrors_turn_to():
    case, study, window = gauged()
    (b,) = turn_to(case, study, window, cut="shell").bands
    middle = 0.5 * (b.low + b.high)
    assert 40.040 - middle == pytest.approx(0.5 * (window.least + window.greatest), abs=1e-6)


def both_measured(size):
    """The plain case with readings of bore and sleeve, sleeve read `size` mm everywhere."""
    gauge = '[gauge.g]\nresolution = "1 um"\nmax_error = "2 um"\n'
    row = '[[{0}]]\nfrom = "0 mm"\nto = "60 mm"\ngauge = "g"\n'
    row += "readings = ["
    row += ", ".join(
        f'{{{{ z = "{z} mm", angles = "0 45 90 135 deg", values = "{{1}} mm" }}}}' for z in (5, 30, 55)
    )
    row += "]\n"
    text = PLAIN.format(
        bore_pm=0,
        sleeve_pm=0,
        outside_pm=0.0,
        turned=size,
        axial=3.0,
        sleeve="E355 steel",
        closure=60,
        more=gauge,
    )
    text = text.replace('bore_diameter = "40 mm"\nbore_plus_minus = "0 mm"\n', "")
    text = text.replace(f'outside_diameter = "{size} mm"\noutside_plus_minus = "0 mm"\n', "")
    values = "{0:.4f} {0:.4f} {0:.4f} {0:.4f}"
    return parse_case(
        text
        + row.format("shell.bore", values.format(40.0))
        + row.format("sleeve.outside", values.format(size))
    )


@pytest.mark.parametrize(("size", "press"), [(40.050, True), (40.062, False), (40.038, False)])
def test_both_measured_says_go_or_do_not_press(size, press):
    plan = size_case(both_measured(size))
    assert plan.decision.likely_enough is press
    assert plan.remedies == ()  # the window is not empty
    assert plan.decision.likely == pytest.approx(size - 40.0, abs=1e-6)
    if not press:
        corrected = plan.decision.likely - plan.decision.change
        assert corrected == pytest.approx(0.5 * (plan.window.least + plan.window.greatest))


def test_boring_plan_by_hand():
    """Damage to 40.2, runout 0.1: clean at 40.3; wall (46 − 40.3 − 0.1)/2 = 2.8; from 38.5 to 40.3 is 0.9
    per side: 0.05 for finishing, 0.85 in three passes of 0.2833."""
    case = replace(plain(), boring=Boring(38.5, 40.2, 0.1, 0.3, 0.05))
    plan = boring_plan(case)
    assert plan.clean_up == pytest.approx(40.3)
    assert not plan.cleans_up  # the case bores to 40 only
    assert plan.target == pytest.approx(40.3)
    assert plan.wall == pytest.approx(2.8)
    assert [p.cut for p in plan.passes] == pytest.approx([0.85 / 3] * 3 + [0.05])
    assert [p.measure for p in plan.passes] == [False, False, True, False]
    assert plan.passes[-1].diameter == pytest.approx(40.3)
    assert plan.wall_holds


@pytest.mark.parametrize(
    ("units", "cut"), [("metric", "sleeve"), pytest.param("inch", "bore", marks=pytest.mark.slow)]
)
def test_size_fits_eighty_columns_in_either_shop(units, cut, capsys, tmp_path):
    path = tmp_path / "trike.toml"  # whose bore was read before boring, so that a boring plan is shown
    path.write_text(light_trike().replace("[shell]\n", "[shell]\nbored = false\n"), encoding="utf-8")
    assert main(["size", str(path), "--units", units, "--cut", cut]) == status.AS_FAR_AS_JUDGED
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    for word in (
        "Window",
        "95 %",
        "land 1",
        "land 2",
        "blind to odd lobes",
        "Boring plan",
        "measure",
        "not an approval",
        "in",
        "mm",
    ):
        assert word in out


def test_size_document_names_units_and_rounds_inwards(capsys, trike):
    assert main(["size", trike, "--json"]) == status.AS_FAR_AS_JUDGED
    found = json.loads(capsys.readouterr().out)
    assert not found["window"]["empty"]
    for b in found["turn_to"]["bands"]:
        assert b["low_mm"] <= b["readable_mm"][0] <= b["readable_mm"][1] <= b["high_mm"]
        low, high = (25.4 * v for v in b["readable_in"])
        assert b["low_mm"] <= low <= high <= b["high_mm"]
    assert {"diameter_mm", "plus_minus_um", "ovality_um", "budget"} <= set(found["readings"][0])


@pytest.mark.slow
def test_turned_to_the_middle_of_the_band_the_trike_holds(trike):
    """The answer of `size`, put back into the case as the sleeve's own readings, says go."""
    case = read_case(trike)
    plan = size_case(case)
    for b in plan.turn_to.bands:
        assert b.low < case.sleeve.outside[b.index].mean_diameter < b.high
    text = light_trike()
    for b in plan.turn_to.bands:
        land = case.sleeve.outside[b.index]
        middle = 0.5 * (b.low + b.high)
        old = f'to = "{land.z_end:g} mm"\ndiameter = "{land.mean_diameter:.3f} mm"\nplus_minus = "3 um"\n'
        assert old in text
        new = (
            f'to = "{land.z_end:g} mm"\ngauge = "micrometer"\n'
            f'readings = [{{ z = "{land.z_end - 5:g} mm", '
            f'values = "{middle:.4f} {middle:.4f} {middle:.4f} mm" }}]\n'
        )
        text = text.replace(old, new, 1)
    again = size_case(parse_case(text))
    assert again.decision.likely_enough
    assert again.decision.probability >= 0.95
