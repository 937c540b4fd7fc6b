"""A sleeve slipped in by heat: whether it drops in, what it is judged for, and how it comes to grip."""

from __future__ import annotations

import json

import numpy as np
import pytest
from cells import cell_of, stages_of
from plain_pair import plain_pair

from hoopwright import status
from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of, judged
from hoopwright.checks.drops_in import drops_in
from hoopwright.cli import main
from hoopwright.fem import Resolution
from hoopwright.pipeline import check_case
from hoopwright.sizing.remedies import try_remedies
from hoopwright.slipping_in import slipping_in
from hoopwright.state import FrictionPath, let_go, warmed, while_cooling
from hoopwright.study import CaseStudy
from hoopwright.verdict import verdict_state

PLAIN = plain_pair(
    shell='bore_diameter = "41.000 mm"\nbore_plus_minus = "4 um"',
    sleeve='outside_diameter = "41.036 mm"\noutside_plus_minus = "3 um"\nchamfer_right = "1 mm"',
    fit='roughness_bore = "12 um"\nroughness_sleeve = "8 um"\n',
    more="""[temperatures]
use_least = "-10 degC"
use_most = "45 degC"
[service]
none = "turned by hand"
[press]
capacity = "100 kN"
""",
)
HOT = 'method = "heat"\n[press.heat]\nshell_most = "110 degC"\n'
SMOOTHED = 16.0
"""0.8 (Rz 12 + 8), µm."""


def slipped(text=PLAIN, *, hot="110 degC", more=""):
    return parse_case(text + HOT.replace("110 degC", hot) + more)


def study_of(case):
    return CaseStudy(case, Resolution(elements_through_wall=2))


def rows(case):
    return {row.id: row for row in judged(evidence_of(case, study_of(case)))}


@pytest.fixture(scope="module")
def pushed():
    return rows(parse_case(PLAIN))


@pytest.fixture(scope="module")
def hot():
    return rows(slipped())


# ---- the rows ----------------------------------------------------------------------------------


def test_whether_it_drops_in_takes_the_place_of_all_that_pushing_does(pushed, hot):
    assert {"press_force", "ends_crush"} <= set(pushed)
    assert "drops_in" not in pushed
    assert not {"press_force", "ends_crush"} & set(hot)
    assert stages_of(hot["drops_in"]) == ["entering"]
    entering = {name for name, row in hot.items() if "entering" in stages_of(row)}
    assert entering == {"drops_in"}
    assert {"shell_yields", "sleeve_yields", "sleeve_buckles"} <= {
        name for name, row in pushed.items() if "entering" in stages_of(row)
    }


def test_it_drops_in_by_the_least_gap_over_the_gap_wanted(hot):
    case = slipped()
    row = hot["drops_in"]
    half = slipping_in(case).half_width
    gap = 41.0 * (1.0 + 23.4e-6 * 90.0) - 41.036 - half
    assert row.demand.value == pytest.approx(41.0)  # a thousandth of the bore
    assert row.capacity.value == pytest.approx(1e3 * gap, rel=1e-9)
    assert row.margin == pytest.approx(1e3 * gap / 41.0 - 1.0)
    assert row.state == "holds"


@pytest.mark.parametrize("oval", [60, 90])
def test_an_ovality_that_takes_the_gap_makes_it_stick(oval):
    text = PLAIN.replace("[sleeve]", f'[shell.out_of_round]\novality = "{oval} um"\n[sleeve]', 1)
    row = rows(slipped(text))["drops_in"]
    assert row.state == "fails"
    assert row.capacity.value == pytest.approx(
        1e3 * (41.0 * (1.0 + 23.4e-6 * 90.0) - 41.036 - slipping_in(slipped()).half_width)
        - 0.5 * oval * (1.0 + 23.4e-6 * 90.0),
        abs=1e-6,
    )
    assert "it takes a shell at" in row.note


def test_both_temperatures_count():
    row = rows(slipped(more='sleeve_cold = "-78 degC"\nclearance = "30 um"\n'))["drops_in"]
    case = slipped()
    gap = 41.0 * (23.4e-6 * 90.0 + case.sleeve_material.expansion * 98.0) - 0.036
    assert row.capacity.value == pytest.approx(1e3 * (gap - slipping_in(case).half_width), abs=1e-6)
    assert row.demand.value == pytest.approx(30.0)


def test_a_shell_hotter_than_its_temper_stands_holds_nowhere():
    text = PLAIN.replace('"6061-T6"', '"7020-T6"')
    for degrees, doubted in ((110, False), (150, True)):
        found = rows(slipped(text, hot=f"{degrees} degC"))
        cells = [found["drops_in"], *found["shell_yields"].cells]
        assert [bool(cell.doubt) for cell in cells] == [doubted] * len(cells)
        assert all((cell.state == "unresolved") == doubted for cell in cells)
        assert not found["sleeve_yields"].doubt


def test_beyond_100_degrees_a_metal_of_unknown_temper_is_in_doubt():
    own = """[material.own]
young_modulus = "205 GPa"
poisson_ratio = 0.3
expansion = "20e-6 /K"
yield_strength = "250 MPa"
density = "7850 kg/m^3"
source = "invented"
"""
    text = PLAIN.replace('"6061-T6"', '"own"').replace("[shell]", f"{own}[shell]")
    for degrees, doubted in ((100, False), (110, True)):
        assert bool(rows(slipped(text, hot=f"{degrees} degC"))["drops_in"].doubt) == doubted


# ---- the fit -----------------------------------------------------------------------------------


def test_nothing_is_smoothed(pushed, hot):
    """Rz 12 + 8 takes 16 µm off a fit that is pushed in where it must hold and 8 where it must bear the
    stress, and nothing off one that slips in."""
    least, kept = (r["stays_tight"].capacity.value for r in (pushed, hot))
    assert kept - least == pytest.approx(SMOOTHED)
    assert 1e3 * study_of(slipped()).nominal_interference == pytest.approx(36.0)
    assert hot["pushed_out"].margin > pushed["pushed_out"].margin
    assert cell_of(hot["shell_yields"], "pressed").demand.value > 1.2 * (
        cell_of(pushed["shell_yields"], "pressed").demand.value
    )


def test_the_state_says_how_it_was_put_together():
    for case, slips in ((slipped(), True), (parse_case(PLAIN), False)):
        free, *paths = let_go(case, 0.0)
        assert free.path is None
        assert [state.path.slipped_in for state in paths] == [slips, slips]
        assert all("slipped in" in state.friction_text for state in paths) == slips
        later = warmed(case, 0.0, (25.0,))
        assert {state.path.slipped_in for state in later if state.path} == {slips}


def test_it_cools_along_the_path_from_where_the_parts_touch():
    """At no friction it is the frictionless fit; with it the shell's own shrinkage along the axis adds
    push to the sleeve, so that it presses harder, and grows with friction."""
    study = study_of(slipped())

    def fit(friction):
        path = FrictionPath(
            friction, friction, slipped_in=True, pressed_at=0.0, let_go=True, warmed=(), clamped=()
        )
        return study.fine.moment(0.0, path)

    free, low, high, stuck = (fit(mu) for mu in (0.0, 0.1, 0.2, 1.5))
    alone = study.at(let_go(slipped(), 0.0)[0]).finest.normal_force
    assert free.normal_force == pytest.approx(alone, rel=1e-6)
    assert free.normal_force < low.normal_force < high.normal_force < stuck.normal_force
    for moment, mu in ((low, 0.1), (high, 0.2)):
        assert np.all(np.abs(moment.state.along) <= mu * moment.state.normal * (1 + 1e-9) + 1e-9)
        assert abs(moment.axial_force) < 1e-6 * moment.normal_force


def test_what_follows_starts_from_where_it_cooled_to():
    """A little warmer and back, the sleeve that slipped in is not where the one that was pushed is: at this
    friction 5 K do not make all of it slip."""
    study = study_of(slipped())
    slipped_in, pushed_in = (
        study.fine.moment(
            0.0,
            FrictionPath(
                0.3, 0.3, slipped_in=slips, pressed_at=0.0, let_go=True, warmed=(5.0, 0.0), clamped=()
            ),
        )
        for slips in (True, False)
    )
    apart = np.abs(slipped_in.state.along - pushed_in.state.along).max()
    assert apart > 0.1 * np.abs(pushed_in.state.along).max()


def test_a_sleeve_that_warms_up_in_its_shell_and_expands_more_is_tightest_then():
    """An aluminium sleeve at 20 °C in a steel shell at 150 °C: they share their heat at 111 °C, where the
    fit is 12.0e-6 × 41 mm × 91 K = 45 µm tighter than on the bench. Heat by hand: ρ c A for each."""
    text = PLAIN.replace('"6061-T6"', '"1025 steel"').replace('"E355 steel"', '"6061-T6"')
    case = slipped(text, hot="150 degC")
    shell, sleeve = (
        m.density * c * (outer**2 - inner**2)
        for m, c, outer, inner in (
            (case.shell_material, 470.0, 48.0, 41.0),
            (case.sleeve_material, 900.0, 41.036, 35.5),
        )
    )
    shared = 130.0 * shell / (shell + sleeve)
    free, *paths = while_cooling(case, 0.0)
    assert free.temperature_rise == pytest.approx(shared, rel=1e-9)
    assert [state.path.warmed for state in paths] == [(free.temperature_rise,)] * 2
    assert all(s.path.warmed == (free.temperature_rise, 0.0) for s in let_go(case, 0.0) if s.path)
    study = study_of(case)
    cold = study.at(let_go(case, 0.0)[0]).finest.normal_force
    tighter = 41.0 * (case.sleeve_material.expansion * shared - case.shell_material.free_strain(shared))
    assert study.at(free).finest.normal_force == pytest.approx(cold * (1.0 + tighter / 0.036), rel=0.01)
    pressed = cell_of(rows(case)["shell_yields"], "pressed")
    assert pressed.when.temperature_rise == pytest.approx(shared)
    assert cell_of(rows(case)["sleeve_buckles"], "pressed").when.temperature_rise == pytest.approx(shared)
    assert cell_of(rows(case)["pushed_out"], "pressed").when.temperature_rise == 0.0


def test_a_sleeve_that_expands_less_than_its_shell_is_tightest_on_the_bench():
    assert while_cooling(slipped(), 0.0) == ()
    assert while_cooling(parse_case(PLAIN), 0.0) == ()


# ---- faults ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("press", "key"),
    [
        ('method = "heat"\n', "method"),
        ('method = "heat"\n[press.heat]\nclearance = "30 um"\n', "method"),
        ('method = "oven"\n', "method"),
        ('method = "heat"\ntemperature = "40 degC"\n[press.heat]\nshell_most = "30 degC"\n', "method"),
        ('observed_peak = "8 kN"\n' + HOT, "observed_peak"),
        ('log = "press.csv"\n' + HOT, "log"),
        ('observed_closure = "8 um"\n' + HOT, "observed_closure"),
    ],
)
def test_what_a_sleeve_that_slips_in_lacks_or_cannot_have_is_one_clear_line(press, key):
    with pytest.raises(CaseError) as raised:
        parse_case(PLAIN + press)
    assert len(raised.value.faults) == 1
    assert f"[press] {key}" in str(raised.value)


def test_heat_as_a_remedy_is_judged_by_whether_it_drops_in():
    """It promised to do without a press and asked nothing of the gap."""
    case = parse_case(PLAIN + '[press.heat]\nshell_most = "110 degC"\n')
    found = next(r for r in try_remedies(case, (drops_in,)) if "heat and cold" in r.change)
    assert found.window.high.by.id == "drops_in"
    gap = 41.0 * (23.4e-6 * 90.0 + case.sleeve_material.expansion * 38.0) - 0.041
    assert found.window.greatest == pytest.approx(gap, abs=1e-4)


# ---- what is shown -----------------------------------------------------------------------------


@pytest.mark.slow
def test_check_press_and_record_show_it(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(PLAIN + HOT, encoding="utf-8")
    assert verdict_state(check_case(slipped())) == "holds"
    assert main(["check", str(path)]) == status.ALL_HOLD
    checked = capsys.readouterr().out
    assert "slips in" in checked
    assert "ends crush" not in checked
    assert "press is strong enough" not in checked
    assert main(["press", str(path)]) == status.ALL_HOLD
    screen = capsys.readouterr().out
    assert "Slipping in" in screen
    assert "as the case has it" in screen
    assert "Pressing in from" not in screen
    assert max(map(len, (checked + screen).splitlines())) <= 80
    assert main(["press", "--json", str(path)]) == status.ALL_HOLD
    document = json.loads(capsys.readouterr().out)
    assert document["method"] == "heat"
    assert document["force_against_travel"] is None
    assert document["heat_and_cold"]["ways"][0]["gap_um"] == pytest.approx(44.9, abs=0.1)
    assert main(["record", str(path), "--out", str(tmp_path)]) == status.ALL_HOLD
    results = json.loads((tmp_path / "case-001" / "results.json").read_text(encoding="utf-8"))
    assert results["settings"]["press_method"] == "heat"
    assert results["settings"]["smoothing_um"] == 0.0
    assert results["press"]["force_against_travel"] is None
    assert main(["verify", str(tmp_path / "case-001")]) == 0


def test_a_sleeve_that_sticks_is_said_first(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(PLAIN + HOT.replace("110", "60"), encoding="utf-8")
    assert main(["press", str(path)]) == status.SOME_FAIL
    screen = capsys.readouterr().out
    assert "Do not slip it in: slips in" in screen
    assert "sticks" in screen


def test_a_figure_of_the_force_is_refused(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(PLAIN + HOT, encoding="utf-8")
    assert main(["press", str(path), "--figure", str(tmp_path / "force.png")]) == status.BAD_INPUT
    assert "no force to draw" in capsys.readouterr().err
