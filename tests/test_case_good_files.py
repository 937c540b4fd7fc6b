"""What a valid case file is read as."""

from __future__ import annotations

import hashlib

import pytest

from hoopwright.case import DemandInput, Factors, MeshInput, parse_case, read_case
from hoopwright.materials import table
from hoopwright.starters import starter_text

METRIC = """
title = "Invented hub shell"
[shell]
material = "6061-T6"
width = "76.2 mm"
least_wall = "1.524 mm"
[[shell.outside]]
from = "0 mm"
to = "25.4 mm"
diameter = "45.72 mm"
[[shell.outside]]
from = "25.4 mm"
to = "76.2 mm"
diameter_from = "45.72 mm"
diameter_to = "44.45 mm"
[[shell.bore]]
from = "0 mm"
to = "76.2 mm"
diameter = "39.37 mm"
plus_minus = "0.00508 mm"
[sleeve]
material = "1025 steel"
start = "12.7 mm"
length = "50.8 mm"
outside_diameter = "39.4208 mm"
bore_diameter = "34.925 mm"
chamfer_left = "0.508 mm"
[fit]
friction_low = 0.08
friction_high = 0.2
temperature = "20 degC"
[demand]
torque = "50 N*m"
"""

INCH = """
title = "Invented hub shell"
[shell]
material = "6061-T6"
width = "3 in"
least_wall = "60 thou"
[[shell.outside]]
from = "0 in"
to = "1 in"
diameter = "1.8 inch"
[[shell.outside]]
from = "1000 thou"
to = "3.000 in"
diameter_from = "1.800 in"
diameter_to = "1.750 in"
[[shell.bore]]
from = "0 in"
to = "3 in"
diameter = "1.55 in"
plus_minus = "2 tenths"
[sleeve]
material = "1025 steel"
start = "0.5 in"
length = "2 in"
outside_diameter = "1.552 in"
bore_diameter = "1.375 in"
chamfer_left = "20 thou"
[fit]
friction_low = 0.08
friction_high = 0.2
temperature = "68 degF"
[demand]
torque = "50 Nm"
"""


def test_the_same_parts_in_mm_and_in_inches_are_identical():
    metric, inch = parse_case(METRIC), parse_case(INCH)
    assert inch.shell == metric.shell
    assert inch.sleeve == metric.sleeve
    assert inch.fit == metric.fit
    assert (inch.demand, inch.min_wall_mm) == (metric.demand, metric.min_wall_mm)


def test_sizes_are_read_in_mm():
    case = parse_case(METRIC)
    assert case.shell.width == 76.2
    assert case.shell.bore[0].plus_minus == 0.00508
    assert (case.sleeve.z_start, case.sleeve.z_end) == (12.7, 63.5)
    assert case.shell.outside[1].diameter_end == 44.45


def test_omitted_keys_take_the_defaults_of_the_model():
    case = parse_case(METRIC)
    assert case.factors == Factors()
    assert case.mesh == MeshInput()
    assert case.runout_mm == 0.0
    assert case.invented is False
    assert case.demand == DemandInput(axial_force=0.0, torque=50_000.0)
    assert case.job.owner == ""


def test_a_case_without_demand_is_accepted():
    assert parse_case(METRIC.partition("[demand]")[0]).demand is None


def test_fit_temperature_is_the_rise_above_20_degC():
    case = parse_case(METRIC.replace('temperature = "20 degC"', 'temperature = "212 degF"'))
    assert case.fit.temperature_rise_K == pytest.approx(80.0, abs=1e-9)


def test_a_toml_date_is_accepted_as_the_date():
    assert parse_case(METRIC + "[job]\ndate = 2024-05-17\n").job.date == "2024-05-17"


def test_combining_characters_and_joined_emoji_are_read_as_typed():
    title = "کشیدن نمی‌خواهد 👩‍🔧"
    assert parse_case(METRIC.replace("Invented hub shell", title)).title == title


def test_land_ends_that_differ_by_rounding_are_joined():
    text = METRIC.replace('to = "25.4 mm"', 'to = "1.00000001 in"', 1)
    left, right = parse_case(text).shell.outside
    assert left.z_end == right.z_start == pytest.approx(25.4, abs=1e-6)


def test_thread_zone_has_the_major_diameter_as_structural_bore():
    zones = '[[sleeve.bore]]\nfrom = "12.7 mm"\nto = "63.5 mm"\nthread = "1.375 in x 24 tpi left"\n[fit]'
    text = METRIC.replace('bore_diameter = "34.925 mm"\n', "").replace("[fit]", zones)
    (zone,) = parse_case(text).sleeve.bore
    assert zone.diameter == zone.thread.major == 34.925
    assert zone.thread.left_hand


def test_a_custom_thread_is_given_by_its_sizes():
    own = 'thread = { major = "34.80 mm", pitch = "1.0583 mm", minor = "33.7 mm", hand = "left" }'
    text = METRIC.replace('bore_diameter = "34.925 mm"\n', "")
    text = text.replace("[fit]", f'[[sleeve.bore]]\nfrom = "12.7 mm"\nto = "63.5 mm"\n{own}\n[fit]')
    thread = parse_case(text).sleeve.bore[0].thread
    assert (thread.major, thread.pitch, thread.minor, thread.left_hand) == (34.8, 1.0583, 33.7, True)
    assert thread.source == "case file"


def test_a_custom_material_carries_the_source_stated_in_the_file():
    own = """
[material."shop bar"]
young_modulus = "10.0e3 ksi"
poisson_ratio = 0.33
expansion = "13e-6 /degF"
yield_strength = "35 ksi"
ultimate_strength = "262 N/mm2"
density = "0.098 lb/in^3"
source = "invented certificate"
basis = "measured"
"""
    case = parse_case(METRIC.replace("6061-T6", "shop bar") + own)
    material = case.shell_material
    assert material.name == "shop bar"
    # 1 ksi = 6.894757 MPa; 1 K = 1.8 degF
    assert material.young_modulus == pytest.approx(68947.57, rel=1e-7)
    assert material.expansion == pytest.approx(23.4e-6, rel=1e-12)
    assert material.yield_strength == pytest.approx(241.3165, rel=1e-6)
    assert material.source_of("yield_strength").source == "invented certificate"
    assert material.source_of("density").basis == "measured"


def test_materials_of_the_table_are_looked_up_by_name():
    case = parse_case(METRIC)
    assert case.shell_material is table()["6061-T6"]
    assert case.sleeve_material is table()["1025 steel"]


def test_materials_can_be_passed_as_an_argument():
    only = {"6061-T6": table()["6061-T6"], "1025 steel": table()["6061-T6"]}
    assert parse_case(METRIC, materials=only).sleeve_material is table()["6061-T6"]


def test_the_starter_is_valid_as_it_is_and_marked_as_a_sample():
    case = parse_case(starter_text())
    assert case.sample
    assert case.demand.axial_force > 0.0
    assert case.factors == Factors()


def test_a_starter_written_and_read_back_is_the_same_case_with_its_digest(tmp_path):
    path = tmp_path / "starter.toml"
    path.write_text(starter_text(), encoding="utf-8")
    case = read_case(path)
    assert case.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert case.shell == parse_case(starter_text()).shell
    assert case.file == str(path)


def test_the_starter_is_valid_without_its_optional_tables():
    text = starter_text()
    for table_name in ("job", "factors", "press", "demand"):
        before, _, after = text.partition(f"\n[{table_name}]")
        text = before + "\n" + "\n[".join(["", *after.split("\n[")[1:]])
    case = parse_case(text)
    assert case.demand is None
    assert len(case.sleeve.bore) == 3


def test_hundreds_of_readings_on_one_line_are_read():
    values = " ".join(["39.371"] * 500)
    gauge = '[gauge.g]\nresolution = "1 um"\nmax_error = "2 um"\n'
    text = METRIC.replace(
        'diameter = "39.37 mm"\nplus_minus = "0.00508 mm"',
        f'gauge = "g"\nreadings = [{{ z = "9 mm", values = "{values} mm" }}]',
    )
    (measured,) = parse_case(text + gauge).shell_measured
    assert len(measured.readings.stations[0].values) == 500
