"""What a case says about cutting to size: the gauge at hand, the damage, and other ways to repair."""

from __future__ import annotations

from dataclasses import dataclass

from geometry import Thread
from geometry.readings import Gauge
from hoopwright.materials import Material


@dataclass(frozen=True)
class SizeInput:
    """How the part still to be cut will be read.

    gauge: None where not given: then the part's own stated ± stands for it. readings: how many are
    averaged. shop_rise_K: part temperature at the machine, K above 20 °C, known to
    ± shop_plus_minus_K. confidence: that the finished fit lies in the window.
    """

    gauge: Gauge | None = None
    readings: int = 1
    shop_rise_K: float = 0.0  # noqa: N815 - fields end in their unit
    shop_plus_minus_K: float = 0.0  # noqa: N815
    confidence: float = 0.95


@dataclass(frozen=True)
class Boring:
    """From damage to clean metal, diameters in mm.

    bore_now: before cutting. damage_diameter: greatest diameter the damage reaches. runout: of the
    set-up, total indicator reading. depth_of_cut: per side and pass; finish_cut: per side, the last.
    """

    bore_now: float
    damage_diameter: float
    runout: float
    depth_of_cut: float
    finish_cut: float


@dataclass(frozen=True)
class RouteInput:
    """One way to repair. kind: "tap through", "larger thread", "larger seat" or "sleeve".

    bore: diameter after cutting, mm; None keeps the case's own. thread: of the first two kinds.
    engagement: its engaged length, mm. part_material, part_bore, interference (mm): what is pressed
    into a seat, or the sleeve where it is not the case's own; None keeps the case's. seat: name of a
    published press-in seat, or "". needs, cost: as the user states them.
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
