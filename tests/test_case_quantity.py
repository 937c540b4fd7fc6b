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
    ("number", "example", "system", "suggestion"),
    [
        (1000, "2 kN", "metric", "1000 N"),
        (20, "2 kN", "metric", "20 kN"),
        (0.005, "5 um", "metric", "0.005 mm"),
        (5, "5 um", "metric", "5 um"),
        (0.0002, "5 um", "inch", "0.0002 in"),
        (0.2, "5 um", "inch", "0.2 thou"),
        (1.5, "44 mm", "inch", "1.5 in"),
        (83, "44 mm", "inch", "83 mm"),
        (450, "2 kN", "inch", "450 lbf"),
        (30, "50 N*m", "inch", "30 ft*lbf"),
        (68, "20 degC", "inch", "68 degF"),
    ],
)
def test_a_bare_number_gets_the_unit_it_likely_lacks(number, example, system, suggestion):
    kinds = {"kN": "force", "um": "length", "mm": "length", "N*m": "torque", "degC": "temperature"}
    with pytest.raises(QuantityError) as caught:
        parse(number, kinds[example.split()[1]], example=example, system=system)
    assert caught.value.suggestion == suggestion


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
