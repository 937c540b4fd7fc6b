"""How a press log departs from the shape expected of it, and what may lie behind it, in plain sentences."""

from __future__ import annotations

from hoopwright.case.quantity import converted
from hoopwright.closed_form.friction import gauge_pressure
from hoopwright.display import Units
from hoopwright.pressing.misfit import Kind, Misfit

CAUSES: dict[Kind, str] = {
    "slope": "friction that changes along the travel, such as a lubricant wiped off on the way; a bore or "
    "a sleeve with taper; metal that yields; a cocked sleeve",
    "zero": "the zero of the gauge; what the ram takes to move by itself; travel counted from another "
    "place; a cocked sleeve at the mouth; friction that changes along the travel",
    "jump": "metal that yields; galling or a chip; a cocked sleeve that straightens; friction that changes "
    "along the travel; a restart after a rest; another ram diameter or gauge from there on",
    "one reading": "a slip of the pen; a chip; a cocked sleeve; a restart after a rest; a stop that was "
    "met",
    "shape": "the zero of the gauge; another ram diameter; friction that changes along the travel; metal "
    "that yields; a cocked sleeve; travel counted from another place",
}
"""Common practice, no source."""


def misfit_notes(found: Misfit, ram: float | None, units: Units, gauge_unit: str) -> list[str]:
    """What does not fit and its possible causes. ram: diameter, mm, None where not given. gauge_unit: that
    the gauge is marked in."""
    return [
        "The log contradicts the case: one friction and the sizes given do not make a force of that shape. "
        + _what(found, ram, units, gauge_unit),
        f"Possible causes: {CAUSES[found.kind]}. What it takes to slide the sleeve is not to be had "
        f"from this "
        "log, and no margin is to be relied on, until it is explained.",
    ]


def misfit_phrase(found: Misfit) -> str:
    """The misfit in a few words, for the first sentence of a verdict."""
    if found.size is None or found.kind == "shape":
        return "its force scatters as nothing given explains"
    up, share = found.size > 0.0, f"{100 * abs(found.size):.0f} %"
    if found.kind == "zero":
        return f"its force is too {'high' if up else 'low'} all along by the same amount"
    if found.kind == "slope":
        return f"its force {'rises' if up else 'falls'} by {share} against the expected along the travel"
    if found.kind == "jump":
        return f"its force steps {'up' if up else 'down'} by {share} on the way"
    return f"one reading is {share} {'above' if up else 'below'} the rest"


def _what(found: Misfit, ram: float | None, units: Units, gauge_unit: str) -> str:
    told = misfit_phrase(found)
    if found.kind == "zero" and found.size is not None:
        told += f", {units.text(abs(found.size), 'N')}"
        if ram is not None:
            on_gauge = float(gauge_pressure(force=abs(found.size), ram_diameter=ram))
            told += f" or {converted(on_gauge, 'MPa', gauge_unit):.3g} {gauge_unit} on the gauge"
    if found.travel is not None:
        told += f", at {units.along(found.travel)} of travel"
    return f"{told[0].upper()}{told[1:]} ({abs(found.standardised):.1f} standard uncertainties)."
