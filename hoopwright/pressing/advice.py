"""What to do and what to feel, from the course of the force: plain sentences."""

from __future__ import annotations

import numpy as np

from geometry.travel import End
from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.pressing.course import Course

NOTHING = 1e-6


def start(course: Course, units: Units) -> str:
    """What the first part of the way feels like."""
    case, likely = course.case, course.force[:, 1]
    free = float(course.travel[likely <= NOTHING * max(likely.max(), 1.0)].max(initial=0.0))
    lands = len(case.sleeve.outside) > 1
    if lands and free > 0.25 * course.travel[-1]:
        return (f"It goes in by hand for the first {units.text(free, 'mm', decimals=_places(units))}: "
                "then all lands begin to bear at once. If it drags earlier, stop: it is cocked or a "
                "land is too large.")
    drag = leading_drag(case, course.enters_from)
    if lands and drag > 0.0:
        return (f"The leading land is {units.text(1e3 * drag, 'um')} larger than the bore it enters "
                "first, so it drags from the start and starts no straighter than a plain sleeve. For a "
                "free start the step between the lands must exceed the interference, with a little to "
                "spare.")
    if free > 0.0:
        return (f"The chamfer lets it in by hand for {units.text(free, 'mm', decimals=_places(units))}: "
                "set it square there before you push.")
    return ("It bears from the first touch: there is no lead-in. Give it a chamfer, or it may start askew "
            "and shave.")


def leading_drag(case: Case, enters_from: End) -> float:
    """Diametral interference of the leading land in the bore at the mouth, mm."""
    left = enters_from == "left"
    turned = case.sleeve.outside[-1 if left else 0]
    mouth = case.shell.bore[0 if left else -1]
    return turned.mean_diameter - mouth.mean_diameter


def _places(units: Units) -> int:
    return 1 if units.system == "metric" else 2


def while_pressing(course: Course, units: Units) -> list[str]:
    """Orders for the one at the press."""
    low, _, high = course.peak
    release = course.case.press.release_ratio
    number = units.text
    if high <= 0.0:
        return ["Nothing bears anywhere on the way: at these sizes, this temperature and this smoothing "
                "there is no interference to press against."]
    lines = [
        start(course, units),
        f"Stop if the force rises above the stop line at that travel (at the end {number(high, 'N')}): "
        "galling, a chip, a cocked sleeve, or a fit tighter than measured. Do not push through it.",
        f"Suspect the fit if it stays below the least (at the end {number(low, 'N')}): the bore is "
        "larger or the sleeve smaller than measured, or it is oiled better than the friction says.",
        f"Do not rest on the way: to break a resting sleeve loose takes up to {release:g} times the "
        f"sliding force (up to {number(course.breakaway, 'N')} when home). A jump after a rest is not a "
        "stop signal.",
    ]
    if course.case.press.capacity is not None and course.breakaway > course.case.press.capacity:
        lines.append(f"The press gives {number(course.case.press.capacity, 'N')}: not enough to restart "
                     "it near the end. Go through in one stroke.")
    effect = end_effect(course)
    if effect > 0.005:
        lines.append(f"Before it is home the sleeve is pressed harder at its ends than the closed form "
                     f"says: over the whole way by {100 * effect:.0f} % of the work.")
    return lines


def end_effect(course: Course) -> float:
    """Work of pressing in by the finite elements over that by the closed form, less one; the squeeze of
    the push is left out of both."""
    plain = course.work(course.closed_form)
    return course.work(course.unsqueezed) / plain - 1.0 if plain > 0.0 else 0.0


def rows(course: Course, most: int = 14) -> np.ndarray:
    """Positions worth a line of the table: all, or evenly chosen with the ends kept."""
    count = len(course.positions)
    if count <= most:
        return np.arange(count)
    return np.unique(np.linspace(0, count - 1, most).round().astype(int))


def gauge_unit(course: Course, units: Units) -> str:
    """What the user's gauge is marked in."""
    return course.case.press.gauge_unit or ("psi" if units.system == "inch" else "bar")
