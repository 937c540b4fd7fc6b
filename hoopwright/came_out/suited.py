"""Bands for one part cut anew, or cut further, to suit the other as it is.

Until it is read again the part is taken as true: one diameter on every land, round, with the same
interference on all of them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hoopwright.case.model import Case
from hoopwright.discretisation import usual_resolution
from hoopwright.fem import MeshError, SolveError
from hoopwright.form import read_ovality
from hoopwright.geometry.land import Land
from hoopwright.interference import SeatInterference, measured
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.rows.judging import checks
from hoopwright.sizing.band import Band
from hoopwright.sizing.turn_to import MATING_PART, SURFACE, TurnTo, turn_to
from hoopwright.sizing.window import Window, find_window, withheld_window
from hoopwright.study import CaseStudy

RELIEF = 0.1
"""Gap on diameter, mm, from which on a land is a relief by intention, and stays as it is. Common practice,
no source: nobody turns a seat so far below size."""
SAME = 5e-4
"""Difference of diameters, mm, below which lands are taken as alike: half of what a micrometer shows."""


@dataclass(frozen=True)
class Suited:
    """Bands for one part to suit the other. cut: that part, "sleeve" or "shell". case: with that part at a
    size of the window. found: None where the window is empty or withheld."""

    cut: str
    case: Case
    window: Window
    found: TurnTo | None

    @property
    def bands(self) -> tuple[Band, ...]:
        return self.found.bands if self.found else ()


def suited(case: Case, study: CaseStudy, window: Window, cut: str) -> Suited:
    """The bands for a part. window: of the case as it is, which is that of the part cut anew if it is true
    already."""
    if cut == "shell":  # a bore is read again with what it was read with
        case = replace(case, size=replace(case.size, gauge=None))
    seats = _seats(study)
    indices = {_land_of(s, cut) for s in seats}
    if not _is_true(case, seats, indices, cut):
        case = _made_true(case, study, window, seats, cut)
        try:
            study = CaseStudy(case, usual_resolution(case))
            window = find_window(case, study, checks())
        except (MeshError, SolveError) as error:
            return Suited(cut, case, withheld_window(study, f"not solved: {error}"), None)
    if window.empty:
        return Suited(cut, case, window, None)
    found = turn_to(case, study, window, cut=cut)
    bands = tuple(b for b in found.bands if b.index in indices)
    return Suited(cut, case, window, replace(found, bands=bands))


def read_land(case: Case, part: str, index: int) -> tuple[Land, float]:
    """A land that carries a seat, as it is turned or bored, and its ovality as read, mm."""
    surface = SURFACE[part]
    read = measured(case, part, surface, index)
    own = case.sleeve.unfaced if part == "sleeve" else case.shell
    return getattr(own, surface)[index], 0.0 if read is None else read_ovality(read)


def _seats(study: CaseStudy) -> tuple[SeatInterference, ...]:
    seats = study.interference.seats
    return tuple(s for s in seats if s.likely > -RELIEF) or seats


def _land_of(seat: SeatInterference, part: str) -> int:
    return seat.seat.sleeve_land if part == "sleeve" else seat.seat.bore_land


def _is_true(case: Case, seats: tuple[SeatInterference, ...], indices: set[int], part: str) -> bool:
    """Whether a part is true on its seats: cylindrical, round, and with one interference."""
    likely = [s.likely for s in seats]
    if max(likely) - min(likely) > SAME:
        return False
    lands = [read_land(case, part, index) for index in indices]
    return all(land.greatest_diameter - land.least_diameter <= SAME and not oval for land, oval in lands)


def _made_true(
    case: Case, study: CaseStudy, window: Window, seats: tuple[SeatInterference, ...], part: str
) -> Case:
    """The case with a part that has the same interference on all its seats, in the middle of the window
    where there is one."""
    bore = min(b.mean_diameter for b in case.shell.bore)
    likely = max(study.nominal_interference, 1e-3 * bore)
    target = likely if window.empty else 0.5 * (window.least + window.greatest)
    target += study.interference.smoothing
    surface, mate = SURFACE[part], MATING_PART[part]
    lands: list[Land] = list(getattr(getattr(case, part), surface))
    mating: tuple[Land, ...] = getattr(getattr(case, mate), SURFACE[mate])
    for index in {_land_of(s, part) for s in seats}:
        facing = [s for s in seats if _land_of(s, part) == index]
        diameter = float(
            np.average(
                [mating[_land_of(s, mate)].mean_diameter for s in facing],
                weights=[s.seat.length for s in facing],
            )
        ) + (target if part == "sleeve" else -target)
        lands[index] = replace(lands[index], diameter_start=diameter, diameter_end=diameter)
    read: tuple[MeasuredLand, ...] = getattr(case, f"{part}_measured")
    remade = {_land_of(s, part) for s in seats}
    others = tuple(m for m in read if m.surface != surface or m.index not in remade)
    return replace(
        case,
        **{part: replace(getattr(case, part), **{surface: tuple(lands)}), f"{part}_measured": others},
    )
