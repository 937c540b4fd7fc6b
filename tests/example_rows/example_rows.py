"""A seat that is short for its walls: all its stretches together, in walls of the thicker part."""

from hoopwright.rows.contract import (
    Estimate,
    Evidence,
    FurtherRow,
    Location,
    Margin,
    Sheet,
    Working,
    closed,
    explanation_of,
    row_of,
)

LEAST_WALLS = 3.0
"""Common practice, no source: a seat is at least three walls long, or the sleeve rocks in it."""


def check(evidence: Evidence) -> Margin:
    cell = Margin(
        id="short_seat",
        title="seat long enough",
        demand=Estimate(LEAST_WALLS * _wall(evidence)),
        capacity=Estimate(_length(evidence)),
        unit="mm",
        factor=1.0,
        where=Location("interface"),
        basis=f"length of the seat against {LEAST_WALLS:g} walls, common practice, no source",
        stage="pressed",
    )
    return row_of([cell])


def working(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    sheet.case("t", _wall(evidence), "mm", "thicker wall of sleeve and shell", "[shell], [sleeve]")
    sheet.case("l", _length(evidence), "mm", "length of the seat", "[shell], [sleeve]")
    sheet.agreed("k", LEAST_WALLS, "", "least length in walls", "common practice, no source")
    closed(sheet, row, "k * t", "l")
    return Working(tuple(sheet.lines))


def _wall(evidence: Evidence) -> float:
    joint = evidence.study.joint
    return max(stretch.wall for stretch in (*joint.shell, *joint.sleeve))


def _length(evidence: Evidence) -> float:
    return sum(seat.length for seat in evidence.study.joint.seats)


EXPLANATION = explanation_of("""
[short_seat]
title = "seat long enough"
stages = ["pressed"]
fails = "A seat that is short for its walls lets the sleeve rock, however tight it is."
looks = "The sleeve is out of true after the first load, and its ends have polished the bore."
unit = "mm"
formula = ["demand = k * t", "limit = l"]
symbols = [
  "t: thicker wall of sleeve and shell [mm]",
  "l: length of the seat [mm]",
  "k: least length in walls",
]
range = ["Any seat; stretches with a relief between them count together."]
left_out = ["How tight the seat is, and what loads it."]
sources = [["a seat is at least three walls long", "common practice, no source"]]
tests = []
""")

SHORT_SEAT = FurtherRow(check, working, EXPLANATION)
