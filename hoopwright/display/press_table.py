"""The force–travel table of a press document in words and numbers, the same on screen and in the record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from hoopwright.display.gauge import Gauge
from hoopwright.display.stop_line import stop_number
from hoopwright.display.units import Units

LINES = ("least", "likely", "stop")


@dataclass(frozen=True)
class PressRow:
    """Texts of one row. gauge, force: least, likely and stop; gauge: None where the ram is not known, the
    stop marked where the gauge cannot show it."""

    travel: str
    bearing: str
    gauge: tuple[str, ...] | None
    force: tuple[str, ...]
    closed_form: str


def press_rows(curve: dict[str, Any], units: Units) -> list[PressRow]:
    """The rows of the table with the steps of the reader."""
    gauge = gauge_of(curve)
    return [
        PressRow(
            travel=units.along_number(row["travel_mm"]),
            bearing=units.along_number(row["bearing_mm"]),
            gauge=None if gauge is None else _marks(row, gauge),
            force=(
                *(units.number(row[f"{line}_N"], "N") for line in LINES[:-1]),
                stop_number(row["stop_N"], units),
            ),
            closed_form=units.number(row["closed_form_N"], "N"),
        )
        for row in curve["table"][units.system]
    ]


def _marks(row: dict[str, Any], gauge: Gauge) -> tuple[str, ...]:
    least, likely, stop = (gauge.text(row[f"gauge_{line}_MPa"]) for line in LINES)
    return least, likely, f"{stop}*" if row["gauge_too_coarse"] else f"{stop} "


def gauge_of(curve: dict[str, Any]) -> Gauge | None:
    """The gauge of the press; None where the ram is not known, so that a force gives no reading."""
    unit = curve["gauge_unit"]
    return None if unit is None else Gauge.of(unit, curve["gauge_division_MPa"])


def counted_from(curve: dict[str, Any], units: Units) -> str:
    """From where travel counts, where the sleeve first bears, and where it is home."""
    positions = curve["positions"]
    free = max((p["travel_mm"] for p in positions if p["stop_N"] <= 0.0), default=0.0)
    home = positions[-1]["travel_mm"]
    words = "Travel counts from where the sleeve's leading face is flush with the mouth of the shell; "
    if free >= home:
        return f"{words}it is home after {units.along(home)}."
    bears = f"it first bears after {units.along(free)}" if free > 0.0 else "it bears from there on"
    return f"{words}{bears} and is home after {units.along(home)}."


def gauge_notes(curve: dict[str, Any], units: Units) -> list[str]:
    """How the gauge's columns are rounded, and where the gauge cannot show the stop line."""
    gauge = gauge_of(curve)
    if gauge is None:
        return ["Give [press] ram_diameter to have the reading of the gauge."]
    given = "" if gauge.known else ", taken since [press] gauge_division is not given"
    notes = [f"Gauge to its division of {gauge.step}{given}; stop always the division below."]
    if any(row["gauge_too_coarse"] for row in curve["table"][units.system]):
        notes.append(
            "* The gauge is too coarse there: the division below the stop line is less than what is "
            "likely. Go by the force, a gauge with finer divisions, or a smaller ram."
        )
    return notes
