"""A station as it was read: the land in section, every reading a diameter at its clock angle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Literal

from markupsafe import Markup

from hoopwright.page.figures import svg

NARROW, WIDE = 366.0, 560.0
State = Literal["read", "open", "now", "suspect"]
SIDES = {True: ("forward", "up", "rear", "down"), False: ("0°", "90°", "180°", "270°")}
"""Words at 0, 90, 180 and 270 degrees: of a piece with a drive side, and of any other."""
HEAD = (10.0, 2.2)
"""Length and half of the breadth of an arrowhead, px."""
BOX = (14.0, 24.0)
"""Padding and height of the box round a suspect's value, px."""
DIGIT = 8.4
"""Mean width of a character of a value, px."""
OUTSIDE = 18.0
"""Length of a contact on a surface that is read from outside, px."""
PAST = 14.0
"""By how much a suspect runs past the surface it was read on, px."""


@dataclass(frozen=True)
class Mark:
    """A reading on the face. angle: degrees. text: its value, "" where it was not read. contacts: points
    of the gauge on the surface."""

    angle: float
    text: str
    state: State
    contacts: int = 2


@dataclass(frozen=True)
class ClockFace:
    """A station. bore: it is read from within. where: its place along the axis, in words of one line each.
    sides: the piece has a drive side. widest: clock angle of the greatest diameter, None where unknown."""

    prefix: str
    where: tuple[str, str]
    marks: tuple[Mark, ...]
    bore: bool
    sides: bool
    description: str
    widest: float | None = None


@dataclass(frozen=True)
class _Sheet:
    """Where things lie on one drawing, px. surface: radius at which it is read; rim: of the other side of
    the metal; middle: of the disc in which no line is drawn; clear: what a gauge takes up outside."""

    prefix: str
    centre: svg.Point
    surface: float
    rim: float
    middle: float = 37.0
    clear: float = 0.0

    def at(self, angle: float, radius: float) -> svg.Point:
        turn = radians(angle)
        return self.centre[0] + radius * cos(turn), self.centre[1] - radius * sin(turn)

    @property
    def outer(self) -> float:
        return max(self.surface, self.rim)


def clock_face(face: ClockFace) -> Markup:
    """The figure at both widths, of which a style sheet shows one."""
    return svg.joined((_figure(face, wide=True), _figure(face, wide=False)))


def _figure(face: ClockFace, *, wide: bool) -> Markup:
    width = WIDE if wide else NARROW
    outer = 150.0 if wide else 98.0
    inner = outer - (26.0 if wide else 20.0)
    prefix = f"{face.prefix}-{'wide' if wide else 'narrow'}"
    height = 2.0 * outer + (124.0 if face.bore else 160.0)
    surface, rim = (inner, outer) if face.bore else (outer, inner)
    clear = 0.0 if face.bore else OUTSIDE
    sheet = _Sheet(prefix, (0.5 * width, 0.5 * height), surface, rim, clear=clear)
    ink = [
        svg.tag(
            "defs", svg.hatching(f"{prefix}-hatch", "hatch", angle=45.0 if face.bore else -45.0, pitch=8.0)
        ),
        *_ring(face, sheet),
        *_sides(face, sheet),
        *_widest(face, sheet),
        *(_mark(one, face, sheet) for one in sorted(face.marks, key=lambda m: m.state == "suspect")),
        *_middle(face, sheet),
    ]
    return svg.picture(
        prefix,
        (width, height),
        f"Readings {' '.join(face.where)}",
        face.description,
        *ink,
        class_=f"clock-face {'figure-middle' if wide else 'figure-narrow'}",
    )


def _ring(face: ClockFace, sheet: _Sheet) -> list[Markup]:
    inner, outer = sorted((sheet.surface, sheet.rim))
    metal = "shell-metal" if face.bore else "sleeve-metal"
    return [
        svg.circle(sheet.centre, outer, f"metal {metal}"),
        svg.circle(sheet.centre, outer, "cut", fill=f"url(#{sheet.prefix}-hatch)"),
        svg.circle(sheet.centre, inner, "air"),
        svg.circle(sheet.centre, outer, "outline"),
        svg.circle(sheet.centre, inner, "outline"),
        *(svg.line(sheet.at(a, outer), sheet.at(a, outer + 6.0), "tick") for a in range(0, 360, 30)),
    ]


def _sides(face: ClockFace, sheet: _Sheet) -> list[Markup]:
    """The words at the four quarters, further out than any value."""
    x, y = sheet.centre
    reach = sheet.outer + sheet.clear + 12.0
    right, up, left, down = SIDES[face.sides]
    taken = {round(one.angle) % 180 for one in face.marks if one.text or one.state == "now"}
    doubtful = {round(one.angle) % 180 for one in face.marks if one.state == "suspect"}
    lift = 16.0 if 0 in taken else 4.0
    rise = 34.0 if 90 in doubtful else 20.0 if 90 in taken else 0.0
    return [
        svg.words((x + reach, y + lift), right, "side"),
        svg.words((x, y - reach - rise), up, "side", "middle"),
        svg.words((x - reach, y + 4.0), left, "side", "end"),
        svg.words((x, y + reach + 10.0), down, "side", "middle"),
    ]


def _widest(face: ClockFace, sheet: _Sheet) -> list[Markup]:
    """Two wedges in the metal where the diameter is greatest."""
    if face.widest is None:
        return []
    wedges = []
    for angle in (face.widest, face.widest + 180.0):
        feet = sheet.at(angle - 5.0, sheet.rim), sheet.at(angle + 5.0, sheet.rim)
        corners = (feet[0], sheet.at(angle, sheet.surface), feet[1])
        wedges.append(svg.polygon(corners, "widest"))
    return wedges


def _mark(mark: Mark, face: ClockFace, sheet: _Sheet) -> Markup:
    parts: list[Markup] = []
    turn = 360.0 / mark.contacts
    past = PAST if mark.state == "suspect" else 0.0
    upper = mark.angle % 180.0 if mark.contacts == 2 else mark.angle
    for k in range(mark.contacts):
        angle = upper + k * turn
        if face.bore:
            tip, back = sheet.at(angle, sheet.surface + past), sheet.at(angle, sheet.middle)
        else:
            tip, back = sheet.at(angle, sheet.surface - past), sheet.at(angle, sheet.surface + OUTSIDE)
        parts.append(svg.line(back, tip, "reach"))
        if mark.state in ("read", "now"):
            parts.append(_head(tip, back))
    parts += _value(mark, upper, sheet)
    return svg.tag("g", *parts, class_=f"mark-{mark.state}")


def _head(tip: svg.Point, back: svg.Point) -> Markup:
    """A filled head at a tip, in any direction."""
    length, half = HEAD
    dx, dy = tip[0] - back[0], tip[1] - back[1]
    span = (dx * dx + dy * dy) ** 0.5
    ux, uy = dx / span, dy / span
    x, y = tip[0] - length * ux, tip[1] - length * uy
    return svg.polygon((tip, (x - half * uy, y + half * ux), (x + half * uy, y - half * ux)), "head")


def _value(mark: Mark, angle: float, sheet: _Sheet) -> list[Markup]:
    """The value at the upper end, that of a suspect in a box."""
    text = {"suspect": f"? {mark.text}", "now": mark.text or "now"}.get(mark.state, mark.text)
    if not text:
        return []
    outward = cos(radians(angle))
    anchor = "start" if outward > 0.2 else "end" if outward < -0.2 else "middle"
    x, y = sheet.at(angle, sheet.outer + sheet.clear + (20.0 if mark.state == "suspect" else 12.0))
    y += {"middle": 0.0}.get(anchor, 4.0)
    if round(angle) % 180 == 0:
        y -= 4.0
    parts = []
    if mark.state == "suspect":
        padding, height = BOX
        width = DIGIT * len(text) + padding
        left = {"start": x - 7.0, "middle": x - 0.5 * width, "end": x + 7.0 - width}[anchor]
        parts.append(svg.tag("rect", x=left, y=y - 17.0, width=width, height=height, class_="doubt-box"))
    parts.append(svg.words((x, y), text, "value", anchor))
    return parts


def _middle(face: ClockFace, sheet: _Sheet) -> list[Markup]:
    x, y = sheet.centre
    over, under = face.where
    return [
        svg.circle(sheet.centre, sheet.middle, "hub"),
        svg.words((x, y - 2.0), over, "where", "middle"),
        svg.words((x, y + 16.0), under, "side", "middle"),
    ]


def said(marks: Sequence[Mark]) -> str:
    """The readings of a face in words."""
    words = {
        "read": "{m.text}",
        "suspect": "{m.text}, which stands out",
        "now": "{m.text} next",
        "open": "open",
    }
    return "; ".join(
        f"{m.angle:g}°: {words[m.state].format(m=m)}".replace(":  next", ": next") for m in marks
    )
