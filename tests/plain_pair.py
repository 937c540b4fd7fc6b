"""A plain steel sleeve in a plain shell, the small case that many tests start from. Invented sizes."""

BORE = 'bore_diameter = "41 mm"\nbore_plus_minus = "2 um"'
OUTSIDE = 'outside_diameter = "41.036 mm"\noutside_plus_minus = "2 um"'


def plain_pair(
    *,
    shell: str = BORE,
    sleeve: str = OUTSIDE,
    fit: str = "",
    more: str = "",
    shell_material: str = "6061-T6",
    shell_outside: str = "48 mm",
    sleeve_bore: str = "35.5 mm",
    length: str = "60 mm",
    demand: str = "1.5 kN",
) -> str:
    """Text of the case on two elements through the wall. shell, sleeve: lines of either table, and tables
    below it; fit: more lines of [fit]; more: tables at the end, or, before the first of them,
    more of what it is to hold."""
    return f"""
title = "plain pair, invented"
[shell]
material = "{shell_material}"
width = "{length}"
outside_diameter = "{shell_outside}"
{shell}
[sleeve]
material = "E355 steel"
length = "{length}"
bore_diameter = "{sleeve_bore}"
{sleeve}
[fit]
friction_low = 0.10
friction_high = 0.20
{fit}[mesh]
elements_through_wall = 2
[demand]
axial_force = "{demand}"
{more}"""


PRESSED = plain_pair(
    shell_material="1025 steel",
    shell_outside="60 mm",
    shell='bore_diameter = "40 mm"\nbore_plus_minus = "4 um"',
    sleeve='outside_diameter = "40.035 mm"\noutside_plus_minus = "4 um"',
    sleeve_bore="32 mm",
    length="40 mm",
    demand="2 kN",
    more="""[temperatures]
use_least = "0 degC"
use_most = "40 degC"
[service]
none = "turned by hand"
[press]
capacity = "100 kN"
""",
)
"""A fit in a heavier shell, with its press: a reading of 22 kN agrees with it, one of 80 kN does not."""
