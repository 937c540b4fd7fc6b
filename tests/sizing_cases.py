"""Cases that the sizing tests share, and random valid cases."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.discretisation import usual_resolution
from hoopwright.study import CaseStudy

PLAIN = """
title = "plain pair"
[shell]
material = "6061-T6 welded"
width = "60 mm"
outside_diameter = "46 mm"
outside_plus_minus = "{outside_pm} mm"
bore_diameter = "40 mm"
bore_plus_minus = "{bore_pm} mm"
least_wall = "2 mm"
[sleeve]
material = "{sleeve}"
length = "60 mm"
outside_diameter = "{turned} mm"
outside_plus_minus = "{sleeve_pm} mm"
bore_diameter = "35 mm"
most_bore_closure = "{closure} um"
[fit]
friction_low = 0.1
friction_high = 0.2
[demand]
axial_force = "{axial} kN"
torque = "30 N*m"
[press]
capacity = "60 kN"
{more}
"""


def plain(
    *,
    bore_pm=0.004,
    sleeve_pm=0.003,
    outside_pm=0.0,
    turned=40.040,
    axial=3.0,
    sleeve="E355 steel",
    closure=60,
    more="",
) -> Case:
    return parse_case(
        PLAIN.format(
            bore_pm=bore_pm,
            sleeve_pm=sleeve_pm,
            outside_pm=outside_pm,
            turned=turned,
            axial=axial,
            sleeve=sleeve,
            closure=closure,
            more=more,
        )
    )


TRIKE = Path(__file__).parents[1] / "cases" / "cargo_trike_crank_shell.toml"
HEAVY = ("service", "fatigue")


def light_trike() -> str:
    """The trike demo without its service loads, whose solves these tests do not need, nor its press log."""
    text = re.sub(r"(?m)^log = .*$", "", TRIKE.read_text(encoding="utf-8"))
    tables = re.split(r"(?m)^(?=\[)", text)
    return "".join(t for t in tables if t.strip("[").split("]")[0].split(".")[0] not in HEAVY)


def study_of(case: Case) -> CaseStudy:
    return CaseStudy(case, usual_resolution(case))


SHELLS = ("6061-T6", "6061-T6 welded", "7020-T6", "1025 steel", "6005A-T6")
SLEEVES = ("E355 steel", "C45 steel", "7075-T6", "4130 steel", "304 stainless")


def random_case(rng: np.random.Generator) -> Case:
    """A valid case: one or two lands, with or without chamfer and spare shell length, any materials."""
    bore = rng.uniform(30.0, 55.0)
    outside = bore + 2.0 * rng.uniform(2.0, 6.0)
    width = round(rng.uniform(20.0, 90.0), 1)
    start = round(rng.choice([0.0, 0.1 * width]), 2)
    end = round(rng.choice([width, 0.85 * width]), 2)
    inside = bore - 2.0 * rng.uniform(1.5, 4.0)
    tight = bore * rng.uniform(0.3e-3, 1.8e-3)
    middle, step = round(0.5 * (start + end), 2), rng.choice([0.0, 0.025])
    lands = [(start, middle, 0.0), (middle, end, step)] if step else [(start, end, 0.0)]
    bores = [(0.0, middle, 0.0), (middle, width, step)] if step else [(0.0, width, 0.0)]

    def rows(table, items, size):
        return "".join(
            f'[[{table}]]\nfrom = "{a:.4f} mm"\nto = "{b:.4f} mm"\n'
            f'diameter = "{size - s:.5f} mm"\n'
            f'plus_minus = "{rng.uniform(0.0, 5.0):.2f} um"\n'
            for a, b, s in items
        )

    return parse_case(f"""
title = "random"
[shell]
material = "{rng.choice(SHELLS)}"
width = "{width:.4f} mm"
outside_diameter = "{outside:.4f} mm"
least_wall = "1 mm"
{rows("shell.bore", bores, bore)}
[sleeve]
material = "{rng.choice(SLEEVES)}"
start = "{start:.4f} mm"
length = "{end - start:.4f} mm"
bore_diameter = "{inside:.4f} mm"
chamfer_left = "{rng.choice([0.0, 1.0])} mm"
most_bore_closure = "{rng.uniform(30, 90):.0f} um"
{rows("sleeve.outside", lands, bore + tight)}
[fit]
friction_low = {rng.uniform(0.06, 0.14):.3f}
friction_high = 0.22
[demand]
axial_force = "{rng.uniform(0.2, 4.0):.3f} kN"
torque = "{rng.uniform(5.0, 50.0):.1f} N*m"
[press]
capacity = "{rng.uniform(10.0, 120.0):.0f} kN"
[mesh]
elements_through_wall = 2
""")
