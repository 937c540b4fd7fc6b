# ruff: noqa: E501 - each bad file and its error line side by side
"""Every bad case file gets one clear error line: file, table, key, what is wrong, what to write instead."""

from __future__ import annotations

import pytest

from hoopwright.case import CaseError, parse_case, read_case

GOOD = """
title = "Invented shell"
invented = true
[shell]
material = "6061-T6"
width = "73 mm"
outside_diameter = "44 mm"
bore_diameter = "39 mm"
[sleeve]
material = "1025 steel"
length = "73 mm"
outside_diameter = "39.04 mm"
bore_diameter = "34.9 mm"
[fit]
friction_low = 0.08
friction_high = 0.2
"""
LANDS = '[[shell.bore]]\nfrom = "0 mm"\nto = "{0}"\ndiameter = "39 mm"\n[[shell.bore]]\nfrom = "{1}"\nto = "73 mm"\ndiameter = "39 mm"\n[sleeve]'
ZONE = '[[sleeve.bore]]\nfrom = "0 mm"\nto = "73 mm"\n{0}\n[fit]'
OWN = """
[material.mine]
young_modulus = "{E}"
poisson_ratio = {nu}
expansion = "23e-6 /K"
yield_strength = "{y}"
ultimate_strength = "260 MPa"
density = "2700 kg/m^3"
source = "invented"
"""


def own(E="69 GPa", nu="0.33", y="240 MPa"):
    return GOOD + OWN.format(E=E, nu=nu, y=y)


def edit(*pairs):
    text = GOOD
    for old, new in zip(pairs[::2], pairs[1::2], strict=True):
        assert old in text
        text = text.replace(old, new, 1)
    return text


def width(value):
    return edit('width = "73 mm"', f"width = {value}")


def lands(end, start):
    return edit('bore_diameter = "39 mm"\n[sleeve]', LANDS.format(end, start))


def zone(line):
    return edit('bore_diameter = "34.9 mm"\n[fit]', ZONE.format(line))


BAD = {
    # the number and its unit
    "no unit": (width('"83"'), '[shell] width = "83": no unit; write e.g. width = "83 mm"'),
    "bare integer": (width("83"), '[shell] width = 83: a bare number, its unit is missing; write e.g. width = "83 mm"'),
    "bare decimal": (width("83.5"), 'write e.g. width = "83.5 mm"'),
    "decimal comma": (width('"73,5 mm"'), 'a comma in the number; the decimal sign is a point, and thousands are not grouped; write e.g. width = "73.5 mm"'),
    "grouped thousands": (width('"1,073.5 mm"'), "a comma in the number"),
    "nan": (width('"nan mm"'), '[shell] width = "nan mm": not a finite number'),
    "inf": (width('"-inf mm"'), "not a finite number"),
    "overflow": (width('"1e400 mm"'), '[shell] width = "1e400 mm": too large for a number'),
    "underflow": (width('"1e-400 mm"'), "too small for a number"),
    "power tower": (width('"9**9**9 mm"'), '[shell] width = "9**9**9 mm": the unit after the number is not understood'),
    "unit tower": (width('"9 mm**9**9"'), "the unit after the number is not understood"),
    "code in the unit": (width("\"1 __import__('os')\""), "the unit after the number is not understood"),
    "unknown unit": (width('"83 bananas"'), "the unit after the number is not known"),
    "wrong dimension": (width('"83 N"'), '[shell] width = "83 N": not a length; write e.g. width = "73 mm"'),
    "mil is an angle": (edit('outside_diameter = "39.04 mm"', 'outside_diameter = "1537 mil"'), "not a length; mil is an angle here; write thou"),
    "capital unit": (width('"73 MM"'), "not a length; write mm in small letters"),
    "inch mark": (width("'2.87\"'"), "write in for inches"),
    "fraction": (width('"72 7/8 mm"'), 'a fraction; only inches have fractions; write e.g. width = "72.875 mm"'),
    "fraction without unit": (width('"2 7/8"'), 'no unit; write e.g. width = "2 7/8 in"'),
    "fraction over nothing": (width('"2 7/0 in"'), "a fraction with nothing below the line"),
    "threads per inch of none": (zone('thread = {major="34.8 mm", pitch="0 tpi", minor="33.7 mm", hand="left"}'), 'pitch = "0 tpi": not a number of threads'),
    "any ton": (GOOD + '[press]\ncapacity = "20 ton"', "a ton is 1000 kgf, 2000 lbf or 2240 lbf; write metric ton, short ton or long ton"),
    "bore for bore_diameter": (GOOD.replace("bore_diameter", "bore", 1), '[shell] bore = "39 mm": a single size; write bore_diameter = "39 mm"'),
    "tolerance in the size": (width('"73 ± 0.1 mm"'), "a tolerance inside a size; give it as plus_minus on its own"),
    "words": (width('"wide"'), "does not start with a number"),
    "empty": (width('""'), '[shell] width = "": empty'),
    "flag for a size": (width("true"), "[shell] width = true: not a text with a number and a unit"),
    "list for a size": (width('["73 mm"]'), "[shell] width = [ ... ]: not a text with a number and a unit"),
    "endless size": (width('"' + "7" * 5000 + ' mm"'), "longer than 60 characters, not a quantity"),
    "negative size": (width('"-73 mm"'), '[shell] width = "-73 mm": must be above 0 mm'),
    "zero size": (width('"0 mm"'), "must be above 0 mm"),
    "metres": (width('"73 m"'), "beyond 5 m, more than any job needs; m is metres; write mm for millimetres"),
    "absolute zero": (GOOD + 'temperature = "-300 degC"', "[fit] temperature = \"-300 degC\": below absolute zero"),
    "farads for a temperature": (GOOD + 'temperature = "68 F"', "F is farad here; write degF"),
    "kelvin guessed": (GOOD + 'temperature = "20 K"', "must be at least -150 degC and at most 500 degC"),
    "kilograms for a force": (GOOD + '[demand]\naxial_force = "200 kg"', "[demand] axial_force = \"200 kg\": not a force; kg is a mass here; write kgf or N"),
    "pounds for a torque": (GOOD + '[demand]\ntorque = "26 ft-lb"', "not a torque; lb is a mass here; write lbf"),
    "force for a torque": (GOOD + '[demand]\ntorque = "26 N"', 'write e.g. torque = "50 N*m"'),
    "empty demand": (GOOD + "[demand]", '[demand] axial_force: missing; write e.g. axial_force = "2 kN" or torque'),
    # pure numbers
    "number in quotes": (edit("0.08", '"0.08"'), '[fit] friction_low = "0.08": text; this is a plain number, without quotes and unit; write e.g. friction_low = 0.08'),
    "friction flag": (edit("0.08", "true"), "[fit] friction_low = true: not a number"),
    "friction nan": (edit("0.08", "nan"), "[fit] friction_low = nan: not a finite number"),
    "friction huge": (edit("0.08", "1" * 400), "not a finite number"),
    "friction negative": (edit("0.08", "-0.08"), "must be above 0"),
    "friction in per cent": (edit("0.2", "20"), "[fit] friction_high = 20: must be above 0 and at most 1.5"),
    "friction swapped": (edit("0.08", "0.3"), "[fit] friction_low = 0.3: above friction_high = 0.2; swap the two"),
    "factor below one": (GOOD + "[factors]\nyield = 0.5", "[factors] yield = 0.5: must be at least 1"),
    "mesh fraction": (GOOD + "[mesh]\nelements_through_wall = 2.5", "not a whole number; write a whole number from 1 to 12"),
    "mesh too fine": (GOOD + "[mesh]\nelements_through_wall = 99", "[mesh] elements_through_wall = 99: out of range"),
    "flag in quotes": (edit("invented = true", 'invented = "yes"'), "invented = \"yes\": neither true nor false"),
    # names and structure
    "missing title": (edit('title = "Invented shell"', ""), 'title: missing; write e.g. title = "Crank shell'),
    "empty title": (edit("Invented shell", " "), "title = \" \": empty"),
    "blank calibration": (GOOD + '[press]\ncalibration = "  "', '[press] calibration = "  ": empty; write e.g. calibration = "ram measured'),
    "control in title": (edit("Invented shell", "a\\u001b[2Jb"), "contains a control character"),
    "title a number": (edit('"Invented shell"', "5"), "title = 5: not a text in quotes"),
    "missing key": (edit('length = "73 mm"', ""), '[sleeve] length: missing; write e.g. length = "73 mm"'),
    "missing table": (GOOD.partition("[fit]")[0], "[fit]: missing table; write a line [fit] and below it friction_low and friction_high"),
    "misspelt key": (GOOD + 'temprature = "20 degC"', "[fit] temprature: unknown key; did you mean temperature?"),
    "misspelt table": (GOOD + "[factor]\nholding = 2", "factor: unknown key; did you mean factors?"),
    "strange key": (GOOD + "qqq = 1", "[fit] qqq: unknown key; known here: friction_low, friction_high, smoothing"),
    "table as value": (edit("[fit]\nfriction_low = 0.08\nfriction_high = 0.2", "", "invented = true", "invented = true\nfit = 3"), "fit = 3: not a table; write [fit] on its own line"),
    "two bores": (edit('bore_diameter = "39 mm"', 'bore_diameter = "39 mm"\nbore = [{from="0 mm", to="73 mm", diameter="39 mm"}]'), "[shell] bore_diameter = \"39 mm\": given as well as bore; keep one of the two"),
    "no bore": (edit('bore_diameter = "39 mm"', ""), '[shell] bore_diameter: missing; write e.g. bore_diameter = "44 mm", or lands under [[shell.bore]]'),
    "land not a list": (edit('bore_diameter = "39 mm"\n[sleeve]', '[shell.bore]\nfrom = "0 mm"\n[sleeve]'), "[shell] bore = { ... }: not a list of tables; write [[shell.bore]] above each of its entries"),
    "no lands": (edit('bore_diameter = "39 mm"', "bore = []"), "[shell] bore = [ ... ]: not a list of tables"),
    "land without end": (edit('bore_diameter = "39 mm"\n[sleeve]', '[[shell.bore]]\nfrom = "0 mm"\ndiameter = "39 mm"\n[sleeve]'), "[[shell.bore]] 1 to: missing"),
    "half a taper": (edit('bore_diameter = "39 mm"\n[sleeve]', '[[shell.bore]]\nfrom = "0 mm"\nto = "73 mm"\ndiameter_from = "39 mm"\n[sleeve]'), "[[shell.bore]] 1 diameter_to: missing"),
    "unknown material": (edit("6061-T6", "6061-T5"), '[shell] material = "6061-T5": not a known material; write "6061-T6"'),
    "material nobody knows": (edit("1025 steel", "unobtainium"), "not a known material; run `hoopwright materials` for the table"),
    "own material without unit": (own(E="69"), '[material.mine] young_modulus = "69": no unit; write e.g. young_modulus = "69 GPa"'),
    "own material in millipascal": (own(y="240 mPa"), "[material.mine] yield_strength = \"240 mPa\": must be at least 1 MPa"),
    "own material too incompressible": (own(nu="0.5"), "[material.mine] poisson_ratio = 0.5: must be above 0 and at most 0.499"),
    "own material yields above its strength": (own(y="300 MPa"), '[material.mine] ultimate_strength = "260 MPa": below yield_strength'),
    "own material hides a known one": (GOOD + '[material."1025 steel"]\nsource = "x"', "already a built-in material; give it another name"),
    # threads
    "unknown thread": (zone('thread = "M40 x 1.5 right"'), '[[sleeve.bore]] 1 thread = "M40 x 1.5 right": not a known thread designation; known are "1.370 in x 24 tpi right"'),
    "thread without hand": (zone('thread = "1.37 in x 24"'), "the thread's hand is missing; write \"1.37 in x 24 right\""),
    "thread and diameter": (zone('thread = "36 mm x 24 right"\ndiameter = "36 mm"'), "[[sleeve.bore]] 1 diameter = \"36 mm\": given as well as thread"),
    "thread of one hand": (zone('thread = {major="34.8 mm", pitch="1 mm", minor="33.7 mm", hand="both"}'), '[[sleeve.bore]] 1 thread hand = "both": not a known hand; write "right" or "left"'),
    "thread inside out": (zone('thread = {major="34 mm", pitch="1 mm", minor="35 mm", hand="left"}'), "[sleeve] bore: the thread's minor diameter 35 mm (1.378 in) is not below its major diameter"),
    # geometry
    "gap between lands": (lands("20 mm", "25 mm"), "[shell] bore: a gap of 5 mm (0.19685 in) before land 2; start land 2 at 20 mm"),
    "overlapping lands": (lands("30 mm", "25 mm"), "[shell] bore: land 2 overlaps the one before it by 5 mm"),
    "land beyond the shell": (lands("80 mm", "80 mm"), "[shell] bore: land 2 ends at 73 mm (2.874 in), not after its start"),
    "no shell wall": (edit('outside_diameter = "44 mm"', 'outside_diameter = "39 mm"'), "[shell] bore: no wall at z = 0 mm (0 in): the bore is 39 mm (1.5354 in) and the outside is 39 mm"),
    "no sleeve wall": (edit('"34.9 mm"', '"39.5 mm"'), "[sleeve] bore: no wall"),
    "proud in another word": (edit('length = "73 mm"', 'length = "73 mm"\nproud = "abc"'), '[sleeve] proud = "abc": not a known proud end; write "stays" or "faced"'),
    "sleeve too long": (edit('length = "73 mm"', 'length = "80 mm"'), "[sleeve] proud: missing, and the sleeve reaches 7 mm beyond the shell's right face"),
    "sleeve starts outside": (edit('length = "73 mm"', 'length = "70 mm"\nstart = "-2 mm"'), "[sleeve] proud: missing, and the sleeve reaches 2 mm beyond the shell's left face"),
    "chamfers eat the sleeve": (edit('length = "73 mm"', 'length = "73 mm"\nchamfer_left = "80 mm"'), "[sleeve] chamfer_left: the chamfers leave nothing of the 73 mm"),
    "loose sleeve": (edit("39.04 mm", "38.99 mm"), "[sleeve] outside: nowhere larger than the shell's bore; the closest is a gap of 0.01 mm (0.0003937 in)"),
    "unit slip in the fit": (edit("39.04 mm", "40.5 mm"), "[sleeve] outside: the interference of 1.5 mm (0.059055 in) is more than 2 % of the diameter"),
    # not TOML, or no text at all
    "no quotes": (width("73 mm"), 'line 6: not TOML: Expected newline or end of document after a statement; a quantity goes in quotes; write width = "73 mm"'),
    "open quote": (width('"73 mm'), "line 6: not TOML"),
    "duplicate key": (edit("[sleeve]", 'width = "74 mm"\n[sleeve]'), "line 9: not TOML: Cannot overwrite a value; the same key or table is given twice; keep one of them"),
    "duplicate table": (GOOD + "[shell]\n", "the same key or table is given twice"),
    "open bracket": (GOOD + "[mesh\n", "line 17: not TOML"),
    "null byte": (GOOD + "\0", "not TOML"),
    "nested brackets": ("x = " + "[" * 50_000, "brackets nested too deeply"),
    "nested braces": ("x = " + "{a=" * 50_000, "brackets nested too deeply"),
    "endless digits": ("x = " + "1" * 100_000, "not TOML: Exceeds the limit"),
    "endless dotted key": (".".join(["a"] * 100_000) + " = 1", "line 1: too many full stops"),
    "impossible date": (GOOD + "[job]\ndate = 2024-13-45", "not TOML"),
    "prose": ("Dear lathe, please bore this out.", "line 1: not TOML"),
    "empty file": ("", "[shell]: missing table"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_gets_one_clear_error_line(name):
    text, expected = BAD[name]
    with pytest.raises(CaseError) as caught:
        parse_case(text, file="CASE.toml")
    lines = str(caught.value).split("\n")
    assert any(line.startswith("CASE.toml: ") and expected in line for line in lines), lines
    assert all(len(line) < 600 and line.isprintable() for line in lines)
    if name != "empty file" and "missing" not in name:
        assert len(lines) == 1, lines


def test_there_are_at_least_fifty_kinds_of_bad_file():
    assert len(BAD) >= 50


def test_the_file_these_are_derived_from_is_valid():
    assert parse_case(GOOD).title == "Invented shell"


def test_all_faults_of_a_file_are_reported_together():
    text = edit(
        'width = "73 mm"', 'width = "73"',
        "1025 steel", "cheese",
        "0.08", '"slippery"',
        "invented = true", 'invented = true\ncolour = "red"',
    )  # fmt: skip
    with pytest.raises(CaseError) as caught:
        parse_case(text, file="CASE.toml")
    found = {(fault.table, fault.key) for fault in caught.value.faults}
    assert found == {
        ("[shell]", "width"),
        ("[sleeve]", "material"),
        ("[fit]", "friction_low"),
        ("", "colour"),
    }
    assert str(caught.value).count("\n") == 3


def test_a_faulty_optional_key_does_not_hide_a_geometry_fault():
    text = edit('bore_diameter = "39 mm"', 'bore_diameter = "44 mm"\nrunout = "much"')
    with pytest.raises(CaseError) as caught:
        parse_case(text)
    assert {fault.key for fault in caught.value.faults} == {"runout", "bore"}


def test_thousands_of_faults_are_summarised():
    rows = "".join(f"k{i} = 1\n" for i in range(5000))
    with pytest.raises(CaseError) as caught:
        parse_case(GOOD + rows)
    assert "and 4990 more unknown keys" in str(caught.value)
    assert str(caught.value).count("\n") < 45


def test_user_text_is_truncated_and_cannot_move_the_cursor():
    with pytest.raises(CaseError) as caught:
        parse_case(width('"\\u001b[31m\\n\\u202e' + "x" * 300 + '"'))
    line = str(caught.value)
    assert line.isprintable()
    assert "x" * 61 not in line


# -- files ----------------------------------------------------------------------------------------


def one_fault(path):
    with pytest.raises(CaseError) as caught:
        read_case(path)
    assert len(caught.value.faults) == 1
    return str(caught.value)


def test_a_missing_file_is_reported(tmp_path):
    assert one_fault(tmp_path / "none.toml").endswith(
        "none.toml: no such file; check the name and the folder"
    )


def test_a_folder_in_place_of_a_file_is_reported(tmp_path):
    assert "is a folder" in one_fault(tmp_path)


def test_a_device_is_not_read():
    assert "not a file" in one_fault("/dev/zero")


def test_a_file_name_with_a_null_byte_or_too_long_is_rejected():
    one_fault("a\0b.toml")
    one_fault("x" * 5000)


def test_a_file_of_five_megabytes_is_rejected_by_its_size(tmp_path):
    path = tmp_path / "big.toml"
    path.write_bytes(b"a.b.c = 1\n" * 500_000)
    assert "larger than 256 KB" in one_fault(path)


@pytest.mark.parametrize("content", [b"title = '\xff'", "title = 'a'".encode("utf-16")])
def test_a_file_in_another_encoding_is_reported_by_its_encoding(tmp_path, content):
    path = tmp_path / "odd.toml"
    path.write_bytes(content)
    assert "line 1: not UTF-8 text; save the file as plain text in UTF-8" in one_fault(path)


def test_a_byte_order_mark_is_accepted(tmp_path):
    path = tmp_path / "bom.toml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    assert read_case(path).title == "Invented shell"


@pytest.mark.parametrize(
    "around", ["{}", 'a = """\n""", {} ', 't = {{ a = """\n""", {} = "1" }}', '"x" . {}']
)
def test_a_dotted_key_of_any_length_is_rejected(around):
    text = around.format(".".join(["a b" if '"""' in around else "a"] * 9000))
    with pytest.raises(CaseError):
        parse_case(text)
