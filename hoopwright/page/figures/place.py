"""Where in the half section a row governs: the balloon of the row at its z, and its angle on a clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

from markupsafe import Markup

from hoopwright.case.model import Case
from hoopwright.geometry.joint import Joint, Segment, joint

WIDTH, SIDE, TOP = 318.0, 14.0, 24.0
"""Of the figure and of its edges, px."""
MAX_DEPTH = 120.0
"""Greatest height of the section, px; short thick rings are drawn narrower for it."""
CLOCK = 26.0
HATCH = 7.0
WORDS = 54.0
"""Height below the section for the balloon and what stands beside it, px."""
NAMES = {"shell": "the shell", "sleeve": "the sleeve", "interface": "the seat", "cup": "the cup's thread"}


@dataclass(frozen=True)
class Sheet:
    """Where mm come to lie on the figure: one scale along and across."""

    scale: float
    left: float
    z_start: float
    r_outside: float

    def x(self, z: float) -> float:
        return self.left + self.scale * (z - self.z_start)

    def y(self, r: float) -> float:
        return TOP + self.scale * (self.r_outside - r)


def place_figure(case: Case, where: dict[str, Any], number: int, place: str) -> Markup:
    """The half section with the balloon of a row where it governs.

    where: of a cell of a check document. place: the same in words.
    """
    sleeve, z = case.sleeve, where.get("z_mm")
    if z is not None and not sleeve.z_start <= z <= sleeve.z_end:  # on what is faced off after pressing
        sleeve = sleeve.unfaced
    parts = joint(case.shell, sleeve)
    sheet, depth = _sheet(parts)
    prefix = f"place-{number}"
    below = TOP + depth
    clock = "theta_deg" in where
    height = below + (WORDS if not clock else WORDS + 2.0 * CLOCK + 16.0)
    words = f"{NAMES.get(where['body'], where['body'])}{', ' + place if place else ', as a whole'}"
    shapes = [
        _bodies(parts, sheet, prefix),
        _balloon(parts, where, number, sheet, below),
        _words(words, below),
        _clock(where["theta_deg"], height) if clock else Markup(),
    ]
    return Markup(
        '<svg class="place" role="img" width="{w:g}" height="{h:g}" viewBox="0 0 {w:g} {h:g}" '
        'aria-labelledby="{p}-title {p}-desc"><title id="{p}-title">Where row {n} governs</title>'
        '<desc id="{p}-desc">Half section of shell and sleeve to one scale, left face at the left. '
        "Row {n} governs at {words}.</desc>{shapes}</svg>"
    ).format(w=WIDTH, h=round(height, 1), p=prefix, n=number, words=words, shapes=Markup("").join(shapes))


def _sheet(parts: Joint) -> tuple[Sheet, float]:
    """The scale that fits the figure, and the height of the section on it."""
    segments = (*parts.shell, *parts.sleeve)
    z_start, z_end = min(s.z_start for s in segments), max(s.z_end for s in segments)
    outside = max(max(s.outer_start, s.outer_end) for s in segments)
    inside = min(min(s.inner_start, s.inner_end) for s in segments)
    scale = min((WIDTH - 2.0 * SIDE) / (z_end - z_start), MAX_DEPTH / (outside - inside))
    left = 0.5 * (WIDTH - scale * (z_end - z_start))
    return Sheet(scale, left, z_start, outside), scale * (outside - inside)


def _bodies(parts: Joint, sheet: Sheet, prefix: str) -> Markup:
    return Markup("").join(
        Markup(
            '<defs><pattern id="{p}-{b}-hatch" patternUnits="userSpaceOnUse" width="{s:g}" height="{s:g}" '
            'patternTransform="rotate({a})"><path class="hatch" d="M0 0V{s:g}"/></pattern></defs>'
            '<polygon class="{b}" points="{points}"/>'
            '<polygon class="outline" points="{points}" fill="url(#{p}-{b}-hatch)"/>'
        ).format(p=prefix, b=body, s=HATCH, a=angle, points=_outline(segments, sheet))
        for body, segments, angle in (("shell", parts.shell, 45), ("sleeve", parts.sleeve, -45))
    )


def _outline(segments: Sequence[Segment], sheet: Sheet) -> str:
    outer = [p for s in segments for p in ((s.z_start, s.outer_start), (s.z_end, s.outer_end))]
    inner = [p for s in segments for p in ((s.z_start, s.inner_start), (s.z_end, s.inner_end))]
    return " ".join(f"{sheet.x(z):.1f},{sheet.y(r):.1f}" for z, r in (*outer, *reversed(inner)))


def _balloon(parts: Joint, where: dict[str, Any], number: int, sheet: Sheet, below: float) -> Markup:
    """A dot where the row governs with a leader to its balloon; without a place, from the body's middle."""
    z, r = where["z_mm"], where["r_mm"]
    segments = parts.shell if where["body"] == "shell" else parts.sleeve
    z = 0.5 * (segments[0].z_start + segments[-1].z_end) if z is None else z
    inside = next((s for s in segments if s.z_start <= z <= s.z_end), segments[0])
    if r is None:
        middle = 0.5 * (inside.inner_start + inside.outer_start)
        r = inside.outer_start if where["body"] == "interface" else middle
    at_x, at_y = sheet.x(z), sheet.y(r)
    x, y = SIDE + 12.0, below + 34.0
    return Markup(
        '<path class="leader" d="M{ax:.1f} {ay:.1f}L{x:.1f} {y1:.1f}"/><circle class="dot" cx="{ax:.1f}" '
        'cy="{ay:.1f}" r="3.5"/><circle class="balloon" cx="{x:.1f}" cy="{y:.1f}" r="12"/>'
        '<text class="balloon-number" x="{x:.1f}" y="{base:.1f}" text-anchor="middle">{n}</text>'
        '<text class="name" x="{mid:.1f}" y="14" text-anchor="middle">shell above, sleeve below</text>'
    ).format(ax=at_x, ay=at_y, x=x, y=y, y1=y - 12.0, base=y + 4.5, n=number, mid=0.5 * WIDTH)


def _words(words: str, below: float) -> Markup:
    return Markup('<text class="said" x="{x:.1f}" y="{y:.1f}">{words}</text>').format(
        x=SIDE + 32.0, y=below + 38.5, words=words
    )


def _clock(theta: float, height: float) -> Markup:
    """The angle seen from the drive side: 0° forward, at the right, 90° up."""
    x, y = SIDE + 32.0 + CLOCK, height - CLOCK - 6.0
    at_x, at_y = x + CLOCK * cos(radians(theta)), y - CLOCK * sin(radians(theta))
    return Markup(
        '<circle class="clock" cx="{x:.1f}" cy="{y:.1f}" r="{r:g}"/>'
        '<path class="axis" d="M{x:.1f} {top:.1f}V{foot:.1f}M{left:.1f} {y:.1f}H{right:.1f}"/>'
        '<path class="leader" d="M{x:.1f} {y:.1f}L{ax:.1f} {ay:.1f}"/>'
        '<circle class="dot" cx="{ax:.1f}" cy="{ay:.1f}" r="3.5"/>'
        '<text class="name" x="{said:.1f}" y="{base:.1f}">from the drive side,</text>'
        '<text class="name" x="{said:.1f}" y="{next:.1f}">forward at the right</text>'
    ).format(
        x=x,
        y=y,
        r=CLOCK,
        top=y - CLOCK - 4.0,
        foot=y + CLOCK + 4.0,
        left=x - CLOCK - 4.0,
        right=x + CLOCK + 4.0,
        ax=at_x,
        ay=at_y,
        said=x + CLOCK + 16.0,
        base=y - 2.0,
        next=y + 14.0,
    )
