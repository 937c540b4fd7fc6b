"""A plain pair with threads at both ends, and the tables that tests add to its case text."""

import numpy as np
from cells import Rows

from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence
from hoopwright.fem import Resolution
from hoopwright.study import CaseStudy

BASE = """
title = "plain pair with threads"
[shell]
material = "6061-T6"
width = "60 mm"
outside_diameter = "46 mm"
bore_diameter = "40 mm"
[sleeve]
material = "1025 steel"
length = "60 mm"
outside_diameter = "40.04 mm"
SLEEVE
[[sleeve.bore]]
from = "0 mm"
to = "15 mm"
thread = "LEFT"
[[sleeve.bore]]
from = "15 mm"
to = "45 mm"
diameter = "34.798 mm"
[[sleeve.bore]]
from = "45 mm"
to = "60 mm"
thread = "RIGHT"
[fit]
friction_low = 0.1
friction_high = 0.2
[mesh]
elements_through_wall = 2
"""

CUPS = """
[cups]
thread_friction_low = 0.10
thread_friction_high = 0.20
flange_friction_low = 0.12
flange_friction_high = 0.18
flange_diameter = "42 mm"
flange_bears_on = "shell"
material = "6061-T6"
[cups.left]
tightening_torque = "40 N*m"
engaged_length = "10 mm"
[cups.right]
tightening_torque = "30 N*m"
engaged_length = "10 mm"
"""

WARM = """
[temperatures]
use_least = "-10 degC"
use_most = "45 degC"
"""

COMPOUND = """
[compound]
shear_strength = "10 MPa"
credit = 0.5
combination = "added"
friction_low = 0.05
gap_least = "-0.06 mm"
gap_most = "0.1 mm"
temperature_least = "-40 degC"
temperature_most = "150 degC"
full_cure = "72 h"
cure_least = "15 degC"
cured_for = "96 h"
"""


def text(*parts, left="1.37 in x 24 right", right="1.37 in x 24 left", sleeve=""):
    base = BASE.replace("LEFT", left).replace("RIGHT", right).replace("SLEEVE", sleeve)
    return base + "".join(parts)


def case_of(*parts, **threads):
    return parse_case(text(*parts, **threads))


def evidence_at(case, shift=0.0):
    """Evidence at one interference, without refinement."""
    return Evidence(case, CaseStudy(case, Resolution(elements_through_wall=2)), shift, shift)


class BareRows(Rows):
    """Every row as its check alone has it, also where it does not apply."""

    def judge(self, check):
        return (check(self.evidence),)


def margins_by_id(case, shift=0.0):
    """Every row by id, at one interference, without refinement."""
    return BareRows(evidence_at(case, shift))


def thread_arm(friction, lead_sense):
    """d2/2 tan(ρ ± λ), λ = atan(P/πd2), ρ = atan(μ/cos 30°): + where the lead resists, d2 34.111,
    P 1.05833 mm."""
    lead, rub = np.arctan(25.4 / 24 / (np.pi * 34.1106)), np.arctan(friction / np.cos(np.pi / 6))
    return 34.1106 / 2 * np.tan(rub + lead_sense * lead)


def preload_by_hand(thread_friction, flange_friction):
    """40 N·m = F (d2/2 tan(ρ + λ) + μ_f d_f/2), d_f 42 mm."""
    return 40e3 / (thread_arm(thread_friction, 1.0) + flange_friction * 42 / 2)
