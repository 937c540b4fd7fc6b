"""Cases of a sleeve with a flange or against a shoulder, loaded along the axis. Invented sizes."""

from __future__ import annotations

from cup_cases import cups, threaded
from small_cases import PARTS

FLANGE = 'stop = "{end} flange"\nflange_diameter = "54 mm"\nflange_thickness = "3 mm"\n'
CUP = cups("right", bears_on="shell", diameter="50 mm", torque="5 N*m")
SHOULDERED = (
    f"""
title = "Small boss with a shoulder"
{PARTS}[demand]
axial_force = "1 kN"
[service]
none = "held by a bolt"
""".replace(
        'bore_diameter = "42.000 mm"\nbore_plus_minus = "4 um"\n',
        """[[shell.bore]]
from = "0 mm"
to = "16 mm"
diameter = "42 mm"
[[shell.bore]]
from = "16 mm"
to = "20 mm"
diameter = "36 mm"
""",
        1,
    )
    .replace('width = "16 mm"', 'width = "20 mm"')
    .replace("[sleeve]\n", '[sleeve]\nstop = "right shoulder"\n')
)


def shouldered(end: str) -> str:
    """A shoulder of 4 mm, 36 mm wide inside, at one end of the sleeve."""
    if end == "right":
        return SHOULDERED
    mirrored = SHOULDERED.replace("right shoulder", "left shoulder").replace(
        'length = "16', 'start = "4 mm"\nlength = "16'
    )
    lands = SHOULDERED[SHOULDERED.index("[[shell.bore]]") : SHOULDERED.index("[sleeve]")]
    turned = """[[shell.bore]]
from = "0 mm"
to = "4 mm"
diameter = "36 mm"
[[shell.bore]]
from = "4 mm"
to = "20 mm"
diameter = "42 mm"
"""
    return mirrored.replace(lands, turned)


def loaded_flange(thickness: str, *, axial: str = "3 kN", cup: bool = True) -> str:
    """A left flange with a bearing that pushes along the axis, and a cup that pulls to the right."""
    size = float(thickness.split()[0])
    lines = FLANGE.format(end="left").replace('"3 mm"', f'"{thickness}"')
    text = f"""
title = "Small boss with a flanged sleeve"
{PARTS}[demand]
axial_force = "1 kN"
{CUP if cup else ""}[[service.bearing]]
name = "thrust"
axial = "{axial}"
z = "8 mm"
from = "5 mm"
to = "11 mm"
hold = "pressed"
[service.clamped]
from = "4 mm"
to = "12 mm"
[mesh]
elements_through_wall = 2
"""
    text = text.replace('length = "16 mm"\n', f'length = "{16.0 + size:g} mm"\n{lines}')
    return threaded(text, -size, 16) if cup else text
