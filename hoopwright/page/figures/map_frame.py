"""What the maps of the joint in use have in common: widths, the axis along z, the cross of the reader."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures.contours import STEPS
from hoopwright.page.figures.svg import circle, line, tag, words

INCH_MM = 25.4


@dataclass(frozen=True)
class Layout:
    """One of the widths that a map is drawn at, px. left, right: of the map; tall: greatest height of a
    section; roomy: there is room for texts beside it."""

    prefix: str
    class_: str
    width: float
    left: float
    right: float
    tall: float
    roomy: bool


LAYOUTS = (
    Layout("n", "narrow-figure", 366.0, 54.0, 344.0, 150.0, roomy=False),
    Layout("m", "middle-figure", 732.0, 96.0, 708.0, 170.0, roomy=True),
    Layout("w", "wide-figure", 1000.0, 96.0, 960.0, 190.0, roomy=True),
)


@dataclass(frozen=True)
class Along:
    """z on a map: from start to end, mm, between left and right, px."""

    start: float
    end: float
    left: float
    right: float

    @property
    def per_mm(self) -> float:
        return (self.right - self.left) / (self.end - self.start)

    def x(self, z: float) -> float:
        return self.left + (z - self.start) * self.per_mm


def ticks(low: float, high: float, room: float) -> list[float]:
    """Round numbers between two, at most as many as there is room for."""
    raw = (high - low) / max(room, 1.0)
    power = 10.0 ** floor(log10(max(raw, 1e-12)))
    step = next(s * power for s in STEPS if s != 2.5 and s * power >= raw * (1.0 - 1e-9))
    return [k * step for k in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)]


def axis(along: Along, y: float, units: Units, said: str) -> Markup:
    """The axis below a map, with z in the unit of the page. said: what stands at its end."""
    per = INCH_MM if units.system == "inch" else 1.0
    shapes = [line((along.left, y), (along.right, y), "edge")]
    room = (along.right - along.left) / 56.0
    for value in ticks(along.start / per, along.end / per, room):
        x = along.x(value * per)
        shapes += [
            line((x, y), (x, y + 6.0), "tick"),
            words((x, y + 20.0), f"{value:g}", "label", "middle"),
        ]
    shapes.append(words((along.left, y + 38.0), said, "note"))
    return Markup("").join(shapes)


def cross(prefix: str, top: float, bottom: float, left: float, right: float) -> Markup:
    """The reader's cross, which a script moves and shows."""
    return tag(
        "g",
        *(
            tag("line", x1=0, y1=top, x2=0, y2=bottom, class_=class_, data_part="z")
            for class_ in ("cross-halo", "cross-line")
        ),
        *(
            tag("line", x1=left, y1=0, x2=right, y2=0, class_=class_, data_part="across")
            for class_ in ("cross-halo", "cross-line")
        ),
        circle((0.0, 0.0), 7.0, "cross-ring", data_part="ring"),
        id=f"{prefix}-cross",
        class_="cross",
        visibility="hidden",
    )
