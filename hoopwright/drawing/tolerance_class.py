"""Tolerance classes of ISO 286: which of them lies wholly inside a band of diameters.

A class is its basic size, a letter for where it lies and a grade for how wide it is: 41 mm s6 is 41.043 to
41.059 mm. Source: ISO 286-2, grades 5 to 9 and letters p, r and s from 18 to 65 mm seen, all else from
memory; held against the formulae of ISO 286-1, from memory too, by a test.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

SOURCE = "ISO 286-2; grades 5 to 9 and p, r, s to 65 mm seen, the rest from memory"

RANGES = (18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180)
"""Bounds of the ranges of basic size, mm: over the first, up to and including the last."""
GRADES = {
    4: (6, 6, 7, 7, 8, 8, 10, 10, 12, 12, 12),
    5: (9, 9, 11, 11, 13, 13, 15, 15, 18, 18, 18),
    6: (13, 13, 16, 16, 19, 19, 22, 22, 25, 25, 25),
    7: (21, 21, 25, 25, 30, 30, 35, 35, 40, 40, 40),
    8: (33, 33, 39, 39, 46, 46, 54, 54, 63, 63, 63),
    9: (52, 52, 62, 62, 74, 74, 87, 87, 100, 100, 100),
}
"""Width of a grade, µm, by range."""
LOWER_DEVIATIONS: dict[str, tuple[int | None, ...]] = {
    "k": (2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 3),
    "m": (8, 8, 9, 9, 11, 11, 13, 13, 15, 15, 15),
    "n": (15, 15, 17, 17, 20, 20, 23, 23, 27, 27, 27),
    "p": (22, 22, 26, 26, 32, 32, 37, 37, 43, 43, 43),
    "r": (28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68),
    "s": (35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108),
    "t": (None, 41, 48, 54, 66, 75, 91, 104, 122, 134, 146),
    "u": (41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210),
    "x": (54, 64, 80, 97, 122, 146, 178, 210, 248, 280, 310),
}
"""Least deviation of a shaft from its basic size, µm, by letter and range. k: of grades 4 to 7."""
USUAL = (8, 7, 6, 5)
"""Grades that are looked for, the widest first."""


@dataclass(frozen=True)
class ToleranceClass:
    """basic: size, mm. low, high: limits of size, mm."""

    basic: float
    name: str
    low: float
    high: float


def inside(low: float, high: float, *, basic: float, hole: bool = False) -> ToleranceClass | None:
    """The widest class that lies inside [low, high], mm, of equals the one nearest its middle; None where
    none does. basic: size that the class is stated for, mm; hole: a bore, whose letters are capitals."""
    if not RANGES[0] < basic <= RANGES[-1]:
        return None
    for grade in USUAL:
        found = [one for one in _classes(basic, grade, hole) if low <= one.low and one.high <= high]
        if found:
            return min(found, key=lambda one: abs(one.low + one.high - low - high))
    return None


def _classes(basic: float, grade: int, hole: bool) -> Iterator[ToleranceClass]:
    """Every class of a grade."""
    k = bisect_left(RANGES, basic) - 1
    width = GRADES[grade][k]
    yield _at(basic, f"{'H' if hole else 'h'}{grade}", 0 if hole else -width, width)
    for name, deviations in LOWER_DEVIATIONS.items():
        least = deviations[k]
        if least is None or (name == "k" and grade > 7 and not hole):
            continue
        if not hole:
            yield _at(basic, f"{name}{grade}", least, width)
        elif grade <= (8 if name in "kmn" else 7):
            # a hole has the same fit as the shaft of its letter, one grade finer
            greatest = -least + width - GRADES[grade - 1][k]
            yield _at(basic, f"{name.upper()}{grade}", greatest - width, width)


def _at(basic: float, name: str, lower: int, width: int) -> ToleranceClass:
    """The class whose lower limit deviates by so many µm."""
    return ToleranceClass(
        basic, name, round(basic + 1e-3 * lower, 6), round(basic + 1e-3 * (lower + width), 6)
    )
