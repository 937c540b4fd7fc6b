"""What a drawing of the parts says besides their sizes; None or "" is shown as not stated."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Projection = Literal["first angle", "third angle"]


@dataclass(frozen=True)
class SleeveFeatures:
    """Of the sleeve, mm where a number.

    length_plus_minus, bore_plus_minus: on the length, and on the diameter of its plain bores. squareness:
    of the end faces to the outside. roundness: of the outside. bore_runout, thread_runout: total indicator
    reading to the outside. incomplete_thread: length at its end that is not cut to full depth. texture: of
    all surfaces but the outside, as written on the drawing.
    """

    length_plus_minus: float | None = None
    bore_plus_minus: float | None = None
    squareness: float | None = None
    roundness: float | None = None
    bore_runout: float | None = None
    thread_runout: float | None = None
    incomplete_thread: float | None = None
    thread_class: str = ""
    texture: str = ""
    blank: str = ""
    condition: str = ""


@dataclass(frozen=True)
class BoreFeatures:
    """Of the shell's bore, mm. squareness: of the shell's faces to the bore."""

    squareness: float | None = None
    roundness: float | None = None


@dataclass(frozen=True)
class DrawingInput:
    """Title block and features. title: "" for that of the case."""

    title: str = ""
    number: str = ""
    revision: str = ""
    drawn_by: str = ""
    projection: Projection | None = None
    general_tolerance: str = ""
    edges: str = ""
    sleeve: SleeveFeatures = field(default_factory=SleeveFeatures)
    bore: BoreFeatures = field(default_factory=BoreFeatures)
