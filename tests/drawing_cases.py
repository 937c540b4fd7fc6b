"""Cases whose drawing is asked for, and plans of them whose window is given instead of solved."""

from __future__ import annotations

from dataclasses import replace

from small_cases import SLIPS_IN

from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.discretisation import usual_resolution
from hoopwright.sizing.finished import both_finished, sleeve_is_turned
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.turn_to import decide, turn_to
from hoopwright.sizing.window import End, Window
from hoopwright.study import CaseStudy

GAUGE = """
[gauge.micrometer]
temperature = "20 degC"
resolution = "1 um"
max_error = "2 um"
[size]
gauge = "micrometer"
shop_temperature = "30 degC"
"""
COARSE = GAUGE.replace('"1 um"', '"50 um"').replace('"2 um"', '"50 um"')
STATED = """
[drawing]
title = "Bush"
number = "S-104"
revision = "B"
drawn_by = "nobody"
projection = "first angle"
general_tolerance = "ISO 2768-m"
edges = "ISO 13715: outside -0.3, inside +0.3"
[drawing.sleeve]
length_plus_minus = "0.1 mm"
bore_plus_minus = "0.05 mm"
squareness = "0.02 mm"
roundness = "5 um"
bore_runout = "0.03 mm"
texture = "Ra 3.2"
blank = "tube 45 x 6"
condition = "normalised"
[drawing.bore]
squareness = "0.04 mm"
roundness = "8 um"
"""
TROUBLESOME = """
title = "Three lands, two hands, a relief, a spare face"
invented = true
[shell]
material = "6061-T6"
width = "60 mm"
outside_diameter = "54 mm"
bore_diameter = "41.000 mm"
bore_plus_minus = "4 um"
[sleeve]
material = "E355 steel"
start = "2 mm"
length = "55 mm"
chamfer_left = "1 mm"
chamfer_right = "1.5 mm"
[[sleeve.outside]]
from = "2 mm"
to = "20 mm"
diameter = "41.036 mm"
plus_minus = "3 um"
[[sleeve.outside]]
from = "20 mm"
to = "40 mm"
diameter = "40.2 mm"
[[sleeve.outside]]
from = "40 mm"
to = "57 mm"
diameter_from = "41.036 mm"
diameter_to = "41.030 mm"
plus_minus = "3 um"
[[sleeve.bore]]
from = "2 mm"
to = "14 mm"
thread = "1.37 in x 24 right"
[[sleeve.bore]]
from = "14 mm"
to = "26 mm"
diameter = "35.4 mm"
[[sleeve.bore]]
from = "26 mm"
to = "47 mm"
diameter = "36 mm"
[[sleeve.bore]]
from = "47 mm"
to = "57 mm"
thread = "1.37 in x 24 left"
[fit]
friction_low = 0.1
friction_high = 0.2
roughness_sleeve = "6 um"
[drawing.sleeve]
thread_class = "6H"
thread_runout = "0.05 mm"
incomplete_thread = "2 mm"
"""


def small(*, units: str = "metric", more: str = GAUGE, changed: tuple[tuple[str, str], ...] = ()) -> Case:
    """The case that is solved soonest, with a gauge and a warm shop."""
    text = f'units = "{units}"\n{SLIPS_IN}{more}'
    for old, new in changed:
        assert old in text
        text = text.replace(old, new, 1)
    return parse_case(text, file="small.toml")


def plan_of(case: Case, *, least_um: float = 20.0, greatest_um: float = 60.0) -> SizePlan:
    """A plan whose window was not solved but reaches from a least to a greatest interference."""
    study = CaseStudy(case, usual_resolution(case))
    likely = study.nominal_interference
    ends = (End(1e-3 * one - likely, None) for one in (least_um, greatest_um))
    window = Window(likely, *ends)
    last = "shell" if sleeve_is_turned(case, study) else "sleeve"
    if both_finished(case, study):
        return SizePlan(case, study, (), window, None, decide(case, study, window), None, ())
    return SizePlan(case, study, (), window, turn_to(case, study, window, cut=last), None, None, ())


def without_a_size(plan: SizePlan) -> SizePlan:
    """The same plan where no interference satisfies every check."""
    return replace(plan, window=replace(plan.window, low=None, high=None), turn_to=None)
