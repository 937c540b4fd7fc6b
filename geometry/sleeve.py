"""The inner body: a sleeve, or a bearing or cup pressed straight in."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.geometry.land import Land
from hoopwright.geometry.thread import Thread


@dataclass(frozen=True)
class BoreZone:
    """An axial stretch of the sleeve's bore.

    diameter: structural bore, mm. For a threaded zone this is the major diameter of the internal
    thread: the metal between root and minor diameter carries no hoop stress.
    """

    z_start: float
    z_end: float
    diameter: float
    thread: Thread | None = None

    @property
    def length(self) -> float:
        return self.z_end - self.z_start


@dataclass(frozen=True)
class Sleeve:
    """The sleeve as turned, before pressing; z in the coordinates of the shell it goes into.

    outside: lands that cover z_start to z_end in order, without gap or overlap.
    bore: zones that cover the same stretch.
    chamfer_left, chamfer_right: axial length of the lead-in chamfers, mm; they shorten the contact.
    """

    z_start: float
    z_end: float
    outside: tuple[Land, ...]
    bore: tuple[BoreZone, ...]
    chamfer_left: float = 0.0
    chamfer_right: float = 0.0

    @property
    def length(self) -> float:
        return self.z_end - self.z_start
