"""Limits of size of a 60° thread and of the cup that screws into it.

A thread on a drawing is a tolerance zone, not a number: stripping is judged at the least metal the limits
allow, whether the parts screw together at the most.
"""

from __future__ import annotations

from math import sqrt

from hoopwright.geometry.thread import Thread, ThreadLimits, basic_minor

FORMULA_SOURCE = (
    "limits 6H/6g by the formulae of ISO 965-1 (from memory; within one preferred step of the "
    "printed tables); ISO 6696 takes its grades and positions from ISO 965-1 (scope seen, its table not)"
)
_MM = 1e-3  # the formulae of ISO 965-1 give µm

# Bounds of the diameter ranges of ISO 965-1, mm; tolerances use the geometric mean of a range.
_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)
# Tolerances are rounded to the R40 series of preferred numbers.
_R40 = (
    100,
    106,
    112,
    118,
    125,
    132,
    140,
    150,
    160,
    170,
    180,
    190,
    200,
    212,
    224,
    236,
    250,
    265,
    280,
    300,
    315,
    335,
    355,
    375,
    400,
    425,
    450,
    475,
    500,
    530,
    560,
    600,
    630,
    670,
    710,
    750,
    800,
    850,
    900,
    950,
    1000,
)


def medium_limits(thread: Thread) -> ThreadLimits:
    """Limits of size for tolerance quality medium: 6H in the sleeve, 6g on the cup.

        T_D1 = 230 P^0.7 (P >= 1), 433 P - 190 P^1.22 below;  T_d2 = 90 P^0.4 d^0.1;  T_D2 = 1.32 T_d2
        T_d = 180 P^(2/3) - 3.15/√P;  es = -(15 + 11 P);  EI = 0      (µm, with P and d in mm)

    d is the geometric mean of its diameter range in ISO 965-1. Raises ValueError for a diameter outside
    0.99 to 355 mm. Source: ISO 965-1, from memory.
    """
    pitch, major = thread.pitch, thread.major
    pitch_tolerance = 90.0 * pitch**0.4 * _mean_of_step(major) ** 0.1
    minor_tolerance = 230.0 * pitch**0.7 if pitch >= 1.0 else 433.0 * pitch - 190.0 * pitch**1.22
    deviation = -_MM * round(15.0 + 11.0 * pitch)
    pitch_basic = major - 0.375 * sqrt(3.0) * pitch
    minor_basic = basic_minor(major=major, pitch=pitch)
    return ThreadLimits(
        internal_pitch_min=pitch_basic,
        internal_pitch_max=pitch_basic + _MM * preferred(1.32 * pitch_tolerance),
        internal_minor_min=minor_basic,
        internal_minor_max=minor_basic + _MM * preferred(minor_tolerance),
        external_pitch_min=pitch_basic + deviation - _MM * preferred(pitch_tolerance),
        external_pitch_max=pitch_basic + deviation,
        external_major_min=major
        + deviation
        - _MM * preferred(180.0 * pitch ** (2.0 / 3.0) - 3.15 / sqrt(pitch)),
        external_major_max=major + deviation,
        source=FORMULA_SOURCE,
    )


def limits_of(thread: Thread) -> ThreadLimits:
    """The thread's own limits if it has them, else those of tolerance quality medium."""
    return thread.limits or medium_limits(thread)


def preferred(micrometres: float) -> float:
    """The nearest preferred number of the R40 series, the larger on a tie, for 10 to 1000 µm.

    The tables of ISO 965-1 depart from the nearest by one step in places, for a smooth progression.
    """
    decade = 0.1 if micrometres < 100.0 else 1.0
    return decade * min(_R40, key=lambda step: (abs(step * decade - micrometres), -step))


def _mean_of_step(diameter: float) -> float:
    for low, high in zip(_STEPS, _STEPS[1:], strict=False):
        if low < diameter <= high:
            return sqrt(low * high)
    raise ValueError(f"no thread tolerance for a diameter of {diameter:g} mm")
