"""A sound joint whose bore is read, and slips of the pen in its readings. Invented."""

CASE = """
title = "plain pair, read"
invented = true
[shell]
material = "6061-T6"
width = "40 mm"
outside_diameter = "42.2 mm"
[[shell.bore]]
from = "0 mm"
to = "40 mm"
gauge = "bore gauge"
readings = [
{readings}
]
[sleeve]
material = "E355 steel"
length = "40 mm"
outside_diameter = "{turned}"
outside_plus_minus = "3 um"
bore_diameter = "32 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
[demand]
axial_force = "500 N"
[service]
none = "a stand"
[temperatures]
use_least = "5 degC"
use_most = "35 degC"
[mesh]
elements_through_wall = 2
[gauge."bore gauge"]
resolution = "1 um"
max_error = "2 um"
{more}
"""
SOUND = ("36.637 36.638 36.637", "36.637 36.637 36.638", "36.638 36.637 36.637")
SWAPPED = (SOUND[0], "36.637 36.673 36.638", SOUND[2])
"""36.673 for 36.637, in a fit that holds at either."""


def text(*stations, turned="36.690 mm", unit="mm", confirmed=(), more=""):
    """The case with the values of three stations; confirmed: which of them."""
    rows = (
        f'    {{ z = "{z} mm", values = "{values} {unit}", confirmed = {str(k in confirmed).lower()} }},'
        for k, (z, values) in enumerate(zip((5, 20, 35), stations, strict=True))
    )
    return CASE.format(readings="\n".join(rows), turned=turned, more=more)
