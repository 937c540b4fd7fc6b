"""Reading quantities with units. Exact factors: 1 in = 25.4 mm, 1 lb = 0.45359237 kg (international yard
and pound agreement, 1959) and g = 9.80665 m/s² (CGPM 1901), so 1 lbf = 4.4482216152605 N."""

from __future__ import annotations

import re
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoopwright.case import CaseError, parse_case
from hoopwright.case.quantity import KINDS, QuantityError, parse
from hoopwright.starters import starter_text

LBF = 4.4482216152605


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("46.02 mm", "length", 46.02),
        ("1.370 in", "length", 34.798),
        ("2 thou", "length", 0.0508),
        ("1 3/4 in", "length", 44.45),
        ("1-3/8 in", "length", 34.925),
        ("3/8 inch", "length", 9.525),
        ("26 tpi", "pitch", 25.4 / 26),
        ("2 tenths", "length", 0.00508),
        ("5 um", "length", 0.005),
        ("5 µm", "length", 0.005),
        ("4.602e1mm", "length", 46.02),
        ("−3 mm", "length", -3.0),
        ("2 kN", "force", 2000.0),
        ("450 lbf", "force", 450 * LBF),
        ("10 kgf", "force", 98.0665),
        ("20 metric tons", "force", 20_000 * 9.80665),
        ("20 t", "force", 20_000 * 9.80665),
        ("20 short ton", "force", 40_000 * LBF),
        ("20 long ton", "force", 44_800 * LBF),
        ("35 N*m", "torque", 35_000.0),
        ("35 Nm", "torque", 35_000.0),
        ("35 N·m", "torque", 35_000.0),
        ("26 ft*lbf", "torque", 26 * LBF * 304.8),
        ("300 in-lbf", "torque", 300 * LBF * 25.4),
        ("205 GPa", "stress", 205_000.0),
        ("40 ksi", "stress", 40_000 * LBF / 25.4**2),
        ("276 N/mm2", "stress", 276.0),
        ("20 degC", "temperature", 0.0),
        ("68 degF", "temperature", 0.0),
        ("-4 °F", "temperature", -40.0),
        ("293.15 K", "temperature", 0.0),
        ("9 degF", "temperature_difference", 5.0),
        ("5 degC", "temperature_difference", 5.0),
        ("23.1e-6 / K", "expansion", 23.1e-6),
        ("13 uin/in/degF", "expansion", 23.4e-6),
        ("2.7 g/cm^3", "density", 2700.0),
        ("0.1 lb/in^3", "density", 0.1 * 0.45359237 / 0.0254**3),
        ("180 deg", "angle", 3.141592653589793),
    ],
)
def test_a_quantity_is_converted_to_the_internal_unit(text, kind, value):
    assert parse(text, kind) == pytest.approx(value, rel=1e-11, abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_of_every_kind_is_a_quantity_of_that_kind(kind):
    parse(KINDS[kind].example, kind)


def test_a_number_without_unit_suggests_the_number_with_one():
    with pytest.raises(QuantityError) as caught:
        parse("83", "length")
    assert caught.value.suggestion == "83 mm"


@pytest.mark.parametrize(
    ("number", "kind", "example", "metric", "inch"),
    [
        (1000, "force", "2 kN", "1000 N", "1000 lbf"),  # an axial force
        (20, "force", "2 kN", "20 kN", "20 lbf"),
        (2, "force", "1500 N", "2 kN", "2 lbf"),
        (150, "force", "50 kN", "150 kN", None),  # what a press gives
        (15, "force", "50 kN", "15 kN", "15 short ton"),
        (22000, "force", "50 kN", "22000 N", "22000 lbf"),
        (0.005, "length", "5 um", "0.005 mm", None),
        (5, "length", "5 um", "5 um", None),
        (0.0002, "length", "5 um", None, "0.0002 in"),
        (0.2, "length", "5 um", None, "0.2 thou"),
        (1.5, "length", "44 mm", "1.5 mm", "1.5 in"),
        (83, "length", "44 mm", "83 mm", "83 mm"),  # an inch reader who measured in mm
        (2.5, "length", "7 mm", "2.5 mm", "2.5 in"),
        (40, "length", "0.05 mm", "40 um", None),  # a runout
        (2, "length", "0.05 mm", None, "2 thou"),
        (14, "length", "0 mm", "14 mm", "14 mm"),
        (0, "length", "0 mm", "0 mm", "0 in"),
        (24, "pitch", "24 tpi", "24 tpi", "24 tpi"),
        (1, "pitch", "24 tpi", "1 mm", None),
        (0.04, "pitch", "24 tpi", None, "0.04 in"),
        (20, "angle", "70 deg", "20 deg", "20 deg"),
        (30, "torque", "50 N*m", "30 N*m", "30 ft*lbf"),
        (400, "torque", "50 N*m", "400 N*m", "400 in*lbf"),
        (276, "stress", "276 MPa", "276 MPa", None),
        (35, "stress", "276 MPa", None, "35 ksi"),
        (35000, "stress", "276 MPa", None, "35000 psi"),
        (205000, "stress", "69 GPa", "205000 MPa", None),
        (205, "stress", "69 GPa", "205 GPa", None),
        (10, "stress", "69 GPa", "10 GPa", "10 Mpsi"),
        (10000, "stress", "69 GPa", None, "10000 ksi"),
        (100, "stress", "5 bar", "100 bar", "100 psi"),
        (68, "temperature", "20 degC", "68 degC", "68 degF"),
        (2, "temperature_difference", "1 K", "2 K", "2 delta_degF"),
        (11.5e-6, "expansion", "11.5e-6 /K", "1.15e-05 /K", "1.15e-05 /delta_degF"),
        (12.8, "expansion", "11.5e-6 /K", "12.8e-6 /K", "12.8e-6 /delta_degF"),
        (20, "time", "20 min", "20 min", "20 min"),
        (1200, "time", "20 min", "1200 s", "1200 s"),
        (2710, "density", "2700 kg/m^3", "2710 kg/m^3", None),
        (2.71, "density", "2700 kg/m^3", "2.71 g/cm^3", None),
        (0.098, "density", "2700 kg/m^3", None, "0.098 lb/in^3"),
    ],
)
def test_a_bare_number_gets_the_unit_it_likely_lacks(number, kind, example, metric, inch):
    """And what is suggested is accepted in the next round. None: no such reader would write that number."""
    for system, suggestion in (("metric", metric), ("inch", inch)):
        with pytest.raises(QuantityError) as caught:
            parse(number, kind, example=example, system=system)
        assert suggestion in (None, caught.value.suggestion)
        if caught.value.suggestion:
            parse(caught.value.suggestion, kind)


def test_every_kind_is_among_those_numbers():
    (marker,) = test_a_bare_number_gets_the_unit_it_likely_lacks.pytestmark
    assert {kind for _, kind, *_ in marker.args[1]} == set(KINDS)


def test_an_axial_force_of_1000_is_never_taken_for_kilonewtons():
    for units, expected in (("metric", "1000 N"), ("inch", "1000 lbf")):
        text = re.sub(r'(?m)^axial_force = ".*?"', "axial_force = 1000", starter_text("plain", units))
        (line,) = fault_lines(text)
        assert line.endswith(f'write e.g. axial_force = "{expected}"')


def test_a_number_that_no_unit_makes_plausible_gets_an_example():
    with pytest.raises(QuantityError) as caught:
        parse(1e30, "length", example="44 mm")
    assert caught.value.suggestion == ""


def test_advice_to_an_inch_user_is_in_inch_units():
    """Whatever is missing or out of range."""
    tables = "".join(
        f"[{name}]\n" for name in ("shell", "sleeve", "fit", "demand", "press", "temperatures")
    )
    lines = fault_lines(
        'title = "x"\nunits = "inch"\n' + tables + "[boring]\n[size]\nshop_temperature = 500"
    )
    lines += fault_lines(starter_text("plain", "inch").replace('"1.6535 in"', '"-1 in"'))
    assert len(lines) > 12
    assert [line for line in lines if re.search(r"\d (mm|um|N|kN|N\*m|MPa|degC|K)\b", line)] == []


@given(st.floats(0.001, 100.0))
@settings(max_examples=50, deadline=None)
def test_inches_and_millimetres_agree_to_twelve_digits(inches):
    assert parse(f"{inches!r} in", "length") == pytest.approx(
        parse(f"{inches * 25.4!r} mm", "length"), rel=1e-11
    )


UNITS = st.text("mNkinPadegCFK°µ*/^ ()-0123456789.,e±\"'[]{}=#\n", max_size=24)


@given(st.one_of(st.text(max_size=70), UNITS.map(lambda unit: "5 " + unit)), st.sampled_from(sorted(KINDS)))
@settings(max_examples=600, deadline=1500)
def test_no_text_raises_anything_but_a_quantity_error(text, kind):
    with suppress(QuantityError):
        assert isinstance(parse(text, kind), float)


def fault_lines(text):
    """Lines of the CaseError a text raises, [] if none; anything else it raises fails the test."""
    try:
        parse_case(text)
    except CaseError as error:
        return str(error).split("\n")
    return []


@given(st.text(max_size=300))
@settings(max_examples=200, deadline=1500)
def test_no_text_raises_anything_but_a_case_error(text):
    assert all(line.isprintable() for line in fault_lines(text))


@given(st.data())
@settings(max_examples=200, deadline=1500)
def test_no_damage_to_a_valid_file_raises_anything_but_a_case_error(data):
    text = starter_text()
    start = data.draw(st.integers(0, len(text)))
    length = data.draw(st.integers(0, 40))
    damaged = text[:start] + data.draw(st.one_of(st.text(max_size=8), UNITS)) + text[start + length :]
    assert all(line.isprintable() for line in fault_lines(damaged))


VALUES = st.recursive(
    st.one_of(
        st.integers(),
        st.floats().map(repr),
        st.booleans(),
        st.sampled_from(['"5 mm"', '"x"', "2024-01-01"]),
    ).map(lambda v: str(v).lower() if not isinstance(v, str) else v),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda parts: "[" + ", ".join(parts) + "]"),
        inner.map(lambda part: "{ from = " + part + " }"),
    ),
    max_leaves=4,
)
KEYS = [
    line.split("=")[0].strip() for line in starter_text().splitlines() if " = " in line and line[0] != "#"
]


@given(st.sampled_from(KEYS), VALUES)
@settings(max_examples=300, deadline=1500)
def test_no_value_of_a_key_raises_anything_but_a_case_error(key, value):
    lines = [
        f"{key} = {value}" if line.startswith(f"{key} = ") else line for line in starter_text().splitlines()
    ]
    assert all(line.isprintable() for line in fault_lines("\n".join(lines)))
