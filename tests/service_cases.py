"""Cases with service loads that the tests share."""

from __future__ import annotations

from functools import cache

from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.pipeline import Results, check_case

PARTS = """
title = "Invented crank shell"
invented = true
[shell]
material = "6061-T6"
width = "73 mm"
outside_diameter = "44 mm"
bore_diameter = "39 mm"
[sleeve]
material = "E355 steel"
length = "73 mm"
outside_diameter = "39.04 mm"
bore_diameter = "34.9 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
"""
TUBES = """
[[service.tube]]
angle = "20 deg"
outside_diameter = "40 mm"
z = "36.5 mm"
[[service.tube]]
angle = "105 deg"
outside_diameter = "30 mm"
z = "36.5 mm"
[[service.tube]]
angle = "185 deg"
outside_diameter = "22 mm"
z = "14 mm"
[[service.tube]]
angle = "185 deg"
outside_diameter = "22 mm"
z = "59 mm"
"""
CUPS = """
[service.left_cup]
bearing = "6 mm"
from = "0 mm"
to = "12 mm"
hold = "clamped"
[service.right_cup]
bearing = "67 mm"
from = "61 mm"
to = "73 mm"
hold = "clamped"
"""
CRANK = (
    PARTS
    + """
[service]
pedalling_test = "city"
chain_line = "45 mm"
"""
    + CUPS
    + TUBES
)


def edited(text: str, *pairs: tuple[str, str]) -> str:
    """Replace the first text of every pair by the second; each must occur in the text."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return text


@cache
def case_of(text: str) -> Case:
    return parse_case(text)


@cache
def results_of(text: str) -> Results:
    return check_case(case_of(text))
