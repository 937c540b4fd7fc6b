"""Conversion factors of the units that nearly every case file uses.

Building pint's registry takes longer than the finite-element solution of a small case, so a file that
keeps to these units never needs it. All other units go through the registry, which the tests also use
to check these factors.
"""

from __future__ import annotations

from math import pi

from hoopwright.closed_form.fatigue_life import MPA_PER_KSI

INCH = 25.4  # mm, international yard and pound agreement, 1959
POUND = 0.45359237  # kg
POUND_FORCE = POUND * 9.80665  # N, the same and CGPM 1901
FAHRENHEIT = 5.0 / 9.0

_LENGTHS = {
    "mm": (1.0, 0.0),
    "um": (1e-3, 0.0),
    "µm": (1e-3, 0.0),
    "cm": (10.0, 0.0),
    "m": (1e3, 0.0),
    "in": (INCH, 0.0),
    "inch": (INCH, 0.0),
    "thou": (1e-3 * INCH, 0.0),
    "tenth": (1e-4 * INCH, 0.0),
    "tenths": (1e-4 * INCH, 0.0),
}

COMMON_UNITS: dict[str, dict[str, tuple[float, float]]] = {
    "length": _LENGTHS,
    "pitch": _LENGTHS,
    "angle": {"deg": (pi / 180.0, 0.0), "rad": (1.0, 0.0)},
    "force": {
        "N": (1.0, 0.0),
        "kN": (1e3, 0.0),
        "MN": (1e6, 0.0),
        "lbf": (POUND_FORCE, 0.0),
        "kgf": (9.80665, 0.0),
        "force_ton": (2000.0 * POUND_FORCE, 0.0),
        "force_long_ton": (2240.0 * POUND_FORCE, 0.0),
        "force_metric_ton": (9806.65, 0.0),
    },
    "torque": {
        "N*mm": (1.0, 0.0),
        "N*m": (1e3, 0.0),
        "kN*m": (1e6, 0.0),
        "ft*lbf": (12.0 * INCH * POUND_FORCE, 0.0),
        "in*lbf": (INCH * POUND_FORCE, 0.0),
    },
    "stress": {
        "MPa": (1.0, 0.0),
        "GPa": (1e3, 0.0),
        "bar": (0.1, 0.0),
        "psi": (1e-3 * MPA_PER_KSI, 0.0),
        "ksi": (MPA_PER_KSI, 0.0),
        "N/mm^2": (1.0, 0.0),
    },
    "temperature": {"degC": (1.0, -20.0), "degF": (FAHRENHEIT, -32.0 * FAHRENHEIT - 20.0)},
    "temperature_difference": {"K": (1.0, 0.0), "delta_degC": (1.0, 0.0), "delta_degF": (FAHRENHEIT, 0.0)},
    "expansion": {"1/K": (1.0, 0.0)},
    "time": {"s": (1.0, 0.0), "min": (60.0, 0.0), "h": (3600.0, 0.0)},
    "density": {"kg/m^3": (1.0, 0.0), "g/cm^3": (1e3, 0.0), "lb/in^3": (POUND / (1e-3 * INCH) ** 3, 0.0)},
}
"""By kind and unit: factor and summand that convert to the internal unit."""


def to_internal(number: float, unit: str, kind: str) -> float | None:
    """The number in the internal unit, or None for a unit that is not listed here."""
    known = COMMON_UNITS[kind].get(unit)
    return None if known is None else number * known[0] + known[1]


def convert_common(value: float, unit: str, into: str) -> float | None:
    """The value converted into another unit, or None unless both are listed here under one kind."""
    for known in COMMON_UNITS.values():
        if unit in known and into in known:
            (factor, offset), (other_factor, other_offset) = known[unit], known[into]
            return (value * factor + offset - other_offset) / other_factor
    return None
