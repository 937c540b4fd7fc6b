"""Inputs on cutting to size: the gauge, the damage, and other ways to repair."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.geometry import Thread
from hoopwright.geometry.readings import Gauge
from hoopwright.materials import Material


@dataclass(frozen=True)
class SizeInput:
    """How the part still to be cut will be measured.

    gauge: None where not given; the part's stated ± is then used. readings: number averaged.
    shop_rise_K: part temperature at the machine, K above 20 °C, known to ± shop_plus_minus_K.
    confidence: probability that the finished fit lies in the window. turning_scatter_mm: standard deviation
    of what is cut about what was aimed at; turning_scatter_given: the case gives it.
    """

    gauge: Gauge | None = None
    readings: int = 1
    shop_rise_K: float = 0.0  # noqa: N815 - fields end in their unit
    shop_plus_minus_K: float = 0.0  # noqa: N815
    confidence: float = 0.95
    turning_scatter_mm: float = 0.004
    turning_scatter_given: bool = False


@dataclass(frozen=True)
class Boring:
    """Boring from the damage to clean metal, mm.

    bore_now: diameter before cutting. damage_diameter: greatest diameter the damage reaches. runout: of
    the set-up, total indicator reading. depth_of_cut: per side and pass; finish_cut: last pass, per side.
    """

    bore_now: float
    damage_diameter: float
    runout: float
    depth_of_cut: float
    finish_cut: float


@dataclass(frozen=True)
class RouteInput:
    """One way to repair. kind: "tap through", "larger thread", "larger seat" or "sleeve".

    bore: diameter after cutting, mm; None keeps the case's. thread: for the first two kinds.
    engagement: engaged length of the thread, mm. part_material, part_bore, interference (mm): of the
    part pressed into a seat, or of a sleeve other than the case's; None keeps the case's. seat: name of
    a published press-in seat, or "". needs, cost: as the user states them.
    """

    name: str
    kind: str
    bore: float | None = None
    seat: str = ""
    thread: Thread | None = None
    engagement: float | None = None
    part_material: Material | None = None
    part_bore: float | None = None
    interference: float | None = None
    needs: str = ""
    cost: str = ""
