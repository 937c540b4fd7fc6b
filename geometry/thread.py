"""Screw threads with a 60° profile, cut in the sleeve's bore, by designation and dimensions."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import sqrt

INCH = 25.4


@dataclass(frozen=True)
class ThreadLimits:
    """Limits of size of the sleeve's internal and the cup's external thread, mm.

    internal_pitch_*, external_pitch_*: pitch diameters; internal_minor_*: minor diameter of the internal
    thread; external_major_*: major diameter of the external one. Raises ValueError for limits out of
    order.
    """

    internal_pitch_min: float
    internal_pitch_max: float
    internal_minor_min: float
    internal_minor_max: float
    external_pitch_min: float
    external_pitch_max: float
    external_major_min: float
    external_major_max: float
    source: str = "user"

    def __post_init__(self) -> None:
        for name in ("internal_pitch", "internal_minor", "external_pitch", "external_major"):
            lower, upper = getattr(self, f"{name}_min"), getattr(self, f"{name}_max")
            if not 0.0 < lower <= upper:
                raise ValueError(
                    f"{name}: the lower limit, {lower:g} mm, must be above 0 and not above "
                    f"the upper limit, {upper:g} mm"
                )
        if not self.internal_minor_max < self.external_major_min:
            raise ValueError("the cup's major diameter must be larger than the sleeve's minor diameter")

    def min_clearance(self, internal_pitch: float) -> float:
        """Diametral flank clearance of the largest cup in a thread of this pitch diameter; both mm."""
        return internal_pitch - self.external_pitch_max


@dataclass(frozen=True)
class Thread:
    """A 60° internal thread.

    designation: as stamped or written on a drawing.
    major: major diameter, mm (the root of the internal thread and the structural bore).
    pitch: mm.
    minor: minor diameter of the internal thread, mm.
    left_hand: True for a left-hand thread.
    source: where the sizes come from.
    limits: its own limits of size and those of its cup, or None for tolerance quality medium.
    cut_pitch_diameter: pitch diameter measured before pressing, mm, or None.
    """

    designation: str
    major: float
    pitch: float
    minor: float
    left_hand: bool = False
    source: str = "user"
    limits: ThreadLimits | None = None
    cut_pitch_diameter: float | None = None


def basic_minor(*, major: float, pitch: float) -> float:
    """Minor diameter of the basic 60° profile, mm: D - 2 (5/8) H with H = (√3/2) P.

    Source: ISO 68-1, from memory, not seen.
    """
    return major - 1.25 * (sqrt(3.0) / 2.0) * pitch


@dataclass(frozen=True)
class _Size:
    """A published thread size: major diameter, threads per inch or pitch, their units, and hands."""

    major: float
    major_unit: str
    step: float
    step_unit: str
    hands: tuple[str, ...]
    published: str

    def thread(self, hand: str) -> Thread:
        major = round(self.major * (INCH if self.major_unit == "in" else 1.0), 9)
        pitch = INCH / self.step if self.step_unit == "tpi" else self.step
        size = f"{self.major:.3f}" if self.major_unit == "in" else f"{self.major:g}"
        return Thread(
            designation=f"{size} {self.major_unit} x {self.step:g} {self.step_unit} {hand}",
            major=major,
            pitch=pitch,
            minor=basic_minor(major=major, pitch=pitch),
            left_hand=hand == "left",
            source=f"{self.published}; major nominal, minor of the basic 60° profile",
        )


_BOTH = ("right", "left")
_MINOR_137 = "minor published as 33.6 to 33.9 mm"
_SIZES = (
    _Size(1.370, "in", 24, "tpi", _BOTH, f"1.370 in x 24 tpi as tapped in the trade, {_MINOR_137}"),
    _Size(1.375, "in", 24, "tpi", _BOTH, f"ISO 6696, 1.375 in x 24 tpi, {_MINOR_137}"),
    _Size(36, "mm", 24, "tpi", ("right",), "36 mm x 24 tpi, minor published as 34.6 to 34.9 mm"),
    _Size(35, "mm", 1, "mm", ("right",), "35 x 1 mm, no minor published"),
)

STANDARD_THREADS: dict[str, Thread] = {
    thread.designation: thread for thread in (size.thread(hand) for size in _SIZES for hand in size.hands)
}

_DESIGNATION = re.compile(
    r"\s*(?P<major>[0-9]{1,3}(?:\.[0-9]{1,6}|[ -][0-9]{1,2}/[0-9]{1,2})?)\s*(?P<major_unit>in|mm)?"
    r"\s*[x×]\s*(?P<step>[0-9]{1,3}(?:\.[0-9]{1,6})?)\s*(?P<step_unit>tpi|mm)?"
    r"\s*(?P<hand>right|left|rh|lh)?\s*",
    re.IGNORECASE,
)


def thread_by_designation(text: str) -> Thread:
    """The standard thread for a designation such as "1.37 in x 24 right".

    Spaces, trailing zeros, fractions, capitals and units may vary; the hand is required, because the drive
    side of one common thread is left-hand and that of another is not.
    Raises ValueError, listing the known designations.
    """
    match = _DESIGNATION.fullmatch(text) if len(text) <= 60 else None
    sizes = [size for size in _SIZES if match and _is_size(match, size)]
    if match and sizes and match["hand"] is None:
        both = " or ".join(f'"{text.strip()} {hand}"' for hand in sizes[0].hands)
        raise ValueError(f"the thread's hand is missing; write {both}")
    for size in sizes:
        hand = "left" if match and match["hand"].lower().startswith("l") else "right"
        if hand in size.hands:
            return size.thread(hand)
    known = ", ".join(f'"{name}"' for name in STANDARD_THREADS)
    raise ValueError(f"not a known thread designation; known are {known}")


def _number(text: str) -> float:
    """A decimal, or a whole number with a fraction as in 1-3/8."""
    whole, *fraction = re.split("[ -]", text)
    above, _, below = fraction[0].partition("/") if fraction else ("0", "", "1")
    return float(whole) + (int(above) / int(below) if int(below) else float("nan"))


def _is_size(match: re.Match[str], size: _Size) -> bool:
    return (
        _number(match["major"]) == size.major
        and float(match["step"]) == size.step
        and (match["major_unit"] or size.major_unit).lower() == size.major_unit
        and (match["step_unit"] or size.step_unit).lower() == size.step_unit
    )
