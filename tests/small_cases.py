"""The case that is solved soonest: a short sleeve that slips into a warm shell, and one whose bore is read
twice. Invented sizes."""

from __future__ import annotations

PARTS = """
[shell]
material = "6061-T6"
width = "16 mm"
outside_diameter = "62 mm"
bore_diameter = "42.000 mm"
bore_plus_minus = "4 um"
[sleeve]
material = "E355 steel"
length = "16 mm"
bore_diameter = "34 mm"
outside_diameter = "42.040 mm"
outside_plus_minus = "4 um"
[fit]
friction_low = 0.1
friction_high = 0.2
"""
"""Shell, sleeve and friction, for what a case says besides."""
SLIPS_IN = f"""
title = "Small boss & <sleeve>"
{PARTS}[press]
method = "heat"
[press.heat]
shell_most = "110 degC"
clearance = "10 um"
[demand]
axial_force = "1 kN"
[temperatures]
use_least = "-5 degC"
use_most = "40 degC"
[service]
none = "held by a bolt"
[mesh]
elements_through_wall = 2
"""
ROUTE = """
[[route]]
name = "Steel sleeve"
kind = "sleeve"
"""

TWO_READINGS = """
title = "two readings"
[shell]
material = "6061-T6"
width = "60 mm"
outside_diameter = "48 mm"
[[shell.bore]]
from = "0 mm"
to = "60 mm"
gauge = "a"
readings = [{z = "30 mm", values = "41.000 41.002 mm"}]
[sleeve]
material = "E355 steel"
length = "60 mm"
outside_diameter = "41.036 mm"
bore_diameter = "35.5 mm"
[fit]
friction_low = 0.10
friction_high = 0.20
[gauge.a]
resolution = "1 um"
max_error = "2 um"
"""
"""A bore known by two readings 2 µm apart, of which no repeatability is given."""


def with_sleeve(outside_mm: float) -> str:
    """The case with a sleeve of another size."""
    return SLIPS_IN.replace("42.040", f"{outside_mm:.3f}")
