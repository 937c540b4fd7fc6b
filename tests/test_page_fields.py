"""Fields and steps of the bench page: what is typed, where it comes from, what is wrong, what follows."""

import tomllib

import pytest
from markupsafe import escape
from page_benches import TRIKE, bench, demo, html, starter
from plain_pair import plain_pair
from small_cases import SLIPS_IN

from hoopwright.case.read import parse_case
from hoopwright.document.check import document
from hoopwright.errors import CaseError
from hoopwright.page.as_typed import echo, is_signed, split
from hoopwright.page.fields import field, field_id
from hoopwright.page.paths import declared_at, heading_at, path_to, steps_of, value_at
from hoopwright.page.quick import bore_limit, quick
from hoopwright.page.steps import damage, piece, sizes, use
from hoopwright.pipeline import check_case

STEPS = (piece.STEP, sizes.STEP, damage.STEP, use.STEP)
WITH_PRESETS = demo(TRIKE).replace("[job]", '[preset]\nuse = "cargo"\n[job]', 1)


# ---- paths ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "heading"),
    [
        ("title", ("", "title")),
        ("shell.width", ("[shell]", "width")),
        ("shell.bore[1].diameter", ("[[shell.bore]] 2", "diameter")),
        ("shell.bore[0].readings[2].z", ("[[shell.bore]] 1 readings 3", "z")),
        ("sleeve.bore[0].thread.major", ("[[sleeve.bore]] 1 thread", "major")),
        ('gauge."bore gauge".resolution', ('[gauge."bore gauge"]', "resolution")),
    ],
)
def test_path_leads_to_the_heading_of_the_fault(path, heading):
    assert heading_at(path) == heading
    assert path_to(*steps_of(path)) == path
    assert declared_at(path).name == steps_of(path)[-1]


def test_a_fault_names_the_place_that_its_path_leads_to():
    """Against the reader of the case, which writes the headings."""
    for path, typed in (
        ("shell.bore[1].from", '"x"'),
        ('gauge."bore gauge".resolution', '"9 m"'),
        ("shell.bore[0].readings[1].z", '"x"'),
    ):
        text = demo(TRIKE)
        values = tomllib.loads(text)
        old = value_at(values, path)
        broken = text.replace(f'"{old}"', typed)
        with pytest.raises(CaseError) as caught:
            parse_case(broken)
        assert any((f.table, f.key) == heading_at(path) for f in caught.value.faults), path


@pytest.mark.parametrize("path", ["shell..width", "shell[", "[x]]", "a b"])
def test_what_is_no_path_is_refused(path):
    with pytest.raises(ValueError, match="not the path"):
        steps_of(path)


# ---- fields --------------------------------------------------------------------------------------


def test_field_at_rest_shows_what_is_typed_and_the_other_system():
    made = field(bench(demo(TRIKE)), "sleeve.outside[0].diameter", "sleeve outside")
    assert (made.state, made.typed, made.unit, made.echo) == ("rest", "41.034", "mm", "1.6155 in")
    assert (made.step, made.given, made.fault) == ("0.001", True, "")


@pytest.mark.parametrize(
    ("path", "typed", "system", "shown"),
    [
        ("shell.width", "83 mm", "metric", ("83", "mm")),
        ("shell.width", "83 mm", "inch", ("83 mm", "")),
        ("shell.width", "3 1/4 in", "inch", ("3 1/4", "in")),
        ("shell.width", "8.3 cm", "metric", ("8.3 cm", "")),
        ("shell.bore_plus_minus", "5 um", "metric", ("5", "um")),
        ("shell.bore_plus_minus", "0.005 mm", "metric", ("0.005 mm", "")),
        ("shell.bore_plus_minus", "2 thou", "inch", ("2", "thou")),
        ("temperatures.use_least", "-5 degC", "metric", ("-5", "degC")),
        ("fit.friction_low", 0.1, "metric", ("0.1", "")),
        ("sleeve.tap_after_pressing", True, "metric", ("true", "")),
    ],
)
def test_only_the_unit_of_a_bare_number_stands_beside_it(path, typed, system, shown):
    """A number typed over "0.005 mm" must not be taken for µm unseen."""
    assert split(typed, declared_at(path), system) == shown


def test_signed_fields_have_a_key_for_the_sign():
    paths = ("temperatures.use_least", "compound.gap_least", "temperatures.oven", "sleeve.start")
    assert [p for p in paths if is_signed(declared_at(p))] == list(paths[:2])


def test_size_from_readings_leads_to_them():
    made = field(bench(demo(TRIKE)), "shell.bore[0].diameter", "bore")
    assert (made.state, made.typed, made.href) == (
        "readings",
        "41.000 mm",
        "readings?land=shell.bore%5B0%5D",
    )
    assert made.note == "from 12 readings"
    assert field(bench(demo(TRIKE), "inch"), "shell.bore[0].diameter", "bore").typed == "1.6142 in"


def test_preset_is_shown_with_its_value_and_what_it_rests_on():
    made = field(bench(WITH_PRESETS), "service.chainring_radius", "chainring")
    assert (made.state, made.typed, made.unit, made.given) == ("preset", "64", "mm", False)
    assert made.note == "preset: use cargo; common practice, no source"


def test_preset_is_shown_while_the_case_has_faults():
    """A fault elsewhere does not make what a preset fills in look empty."""
    at = bench(WITH_PRESETS.replace('width = "83 mm"', 'width = "83"'))
    assert at.case is None
    assert field(at, "service.chainring_radius", "chainring").state == "preset"


def test_own_value_goes_before_the_preset_and_says_so():
    made = field(bench(WITH_PRESETS), "service.chain_line", "chain line")
    assert (made.state, made.typed, made.instead) == ("rest", "48", "47 mm")
    assert made.note == "yours, in place of 47 mm of the preset use cargo"


@pytest.mark.parametrize(
    ("path", "typed", "other"),
    [
        ("press.gauge_division", "2 bar", "29 psi"),
        ("press.gauge_division", "100 psi", "6.89 bar"),
        ("press.capacity", "15 short ton", "133.4 kN"),
        ("demand.torque", "10 N*m", "7.4 ft·lbf"),
        ("temperatures.use_least", "-5 degC", "23.0 °F"),
        ("size.shop_plus_minus", "1 K", "1.8 °F"),
        ("shell.width", "0 mm", ""),
        ("fit.friction_low", 0.1, ""),
    ],
)
def test_the_other_system_is_said_as_the_trade_says_it(path, typed, other):
    assert echo(typed, declared_at(path)) == other


def test_nothing_given_says_what_that_means():
    at = bench(starter())
    assert field(at, "shell.out_of_round.ovality", "ovality").note.endswith("0 mm counts while it is empty")
    assert field(at, "shell.bored", "bored").state == "nothing"
    own = field(bench(starter(), "inch"), "temperatures.oven", "oven")
    assert own.note.endswith("e.g. 374 °F")


def test_what_is_only_missing_is_wanted_and_not_wrong():
    made = field(bench("[shell]\n"), "shell.width", "shell width")
    assert (made.state, made.fault, made.required) == ("nothing", "", True)
    assert made.note == "wanted: of the shell; e.g. 73 mm"


def test_fault_of_the_file_stands_at_its_field_in_the_words_of_the_command():
    at = bench(starter().replace('width = "50 mm"', 'width = "50,0 mm"'))
    made = field(at, "shell.width", "width")
    assert made.state == "fault"
    assert made.typed == "50,0 mm"
    assert f'[shell] width = "50,0 mm": {made.fault}' in str(at.faults[0])


def test_value_that_was_not_taken_stays_in_the_field_and_the_old_one_is_named():
    at = bench(starter(), shell__width=("5 km", "beyond 5 m, more than any job needs"))
    made = field(at, "shell.width", "width")
    assert (made.state, made.typed, made.fault) == ("fault", "5 km", "beyond 5 m, more than any job needs")
    assert made.note == "in use: 50 mm"


def test_fault_of_a_whole_surface_stands_beside_its_diameter():
    text = plain_pair(shell='bore_diameter = "50 mm"')
    at = bench(text)  # larger than the outside
    assert field(at, "shell.bore_diameter", "bore").state == "fault"


def test_every_fault_of_the_sizes_is_shown_somewhere():
    text = plain_pair(
        shell='[[shell.bore]]\nfrom = "0 mm"\nto = "20 mm"\ndiameter = "41 mm"\n'
        '[[shell.bore]]\nfrom = "30 mm"\nto = "60 mm"\ndiameter = "41 mm"'
    ).replace('length = "60 mm"', 'length = "60"')
    at = bench(text)
    shown = html(sizes.STEP, at)
    assert at.faults
    for fault in at.faults:
        assert str(escape(fault.problem)) in shown, fault


def test_ids_of_fields_differ_where_paths_do():
    paths = ['gauge."a b".resolution', 'gauge."a-b".resolution', "shell.bore[1].to", "shell.bore_diameter"]
    assert len({field_id(p) for p in paths}) == len(paths)


# ---- at once -------------------------------------------------------------------------------------


def test_what_is_said_at_once_is_what_the_check_says():
    case = parse_case(SLIPS_IN)
    told = document(check_case(case))
    found = quick(case)
    fit = told["fit"]["diametral_interference_um"]
    assert 1e3 * found.interference == pytest.approx(fit["nominal"], rel=1e-8)
    assert 1e3 * (found.interference - found.plus_minus) == pytest.approx(fit["least"], rel=1e-8)
    assert 1e3 * (found.interference + found.plus_minus) == pytest.approx(fit["greatest"], rel=1e-8)
    lame = told["closed_form"]
    assert found.pressure == pytest.approx(lame["contact_pressure_MPa"], rel=1e-8)
    assert found.shell_hoop == pytest.approx(lame["shell_bore_hoop_MPa"], rel=1e-8)
    assert found.sleeve_hoop == pytest.approx(lame["sleeve_bore_hoop_MPa"], rel=1e-8)
    wall = next(c for c in told["checks"] if c["id"] == "wall_left")
    assert found.wall == pytest.approx(wall["capacity"], rel=1e-8)
    assert found.wall_z == pytest.approx(wall["where"]["z_mm"])


LIMITED = plain_pair(
    shell='bore_diameter = "41 mm"\nbore_plus_minus = "4 um"\noutside_plus_minus = "30 um"\n'
    'least_wall = "2.5 mm"\nrunout = "0.06 mm"\nout_of_round = { ovality = "20 um" }'
)


def test_bore_at_the_limit_leaves_just_the_least_wall():
    limit = bore_limit(parse_case(LIMITED))
    for more, enough in ((0.0, True), (2e-3, False)):
        bore = limit + more
        text = LIMITED.replace('"41 mm"', f'"{bore:.9f} mm"').replace("41.036 mm", f"{bore + 0.036:.9f} mm")
        left = quick(parse_case(text)).wall
        assert (left >= 2.5 - 1e-8) == enough


def test_without_a_limit_no_bore_is_too_large():
    assert bore_limit(parse_case(plain_pair())) is None
