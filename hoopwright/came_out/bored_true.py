"""The last way out: bore the shell clean and true, and make a sleeve to suit that bore."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from hoopwright.came_out.changes import LandSize, land_size, with_sizes
from hoopwright.came_out.resizing import middles_of
from hoopwright.came_out.suited import read_land, suited
from hoopwright.came_out.way import Way
from hoopwright.came_out.ways import FinishedParts, judged_way, lacking, sizes_of, wall_of, way
from hoopwright.case.model import Case
from hoopwright.discretisation import usual_resolution
from hoopwright.fem import MeshError, SolveError
from hoopwright.geometry import Sleeve
from hoopwright.rows.judging import checks
from hoopwright.sizing.rounding import INCH, reading_step
from hoopwright.sizing.window import find_window
from hoopwright.study import CaseStudy

NAME = "bore_and_turn"
WORTH_A_CUT = 1e-3
"""Metal on diameter, mm, below which a bore is as true as it can be read."""


def bore_and_turn(parts: FinishedParts) -> Way:
    """Bore to the least size that is clean and true, and turn a sleeve for it."""
    case = parts.case
    increase = _increase(case)
    if increase < WORTH_A_CUT:
        return way(NAME, "cannot be done", "the bore is clean and true: a larger one gains nothing")
    bores = tuple(_bored(case, index, increase) for index in range(len(case.shell.bore)))
    wall, limit = wall_of(case, bores), case.min_wall_mm
    if wall <= (limit or 0.0):
        left = f"{parts.units.both(max(wall, 0.0), 'mm')} of wall would be left"
        return way(NAME, "cannot be done", left + (", less than your limit" if limit else ""))
    bored = with_sizes(case, bores)
    bored = replace(bored, sleeve=_larger(case, increase), sleeve_measured=())
    try:
        study = CaseStudy(bored, usual_resolution(bored))
        found = suited(bored, study, find_window(bored, study, checks()), "sleeve")
    except (MeshError, SolveError, ValueError) as error:
        return way(NAME, "cannot be done", f"not solved: {error}")
    why = lacking(parts, found)
    if why:
        return way(NAME, "cannot be done", why)
    sizes = sizes_of(found, zip(found.bands, middles_of(found.bands), strict=True))
    return judged_way(parts, NAME, found, (*bores, *sizes), wall=wall)


def _increase(case: Case) -> float:
    """What must come off the bore on diameter, mm, until every land is clean and true."""
    job = case.boring
    clean = 0.0 if job is None else job.damage_diameter + job.runout
    needed = []
    for index, land in enumerate(case.shell.bore):
        _, oval = read_land(case, "shell", index)
        true = land.greatest_diameter + 0.5 * oval
        # a bore that is clean by its least size as it is known need not grow
        dirty = clean > land.least_diameter - land.plus_minus
        goal = max(true, clean + land.plus_minus) if dirty else true
        needed.append(goal - land.mean_diameter)
    return max(needed)


def _bored(case: Case, index: int, increase: float) -> LandSize:
    land, units = case.shell.bore[index], case.units
    unit, step = (INCH if units == "inch" else 1.0), reading_step(None, units)
    diameter = step * ceil((land.mean_diameter + increase) / unit / step - 1e-6)
    return land_size("shell", index, diameter, land.plus_minus, units)


def _larger(case: Case, increase: float) -> Sleeve:
    outside = tuple(
        replace(b, diameter_start=b.diameter_start + increase, diameter_end=b.diameter_end + increase)
        for b in case.sleeve.outside
    )
    return replace(case.sleeve, outside=outside)
