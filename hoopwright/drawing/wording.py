"""Sizes of a drawing in words and figures, in the units of the drawing."""

from __future__ import annotations

from math import isclose

from hoopwright.display import Units
from hoopwright.drawing.sizes import BORES, Feature, Size
from hoopwright.record.figures.style import font_covers

NOT_STATED = "not stated"
AFTER_PRESSING = "after pressing"
DIAMETERS: tuple[Feature, ...] = ("outside", "flange", *BORES)
DECIMALS = {"metric": 3, "inch": 4}
"""Of what a micrometer shows; a drawing has more only where the limits need them."""
MAX_DECIMALS = 6


def covered(text: str) -> str:
    """The text with every character that the font of a drawing lacks as its code point."""
    return "".join(c if font_covers(c) else f"[U+{ord(c):04X}]" for c in text if c.isprintable())


def number(value: float, units: Units) -> str:
    """A size, mm, in the units of the drawing, without its unit and without noughts at its end."""
    return units.number(value, "mm").rstrip("0").rstrip(".")


def limit(value: float, units: Units) -> str:
    """A limit that is in the units of the drawing already, with the decimals that a micrometer shows."""
    least = DECIMALS[units.system]
    places = (d for d in range(least, MAX_DECIMALS) if isclose(round(value, d), value, abs_tol=1e-9))
    return f"{value:.{next(places, MAX_DECIMALS)}f}"


def dimension_lines(size: Size, units: Units) -> tuple[str, ...]:
    """What stands on the dimension: limits one above the other, the greater first."""
    if size.after_pressing:
        first, *more = _own_lines(size, units)
        return (f"{AFTER_PRESSING} {first}", *more)
    if size.feature == "chamfer":
        length = number(size.plotted, units)
        return (length if size.angle is None else f"{length} × {size.angle:g}°",)
    return _own_lines(size, units)


def _own_lines(size: Size, units: Units) -> tuple[str, ...]:
    """The size itself, whenever it is cut."""
    if size.thread is not None:
        return thread_lines(size)
    sign = "Ø" if size.feature in DIAMETERS else ""
    mean = "mean " if size.tapered else ""
    if size.basis == "not stated":
        return (f"{sign} {NOT_STATED}",)
    nominal = f"{mean}{sign}{_nominal(size, units)}"
    if size.auxiliary:
        return (f"({nominal})",)
    if size.low is None or size.high is None:
        return (nominal,)
    half = 0.5 * (size.high - size.low)
    if size.band is None and _is_whole(size.plotted, units) and _is_whole(half, units):
        return (f"{nominal} ±{number(half, units)}",)
    limits = size.shown_limits(units.system)
    if limits is None:
        return (f"{sign} {NOT_STATED}",)
    low, high = (f"{mean}{sign}{limit(value, units)}" for value in limits)
    return high, low


def limits_text(low: float, high: float, units: Units) -> str:
    """Limits that are in the units of the drawing already, with the unit."""
    return f"{limit(low, units)} to {limit(high, units)} {units.label('mm')}"


def thread_lines(size: Size) -> tuple[str, ...]:
    """A thread, its class where it is stated, and its hand where the designation does not say or it is the
    left one, which nobody must miss."""
    assert size.thread is not None
    name = covered(size.thread.designation)
    hand = "LEFT HAND" if size.thread.left_hand else "" if "right" in name.lower() else "right hand"
    more = ", ".join(part for part in (hand, covered(size.thread_class)) if part)
    return (name, more) if more else (name,)


def _nominal(size: Size, units: Units) -> str:
    """The size itself: as a micrometer shows it where it was read, else as short as it is."""
    return units.number(size.plotted, "mm") if size.basis == "as read" else number(size.plotted, units)


def _is_whole(value: float, units: Units) -> bool:
    """Whether the decimals of the drawing show a size, mm, as it is."""
    shown = float(units.number(value, "mm"))
    return isclose(shown * (25.4 if units.system == "inch" else 1.0), value, abs_tol=1e-6)
