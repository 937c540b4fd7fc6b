"""Cases whose maps the tests share. Invented sizes."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from small_cases import PARTS

from hoopwright.case.read import parse_case
from hoopwright.interface.results import mapped
from hoopwright.pipeline import Results, check_case

LOADED = f"""
title = "Small boss & <sleeve>, loaded"
{PARTS.replace('bore_plus_minus = "4 um"', 'bore_plus_minus = "4 um"' + chr(10) + 'runout = "0.4 mm"')}
[demand]
axial_force = "1 kN"
[temperatures]
use_least = "-5 degC"
use_most = "40 degC"
[[service.bearing]]
name = "laden wheel"
radial = "2 kN"
angle = "90 deg"
axial = "300 N"
z = "11 mm"
from = "8 mm"
to = "14 mm"
hold = "pressed"
[service.clamped]
from = "0 mm"
to = "3 mm"
[mesh]
elements_through_wall = 2
"""


@cache
def results_of(text: str) -> Results:
    return check_case(parse_case(text, file="small.toml"))


@cache
def maps_text(text: str) -> str:
    return json.dumps(mapped(results_of(text)))


def maps_document(text: str = LOADED) -> dict[str, Any]:
    """The maps of a case, to be changed at will."""
    return json.loads(maps_text(text))
