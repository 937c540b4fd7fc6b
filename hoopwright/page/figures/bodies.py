"""Shell and sleeve cut open, to one scale along and across."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.page.figures import svg
from hoopwright.page.section import Section, Stretch


@dataclass(frozen=True)
class Sheet:
    """Where mm come to lie. scale: px/mm; left: x of z_start; axis: y of the axis."""

    scale: float
    left: float
    z_start: float
    z_end: float
    axis: float

    def x(self, z: float) -> float:
        return self.left + self.scale * (z - self.z_start)

    def y(self, diameter: float) -> float:
        return self.axis - 0.5 * self.scale * diameter

    def length(self, start: float, end: float) -> float:
        return self.scale * (end - start)

    @property
    def ends(self) -> tuple[float, float]:
        return self.x(self.z_start), self.x(self.z_end)


def sheet_of(section: Section, left: float, right: float, top: float, depth: float) -> Sheet:
    """The scale that fits the section between left and right and into the depth below the top, px."""
    z_start, z_end = section.ends
    length, radius = z_end - z_start, 0.5 * section.greatest_diameter
    scale = min((right - left) / length, depth / radius)
    at = 0.5 * (left + right - scale * length)
    return Sheet(scale, at, z_start, z_end, top + scale * radius)


def shapes(section: Section, sheet: Sheet, prefix: str) -> Markup:
    """Both bodies, hatched against each other; what is assumed is dashed."""
    shell, sleeve = f"{prefix}-hatch-shell", f"{prefix}-hatch-sleeve"
    outline = [*_surface(section.outside, sheet), *reversed(_surface(section.bore, sheet))]
    inner = [*_chamfered(section, sheet), *reversed(_surface(section.sleeve_bore, sheet))]
    known = all(s.origin != "assumed" for s in (*section.outside, *section.bore))
    turned = all(s.origin != "assumed" for s in (*section.sleeve_outside, *section.sleeve_bore))
    return svg.joined(
        (
            svg.tag(
                "defs",
                svg.hatching(shell, "hatch", angle=45.0, pitch=9.0),
                svg.hatching(sleeve, "hatch", angle=-45.0, pitch=6.0),
            ),
            _body(outline, shell, "shell", known and section.width_origin != "assumed"),
            _body(inner, sleeve, "sleeve", turned and section.length_origin != "assumed"),
            *_thread_lines(section, sheet),
        )
    )


def _body(points: Sequence[svg.Point], pattern: str, name: str, known: bool) -> Markup:
    edge = f"outline {name}-outline" + ("" if known else " assumed")
    return svg.joined(
        (
            svg.polygon(points, f"metal {name}-metal"),
            svg.polygon(points, "cut", fill=f"url(#{pattern})"),
            svg.polygon(points, edge),
        )
    )


def _surface(stretches: Sequence[Stretch], sheet: Sheet) -> list[svg.Point]:
    points = []
    for s in stretches:
        first, last = (s.thread.minor, s.thread.minor) if s.thread else (s.diameter, s.diameter_end)
        points += [(sheet.x(s.start), sheet.y(first)), (sheet.x(s.end), sheet.y(last))]
    return points


def _chamfered(section: Section, sheet: Sheet) -> list[svg.Point]:
    """The outside of the sleeve with its corners taken off, as deep as stated or else as far along as
    across."""
    points = _surface(section.sleeve_outside, sheet)
    bore = sheet.y(min(s.diameter for s in section.sleeve_bore))
    sizes = section.chamfer_left, section.chamfer_right
    for end, size, stated in zip((0, -1), sizes, section.chamfer_depths, strict=True):
        deepest = max(0.98 * (bore - points[end][1]), 0.0)
        most = 0.49 * (points[-1][0] - points[0][0])
        deep = min(sheet.scale * (size if stated is None else stated), deepest, most)
        if deep > 0.0:
            cut = deep if stated is None else min(sheet.scale * size, most)
            x, y = points[end]
            along = x + cut if end == 0 else x - cut
            corner = [(x, y + deep), (along, y)]
            points[end : end + 1 or None] = corner if end == 0 else corner[::-1]
    return points


def _thread_lines(section: Section, sheet: Sheet) -> list[Markup]:
    """The roots of a thread, a thin line outside its crests as on drawings."""
    return [
        svg.line((sheet.x(s.start), sheet.y(s.diameter)), (sheet.x(s.end), sheet.y(s.diameter)), "root")
        for s in section.sleeve_bore
        if s.thread is not None
    ]
