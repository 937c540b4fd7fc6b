"""Numbers that the explanations speak of, each from the declaration that the tool works with.

In the texts a name in braces stands for its number: {factor_yield}.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from math import atan, degrees

from hoopwright.case.model import Factors, FitInput
from hoopwright.case.press_model import Press
from hoopwright.case.service_model import FatigueInput
from hoopwright.checks.ends_crush import CHAMFER_SLOPE
from hoopwright.checks.seat_pressure import MIN_PRESSURE_SHARE
from hoopwright.closed_form.buckling import MAX_THICKNESS_RATIO, MIN_THICKNESS_RATIO
from hoopwright.cup_load import HALF_THREAD_ANGLE_DEG
from hoopwright.display import Units
from hoopwright.materials import table
from hoopwright.service.fatigue_strength import STRENGTH_SCATTER
from hoopwright.slipping_in import DEFAULT_CLEARANCE_SHARE
from hoopwright.starters import starter_text
from hoopwright.strength.history import NO_QUESTION_K

COMMON_PAIR = "E355 steel", "6061-T6"
"""Sleeve and shell of the example of heat and cold."""
ONE_MICROMETRE = 1e-3
_NAME = re.compile(r"\{(\w+)\}")


def filled(text: str) -> str:
    """A text with its numbers in place of their names. Raises KeyError for a name that stands for none."""
    return _NAME.sub(lambda found: numbers()[found[1]], text)


@cache
def numbers() -> dict[str, str]:
    """The numbers by name, as one writes them."""
    factors = Factors()
    friction = tomllib.loads(starter_text("plain"))["fit"]
    steel, aluminium = (table()[name] for name in COMMON_PAIR)
    diameter = ONE_MICROMETRE / (aluminium.expansion - steel.expansion)
    return {
        "factor_yield": f"{factors.yielding:g}",
        "factor_holding": f"{factors.holding:g}",
        "factor_buckling": f"{factors.buckling:g}",
        "factor_pressing": f"{factors.pressing:g}",
        "factor_fatigue": f"{factors.fatigue:g}",
        "fretting_share": f"{FatigueInput().fretting:g}",
        "strength_scatter": f"{100.0 * STRENGTH_SCATTER:g} %",
        "restart_ratio": f"{Press().restart_ratio:g}",
        "smoothing": f"{FitInput(0.0, 0.0).smoothing:g}",
        "no_question_of_heat": _in_both(20.0 + NO_QUESTION_K, "degC"),
        "least_smoothing": f"{FitInput(0.0, 0.0).least_smoothing:g}",
        "friction_low": f"{friction['friction_low']:.2f}",
        "friction_high": f"{friction['friction_high']:.2f}",
        "handling_gap": _fraction(DEFAULT_CLEARANCE_SHARE),
        "seat_pressure": _fraction(MIN_PRESSURE_SHARE),
        "thinnest_ring": _fraction(MIN_THICKNESS_RATIO),
        "thickest_ring": _fraction(MAX_THICKNESS_RATIO),
        "chamfer_angle": f"{degrees(atan(CHAMFER_SLOPE)):.0f}°",
        "thread_angle": f"{2.0 * HALF_THREAD_ANGLE_DEG:.0f}°",
        "micrometre_diameter": _in_both(round(diameter, -1), "mm"),
    }


def _in_both(value: float, unit: str) -> str:
    """A round number for a reader of either system: "100 °C (212 °F)"."""
    inch = Units("inch").text(value, unit, decimals=0 if unit == "degC" else 1)
    return f"{Units().text(value, unit, decimals=0)} ({inch})"


def _fraction(share: float) -> str:
    return f"1/{1.0 / share:.0f}"
