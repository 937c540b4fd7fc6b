"""A record that the record tests share, written once by the command itself. Invented sizes."""

from __future__ import annotations

import atexit
import json
import shutil
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

from hoopwright.cli import main

LOG = """travel [mm], force [kN]
10, 0.9
20, 1.8
30, 2.7
"""
CASE = """
title = "Invented hub shell, 32 mm"
invented = true
units = "UNITS"
[job]
piece = "hub shell"
owner = "nobody"
date = "2026-01-02"
mechanic = "somebody"
notes = "worn seat"
[shell]
material = "6061-T6"
width = "32 mm"
outside_diameter = "46 mm"
least_wall = "2 mm"
runout = "0.03 mm"
[[shell.bore]]
from = "0 mm"
to = "32 mm"
gauge = "two-point"
readings = [
    { z = "6 mm", angles = "0 45 90 135 deg", values = "40.002 40.001 40.001 40.000 mm" },
    { z = "26 mm", angles = "0 45 90 135 deg", values = "40.001 40.001 40.000 40.002 mm" },
]
[sleeve]
material = "E355 steel"
length = "32 mm"
outside_diameter = "40.040 mm"
outside_plus_minus = "3 um"
bore_diameter = "35 mm"
chamfer_right = "1 mm"
most_bore_closure = "60 um"
[fit]
friction_low = 0.1
friction_high = 0.2
[demand]
axial_force = "1 kN"
torque = "10 N*m"
[press]
capacity = "40 kN"
ram_diameter = "40 mm"
calibration = "invented: ram measured, gauge tested against dead weights"
log = "log.csv"
[gauge.two-point]
type = "two-point bore gauge"
resolution = "1 um"
max_error = "2 um"
zero_error = "1 um"
[service.clamped]
from = "0 mm"
to = "8 mm"
[[service.bearing]]
name = "laden wheel"
radial = "2 kN"
angle = "90 deg"
axial = "300 N"
z = "25 mm"
from = "20 mm"
to = "31 mm"
hold = "pressed"
[mesh]
elements_through_wall = 2
"""


def write_case(folder: Path, units: str = "metric") -> Path:
    """Write the case file and its press log into a folder; return the path of the case."""
    (folder / "log.csv").write_text(LOG, encoding="utf-8")
    path = folder / "hub.toml"
    path.write_text(CASE.replace("UNITS", units), encoding="utf-8")
    return path


@cache
def written_record(units: str = "metric") -> Path:
    """Folder of a written record, for reading only."""
    folder = Path(tempfile.mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    case = write_case(folder, units)
    assert main(["record", str(case), "--out", str(folder / "out"), "--revolved"]) in (0, 1)
    return folder / "out" / "hub-001"


@cache
def results(units: str = "metric") -> dict[str, Any]:
    return json.loads((written_record(units) / "results.json").read_text(encoding="utf-8"))


def copy_record(to: Path, units: str = "metric") -> Path:
    """Copy the record so that a test may damage it."""
    return Path(shutil.copytree(written_record(units), to / "hub-001"))
