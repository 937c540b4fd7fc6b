"""The shell seen along its axis, to scale: the bore as it is, the damage, the metal that goes, and what is
left on the thin side."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures import svg
from hoopwright.page.figures.half_section import limit_text
from hoopwright.page.section import size_text, wall_text

NARROW, WIDE = 366.0, 720.0


@dataclass(frozen=True)
class EndView:
    """Diameters, mm; None for what is not known. bore_now: before cutting; damage: greatest diameter it
    reaches; bore: once cut; off_centre: half the runout of bore to outside; limit: greatest bore that the
    user's least wall allows; wall: left on the thin side."""

    outside: float
    bore_now: float | None
    damage: float | None
    bore: float | None
    off_centre: float = 0.0
    limit: float | None = None
    wall: float | None = None


def end_view(view: EndView, units: Units) -> Markup:
    """The figure at both widths."""
    return svg.joined(_figure(view, units, wide) for wide in (True, False))


def _figure(view: EndView, units: Units, wide: bool) -> Markup:
    prefix = "damage-wide" if wide else "damage-narrow"
    radius, centre = (168.0, (210.0, 190.0)) if wide else (120.0, (183.0, 134.0))
    scale = radius / (0.5 * view.outside)
    labels = _labels(view, units)
    height = 380.0 if wide else 2.0 * centre[1] + 24.0 * len(labels) + 8.0
    ink = [
        svg.tag(
            "defs",
            svg.hatching(f"{prefix}-shell", "hatch", angle=45.0, pitch=9.0),
            svg.hatching(f"{prefix}-goes", "goes-hatch", angle=-45.0, pitch=5.0),
        ),
        *_rings(view, centre, scale, prefix),
        *_words(labels, view, centre, scale, wide),
    ]
    return svg.picture(
        prefix,
        (WIDE if wide else NARROW, height),
        "The shell seen along its axis, before and after boring",
        ". ".join(text for _, text, _ in labels) + ". One scale; the runout is too small to be seen.",
        *ink,
        class_=f"damage {'figure-wide figure-middle' if wide else 'figure-narrow'}",
    )


def _rings(view: EndView, centre: svg.Point, scale: float, prefix: str) -> list[Markup]:
    """From the outside inwards, each disc over the one before."""
    x, y = centre

    def disc(diameter: float, class_: str, fill: str | None = None, shift: float = 0.0) -> Markup:
        at = x + scale * shift
        return svg.tag("circle", cx=at, cy=y, r=0.5 * scale * diameter, class_=class_, fill=fill)

    parts = [disc(view.outside, "metal shell-metal"), disc(view.outside, "cut", f"url(#{prefix}-shell)")]
    if view.bore is not None:
        parts.append(disc(view.bore, "goes", shift=view.off_centre))
        parts.append(disc(view.bore, "cut", f"url(#{prefix}-goes)", view.off_centre))
    within = view.bore_now if view.bore_now is not None else view.bore
    if within is not None:
        parts.append(disc(within, "air"))
    if view.bore is not None:
        parts.append(disc(view.bore, "clean", shift=view.off_centre))
    if view.bore_now is not None:
        parts.append(disc(view.bore_now, "now"))
    if view.damage is not None:
        parts.append(disc(view.damage, "harm"))
    if view.limit is not None and 0.0 < view.limit < view.outside:
        parts.append(disc(view.limit, "limit"))
    parts.append(disc(view.outside, "outline"))
    if view.bore is not None and view.bore < view.outside:
        inner, outer = x + scale * (0.5 * view.bore + view.off_centre), x + 0.5 * scale * view.outside
        parts.append(svg.line((inner, y), (outer, y), "thin"))
    return parts


def _labels(view: EndView, units: Units) -> list[tuple[str, str, float]]:
    """Class, text and diameter of what is to be named, from the outside inwards."""
    unit = units.label("mm")

    def named(what: str, size: float) -> str:
        return f"{what} Ø {size_text(size, units)} {unit}"

    found = [("name", named("Outside", view.outside), view.outside)]
    if view.limit is not None and view.limit < view.outside:
        found.append(
            ("limit-text", f"Bore no further than Ø {limit_text(view.limit, units)} {unit}", view.limit)
        )
    if view.bore is not None:
        found.append(("name", named("Bore once cut", view.bore), view.bore))
    if view.wall is not None:
        found.append(("value", f"Wall left, thin side {wall_text(view.wall, units)} {unit}", view.outside))
    if view.damage is not None:
        found.append(("name", named("Damage reaches", view.damage), view.damage))
    if view.bore_now is not None:
        found.append(("name", named("Bore now", view.bore_now), view.bore_now))
    return found


def _words(
    labels: list[tuple[str, str, float]], view: EndView, centre: svg.Point, scale: float, wide: bool
) -> list[Markup]:
    """On a desk beside the figure, each with a leader to its circle; on a phone below it."""
    if not wide:
        top = 2.0 * centre[1] + 14.0
        return [
            svg.words((20.0, top + 24.0 * k), text, class_) for k, (class_, text, _) in enumerate(labels)
        ]
    parts: list[Markup] = []
    for k, (class_, text, diameter) in enumerate(labels):
        y = 60.0 + 48.0 * k
        if class_ == "value":
            inner = 0.5 * scale * ((view.bore or 0.0) + view.outside) * 0.5
            tip = (centre[0] + inner, centre[1])
        else:
            radius = 0.5 * scale * diameter
            rise = max(-0.9 * radius, min(0.9 * radius, y - centre[1]))
            tip = (centre[0] + (radius**2 - rise**2) ** 0.5, centre[1] + rise)
        parts.append(svg.line(tip, (440.0, y - 5.0), "dim"))
        parts.append(svg.circle(tip, 3.0, "dot"))
        parts.append(svg.words((448.0, y), text, class_))
    return parts
