"""Cases that the tests of the figures plot, solved once."""

from __future__ import annotations

from functools import cache

import pytest

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.pipeline import Results, check_case
from hoopwright.record.figures import FIGURES, style

HEAD = """
title = "Invented shell"
invented = true
[fit]
friction_low = 0.08
friction_high = 0.20
[demand]
axial_force = "2 kN"
torque = "50 N*m"
[shell]
material = "6061-T6"
width = "73 mm"
outside_diameter = "44 mm"
bore_diameter = "39.000 mm"
bore_plus_minus = "5 um"
[sleeve]
material = "1025 steel"
"""
PLAIN = HEAD + 'length = "73 mm"\noutside_diameter = "39.040 mm"\nbore_diameter = "34.9 mm"\n'
SHORT = PLAIN.replace('length = "73 mm"', 'start = "16.5 mm"\nlength = "40 mm"')


def lands(name: str, rows: list[tuple[float, float, str]]) -> str:
    return "".join(f'[[sleeve.{name}]]\nfrom = "{a} mm"\nto = "{b} mm"\n{rest}\n' for a, b, rest in rows)


STEPPED = (
    HEAD
    + 'length = "73 mm"\nbore_diameter = "34.9 mm"\n'
    + lands(
        "outside",
        [
            (0, 25, 'diameter = "39.020 mm"'),
            (25, 48, 'diameter = "38 mm"'),
            (48, 73, 'diameter = "39.045 mm"'),
        ],
    )
)
OPEN = HEAD + 'length = "73 mm"\noutside_diameter = "39.040 mm"\n'
THREADED = (
    OPEN
    + 'chamfer_left = "1 mm"\n'
    + lands(
        "bore",
        [
            (0, 22, 'thread = "1.37 in x 24 right"'),
            (22, 49, 'diameter = "35.5 mm"'),
            (
                49,
                73,
                'thread = { major = "34.8 mm", pitch = "0.2 mm", minor = "34.6 mm", hand = "left", '
                'designation = "$\\\\frac{1}$ & <b>#%_{ and a great many words more" }',
            ),
        ],
    )
)
CROWDED = OPEN + lands(
    "bore",
    [(3 * k, 3 * k + 3 if k < 11 else 73, f'diameter = "{34.5 + 0.1 * (k % 2)} mm"') for k in range(12)],
)
CASES = {"plain": PLAIN, "short": SHORT, "stepped": STEPPED, "threaded": THREADED, "crowded": CROWDED}
UNITS = {"metric": Units("metric"), "inch": Units("inch")}


@cache
def solved(case: str) -> Results:
    return check_case(parse_case(CASES[case]))


@cache
def plotted(name: str, case: str, system: str = "metric"):
    return FIGURES[name](solved(case), UNITS[system])


@cache
def texts(figure) -> list:
    """Every text that is actually rendered, in rendering order."""
    from matplotlib.text import Text

    rendered: list = []
    original = Text.draw

    def recording_draw(self, renderer, *args, **more):
        if self.get_visible() and self.get_text().strip() and self not in rendered:
            rendered.append(self)
        return original(self, renderer, *args, **more)

    with style.plot_style(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(Text, "draw", recording_draw)
        figure.canvas.draw()
    return rendered


def words(figure) -> str:
    return "\n".join(t.get_text() for t in texts(figure))
