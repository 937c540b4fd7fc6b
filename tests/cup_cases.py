"""Tightened cups, and sleeves that are threaded for them. Invented sizes."""

from __future__ import annotations

LENGTH, THREADED = 300, 8
"""Of the long tubes, mm."""


def cups(*sides: str, bears_on: str, diameter: str, torque: str, more: str = "") -> str:
    """Tables of the cups at these sides. diameter: of their flanges; more: lines of [cups]."""
    each = "".join(f'[cups.{side}]\ntightening_torque = "{torque}"\n' for side in sides)
    return f"""[cups]
flange_bears_on = "{bears_on}"
flange_diameter = "{diameter}"
thread_friction_low = 0.1
thread_friction_high = 0.2
flange_friction_low = 0.1
flange_friction_high = 0.2
{more}{each}"""


def threaded(text: str, start: float, end: float) -> str:
    """A case of the small boss with a thread M34 x 1 in its sleeve, in place of its plain bore."""
    zone = f"""[[sleeve.bore]]
from = "{start:g} mm"
to = "{end:g} mm"
thread = {{ major = "34 mm", pitch = "1 mm", minor = "33 mm", hand = "right" }}
"""
    return text.replace('bore_diameter = "34 mm"\n', "").replace("[fit]", f"{zone}[fit]", 1)


def long_tubes_with_cups(*sides: str, more: str = "") -> str:
    """Tubes so long that their ends count for little, with a thread and a cup at these sides."""
    left = THREADED if "left" in sides else 0
    right = LENGTH - THREADED if "right" in sides else LENGTH
    thread, plain = 'thread = "1.37 in x 24 right"', 'diameter = "34.798 mm"'
    zones = "".join(
        f'[[sleeve.bore]]\nfrom = "{start} mm"\nto = "{end} mm"\n{bore}\n'
        for start, end, bore in ((0, left, thread), (left, right, plain), (right, LENGTH, thread))
        if start < end
    )
    return f"""
title = "long tubes, invented"
[shell]
material = "6061-T6"
width = "{LENGTH} mm"
outside_diameter = "46 mm"
bore_diameter = "40 mm"
[sleeve]
material = "E355 steel"
length = "{LENGTH} mm"
outside_diameter = "40.06 mm"
{zones}[fit]
friction_low = 0.1
friction_high = 0.2
{cups(*sides, bears_on="shell", diameter="42 mm", torque="40 N*m", more=more)}"""
