"""Case texts that the tests of pressing share. Invented sizes."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.case.read import parse_case

PLAIN_BORE = 'bore_diameter = "39.000 mm"\nbore_plus_minus = "4 um"'
PLAIN_OUTSIDE = 'outside_diameter = "39.040 mm"\noutside_plus_minus = "4 um"'


def press_case(
    *,
    bore: str = PLAIN_BORE,
    outside: str = PLAIN_OUTSIDE,
    press: str = "",
    shell: str = "6061-T6",
    fit: str = "friction_low = 0.1\nfriction_high = 0.2",
    file: str = "case",
    extra: str = "",
    sleeve: str = "",
    heading: str = "",
) -> Case:
    """A crank shell 44/39 mm, 73 mm wide, with a steel sleeve bored 34.9 mm."""
    return parse_case(
        f'''
title = "Plain"
{heading}
[shell]
material = "{shell}"
width = "73 mm"
outside_diameter = "44 mm"
{bore}
[sleeve]
material = "E355 steel"
length = "73 mm"
bore_diameter = "34.9 mm"
{sleeve}
{outside}
[fit]
{fit}
[press]
{press}
{extra}
''',
        file=file,
    )


def short_bush(outside: str, *, shell: str = "6061-T6", units: str = "metric", more: str = "") -> str:
    """Text of a case that is soon solved, 24 mm wide and bored 39.000 mm. more: tables at the end."""
    return f"""
title = "A short bush"
invented = true
units = "{units}"
[shell]
material = "{shell}"
width = "24 mm"
outside_diameter = "44 mm"
bore_diameter = "39.000 mm"
bore_plus_minus = "3 um"
[sleeve]
material = "E355 steel"
length = "24 mm"
outside_diameter = "{outside}"
outside_plus_minus = "3 um"
bore_diameter = "34.9 mm"
chamfer_right = "1 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
[mesh]
elements_through_wall = 2
{more}"""


def lands(part: str, *rows: tuple[float, float, float]) -> str:
    """[[part]] tables from (from, to, diameter) in mm."""
    return "\n".join(f'[[{part}]]\nfrom = "{a} mm"\nto = "{b} mm"\ndiameter = "{d} mm"' for a, b, d in rows)
