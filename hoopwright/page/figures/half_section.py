"""Half section of shell and sleeve to one scale, its dimensions as links to their fields.

Drawn twice: at the width of a desk with all texts, and at that of a phone with letters in their place.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.dimensions import Chamfer, Dimension, Dimensions, Row, dimensions_of
from hoopwright.page.fields import field_id
from hoopwright.page.figures import svg
from hoopwright.page.figures.bodies import Sheet, shapes, sheet_of
from hoopwright.page.section import Section, size_text, wall_text

ROW = 48.0
"""Height of a line of dimensions, that of a finger, px."""
NARROW, MIDDLE, WIDE = 366.0, 720.0, 1000.0
"""Widths of the drawing: on a phone with letters, on a tablet and on a desk with texts, px."""
COLUMNS = {NARROW: (46.0, 320.0), MIDDLE: (136.0, 570.0), WIDE: (170.0, 840.0)}
"""Between which the section lies, by the width."""
CLASSES = {NARROW: "figure-narrow", MIDDLE: "figure-middle", WIDE: "figure-wide"}
BALLOON = 12.0
MIN_SPAN = 26.0
"""Shortest dimension line on which a letter has room, px."""
GLYPH_WIDTH = 8.6
"""Mean width of a character of a dimension, px."""
SCREEN_PX_PER_MM = 96.0 / 25.4
NAME_AT = 16.0
"""Where names begin at the left, px; side notes stand as far from the right end of the section."""
SIDE = 22.0


@dataclass(frozen=True)
class _Plan:
    """Where things lie on one of the two drawings. top: of the section, below: of the rows under it, px."""

    sheet: Sheet
    width: float
    top: float
    below: float
    height: float

    @property
    def wide(self) -> bool:
        """Whether it carries texts."""
        return self.width > NARROW

    @property
    def prefix(self) -> str:
        return f"section-{self.width:.0f}"

    @property
    def side_at(self) -> float:
        """Where notes beside the section begin at its right, px."""
        return COLUMNS[self.width][1] + SIDE


def half_section(section: Section, units: Units, *, in_use: str = "") -> Markup:
    """The drawing at every width, of which a style sheet shows one.

    in_use: path of the dimension in hand, "" for none.
    """
    found = dimensions_of(section, units)
    return svg.joined(_drawing(section, found, units, width, in_use) for width in COLUMNS)


def _drawing(section: Section, found: Dimensions, units: Units, width: float, in_use: str) -> Markup:
    plan = _plan(section, found, width)
    ink = [
        shapes(section, plan.sheet, plan.prefix),
        _extension_lines(section, found, plan),
        _limit_line(section, units, plan),
        _axis(section, units, plan),
        *(_row(row, plan, at, in_use) for row, at in _rows_at(found, plan)),
        *(_chamfer(c, section, plan, in_use) for c in found.chamfers),
    ]
    if plan.wide:
        ink += [_wall(section, units, plan), _leaders(section, plan)]
    title = "Half section of shell and sleeve"
    words = description(section, found, units)
    class_ = f"half-section {CLASSES[width]}"
    size = (width, plan.height)
    return svg.picture(plan.prefix, size, title, words, *ink, links=True, class_=class_)


def _plan(section: Section, found: Dimensions, width: float) -> _Plan:
    wide = width > NARROW
    top = 12.0 + ROW * len(found.above) + (40.0 if wide else 14.0)
    sheet = sheet_of(section, *COLUMNS[width], top, 300.0 if wide else 150.0)
    side = 150.0 if wide else 34.0 + 44.0 * bool(found.chamfers)  # room for what stands beside the section
    below = max(sheet.axis + (26.0 if wide else 12.0), top + side)
    return _Plan(sheet, width, top, below, below + ROW * len(found.below) + 8.0)


def _rows_at(found: Dimensions, plan: _Plan) -> Iterator[tuple[Row, float]]:
    """The rows, each with the height of its line."""
    for number, row in enumerate(found.above):
        yield row, 12.0 + ROW * (number + 0.45)
    for number, row in enumerate(found.below):
        yield row, plan.below + ROW * (number + 0.45)


def _row(row: Row, plan: _Plan, y: float, in_use: str) -> Markup:
    """A line of dimensions, with the name of the surface at the left on the wide drawing."""
    parts = []
    if plan.wide:
        parts.append(svg.words((NAME_AT, y + 5.0), row.name, "name"))
        if row.note:
            parts.append(svg.words((NAME_AT, y + 22.0), row.note, "note"))
    alone = len(row.dimensions) == 1
    for d in row.dimensions if alone or not _is_crowded(row, plan) else ():
        if alone or plan.sheet.length(d.start, d.end) >= MIN_SPAN:
            with_text = plan.wide and (alone or _has_room(d, plan))
            parts.append(_dimension(d, plan, y, with_text, d.path == in_use))
        else:  # it is in the list
            parts.append(_ruled(d, plan, y))
    if not alone and _is_crowded(row, plan):
        middle = 0.5 * sum(plan.sheet.ends)
        parts.append(svg.words((middle, y + 5.0), f"{row.note}, listed below", "note", "middle"))
    return svg.tag("g", *parts, class_="row")


def _is_crowded(row: Row, plan: _Plan) -> bool:
    """Whether none of several dimensions has room for even a letter."""
    return all(plan.sheet.length(d.start, d.end) < MIN_SPAN for d in row.dimensions)


def _has_room(dimension: Dimension, plan: _Plan) -> bool:
    """Whether the text stands on the line between its neighbours."""
    return _text_width(dimension) + 8.0 < plan.sheet.length(dimension.start, dimension.end)


def _text_width(dimension: Dimension) -> float:
    return max(len(dimension.text), 0.85 * len(dimension.under)) * GLYPH_WIDTH


def _ruled(dimension: Dimension, plan: _Plan, y: float) -> Markup:
    ends = ((plan.sheet.x(z), y) for z in (dimension.start, dimension.end))
    return svg.dimension_line(*ends)


def _dimension(dimension: Dimension, plan: _Plan, y: float, with_text: bool, in_use: bool) -> Markup:
    """The line, and over its text or letter the link to the field."""
    middle = plan.sheet.x(0.5 * (dimension.start + dimension.end))
    if with_text:
        width = _text_width(dimension)
        words = [_cleared(middle, y, len(dimension.text) * GLYPH_WIDTH + 10.0, 20.0)]
        words.append(svg.words((middle, y + 5.0), dimension.text, _class_of(dimension), "middle"))
        if dimension.under:
            words.append(svg.words((middle, y + 23.0), dimension.under, "note", "middle"))
    else:
        width = 2.0 * BALLOON
        words = [_balloon((middle, y), dimension)]
    # as wide as a finger, but never over its neighbour on the same line
    finger = max(width + 8.0, min(ROW, plan.sheet.length(dimension.start, dimension.end)))
    hit = svg.tag("rect", x=middle - 0.5 * finger, y=y - 20.0, width=finger, height=ROW, class_="hit")
    said = (dimension.name, *((dimension.text, dimension.under) if with_text else _glyph_said(dimension)))
    ruled, link = _ruled(dimension, plan, y), _link(dimension, said, hit, *words)
    return svg.tag("g", ruled, link, class_=_state("dimension", in_use))


def _state(name: str, in_use: bool) -> str:
    return f"{name} in-hand" if in_use else name


def _glyph_said(dimension: Dimension) -> tuple[str, ...]:
    """What is said of a dimension that is a letter on the drawing: the letter last, for who speaks it."""
    return (dimension.text, dimension.under, dimension.glyph)


def _link(dimension: Dimension, said: Iterable[str], *content: Markup) -> Markup:
    """The link to the field. said: its name to who hears the page; what stands on the drawing is in it as
    it is read there, for who speaks it."""
    return svg.tag(
        "a",
        svg.joined(part for piece in content for part in (piece, " ")),
        href=f"#{field_id(dimension.path)}",
        class_="size",
        data_path=dimension.path,
        aria_label=", ".join(filter(None, said)),
    )


def _class_of(dimension: Dimension) -> str:
    return {"typed": "value yours", "readings": "value read", "assumed": "value wanted"}[dimension.origin]


def _balloon(at: svg.Point, dimension: Dimension) -> Markup:
    ring = svg.circle(at, BALLOON, f"balloon {dimension.origin}")
    glyph = svg.words((at[0], at[1] + 5.0), dimension.glyph, f"glyph {dimension.origin}", "middle")
    return svg.joined((ring, glyph))


def _cleared(x: float, y: float, width: float, height: float) -> Markup:
    """The paper behind a text that stands on its line."""
    return svg.tag(
        "rect", x=x - 0.5 * width, y=y - 0.5 * height, width=width, height=height, class_="paper"
    )


def _extension_lines(section: Section, found: Dimensions, plan: _Plan) -> Markup:
    """From the ends of every line of dimensions to the surface it is of, each drawn once."""
    bore = plan.sheet.y(min(min(s.diameter, s.diameter_end) for s in section.bore))
    inside = plan.sheet.y(max(max(s.diameter, s.diameter_end) for s in section.sleeve_bore))
    surfaces = (plan.top, plan.top, bore, inside, inside, inside)
    reach: dict[tuple[float, bool], tuple[float, float]] = {}
    for (row, y), surface in zip(_rows_at(found, plan), surfaces, strict=True):
        above = y < plan.top
        ends = {z for d in row.dimensions for z in (d.start, d.end)}
        for z in {min(ends), max(ends)} if _is_crowded(row, plan) else ends:
            up, down = reach.get((z, above), (surface, surface))
            reach[z, above] = min(up, y - 8.0, surface), max(down, y + 8.0, surface)
    lines = (
        svg.line((plan.sheet.x(z), up), (plan.sheet.x(z), down), "extension")
        for (z, _), (up, down) in sorted(reach.items())
    )
    return svg.tag("g", *lines, class_="extensions")


def _axis(section: Section, units: Units, plan: _Plan) -> Markup:
    sheet = plan.sheet
    (left, right), y = sheet.ends, sheet.axis
    parts = [svg.line((left - 24.0, y), (right + 24.0, y), "axis")]
    room = y - sheet.y(min(min(s.diameter, s.diameter_end) for s in section.sleeve_bore))
    if plan.wide and room > 60.0 and right - left > 280.0:
        scale = f"one scale along and across, about {sheet.scale / SCREEN_PX_PER_MM:.2g} : 1"
        far = f"right face, z {size_text(section.width, units)}"
        above = 8.0 if right - left > 540.0 else 28.0  # beside the names of the faces, or over them
        parts += [
            svg.words((left + 8.0, y - 8.0), "left face, z 0", "note"),
            svg.words((right - 8.0, y - 8.0), far, "note", "end"),
            svg.words((0.5 * (left + right), y - above), scale, "note", "middle"),
        ]
    return svg.joined(parts)


def _limit_line(section: Section, units: Units, plan: _Plan) -> Markup:
    """How far the user's own least wall lets the bore go."""
    if section.bore_limit is None or not 0.0 < section.bore_limit < section.greatest_diameter:
        return Markup()
    y, (left, right) = plan.sheet.y(section.bore_limit), plan.sheet.ends
    parts = [svg.line((left - (14.0 if plan.wide else 6.0), y), (right, y), "limit")]
    if plan.wide:
        at = min(y, plan.sheet.axis - 40.0) if plan.sheet.axis - plan.top > 60.0 else y
        parts += [
            svg.words((NAME_AT, at - 2.0), "bore no further", "limit-text"),
            svg.words(
                (NAME_AT, at + 15.0), f"than Ø {limit_text(section.bore_limit, units)}", "limit-text"
            ),
        ]
    return svg.joined(parts)


def limit_text(limit: float, units: Units) -> str:
    """A greatest size, rounded down to what a caliper shows."""
    per_mm, decimals = (1.0, 2) if units.system == "metric" else (1.0 / 25.4, 3)
    scaled = math.floor(limit * per_mm * 10**decimals + 1e-6)
    return f"{scaled / 10**decimals:.{decimals}f}"


def _chamfer(chamfer: Chamfer, section: Section, plan: _Plan, in_use: str) -> Markup:
    """A leader from the corner of the sleeve to its size beside the section."""
    sheet, right = plan.sheet, chamfer.end == "right"
    stretch = section.sleeve_outside[-1 if right else 0]
    corner = stretch.diameter_end if right else stretch.diameter
    reach = min(chamfer.size, 0.25 * corner)
    z = section.sleeve_end - 0.5 * reach if right else section.sleeve_start + 0.5 * reach
    tip = (sheet.x(z), sheet.y(corner - reach))
    dimension, used = chamfer.dimension, chamfer.dimension.path == in_use
    if not plan.wide:
        at = (NARROW - 22.0 if right else 22.0, plan.top + 62.0)
        hit = svg.tag("rect", x=at[0] - 22.0, y=at[1] - 24.0, width=44.0, height=ROW, class_="hit")
        said = (dimension.name, *_glyph_said(dimension))
        link = _link(dimension, said, hit, _balloon(at, dimension))
        return svg.tag("g", svg.line(tip, at, "dim"), link, class_=_state("dimension", used))
    x, y = (plan.side_at, plan.top + 104.0) if right else (NAME_AT, plan.top + 104.0)
    elbow = (x - 8.0, y - 5.0) if right else (x + 108.0, y - 5.0)
    size = f"chamfer {dimension.text}"
    words = [svg.words((x, y), size, _class_of(dimension))]
    if dimension.under:
        words.append(svg.words((x, y + 18.0), dimension.under, "note"))
    hit = svg.tag("rect", x=x - 4.0, y=y - 22.0, width=112.0, height=ROW, class_="hit")
    link = _link(dimension, (f"{chamfer.end} end", size, dimension.under), hit, *words)
    return svg.tag("g", svg.line(tip, elbow, "dim"), link, class_=_state("dimension", used))


def _wall(section: Section, units: Units, plan: _Plan) -> Markup:
    """The wall left, dimensioned at the right of the section."""
    if section.wall is None:
        return Markup()
    sheet, x = plan.sheet, plan.sheet.ends[1]
    outer, inner = (sheet.y(surface[-1].diameter_end) for surface in (section.outside, section.bore))
    at = x + 34.0
    parts = [
        svg.line((x + 4.0, outer), (at + 8.0, outer), "extension"),
        svg.line((x + 4.0, inner), (at + 8.0, inner), "extension"),
        svg.line((at, outer - 22.0), (at, inner + 22.0), "dim"),
        svg.arrowhead((at, outer), (at, outer - 22.0)),
        svg.arrowhead((at, inner), (at, inner + 22.0)),
        svg.words((plan.side_at + 30.0, outer - 8.0), "wall left", "name"),
        svg.words((plan.side_at + 30.0, outer + 14.0), wall_text(section.wall, units), "value"),
    ]
    if section.least_wall is not None:
        limit = f"limit {size_text(section.least_wall, units)}"
        parts.append(svg.words((plan.side_at + 30.0, outer + 33.0), limit, "note"))
    return svg.tag("g", *parts, class_="wall")


def _leaders(section: Section, plan: _Plan) -> Markup:
    """Names of the two bodies, with a dot in each."""
    sheet, (left, right) = plan.sheet, plan.sheet.ends
    if right - left < 320.0:
        return Markup()
    shell, sleeve = section.materials
    at = left + 0.66 * (right - left)
    outer, bore = (sheet.y(surface[0].diameter) for surface in (section.outside, section.bore))
    dot = (at, 0.5 * (outer + bore))
    parts = [
        svg.circle(dot, 3.0, "dot"),
        svg.line(dot, (at + 22.0, plan.top - 12.0), "dim"),
        svg.words((at + 28.0, plan.top - 12.0), f"shell, {shell}" if shell else "shell", "name"),
    ]
    inside = sheet.y(min(s.diameter for s in section.sleeve_bore))
    if sheet.axis - inside > 70.0:
        middle = left + 0.5 * (right - left)
        outside = sheet.y(min(s.diameter for s in section.sleeve_outside))
        dot = (middle, 0.5 * (outside + inside))
        label = f"sleeve, {sleeve}" if sleeve else "sleeve"
        parts += [
            svg.circle(dot, 3.0, "dot"),
            svg.line(dot, (middle + 22.0, inside + 26.0), "dim"),
            svg.words((middle + 28.0, inside + 32.0), label, "name"),
        ]
    return svg.joined(parts)


def description(section: Section, found: Dimensions, units: Units) -> str:
    """The drawing in words."""
    unit = units.label("mm")
    rows = (f"{row.name} {_listed(row.dimensions)}" for row in (*found.above, *found.below))
    parts = [f"Sizes in {unit} at {units.temperature(20.0)}: " + "; ".join(rows) + "."]
    parts += [
        f"Chamfer {c.dimension.text} at the {c.end} end{', which leads in' * c.leads}."
        for c in found.chamfers
    ]
    if section.wall is not None:
        parts.append(f"Wall left on the thin side {wall_text(section.wall, units)} {unit}.")
    if section.bore_limit is not None:
        parts.append(f"Bore no further than Ø {limit_text(section.bore_limit, units)} {unit}.")
    if any(d.origin == "assumed" for d in found.all):
        parts.append("Dashed: not given yet.")
    return " ".join(parts)


def _listed(dimensions: Iterable[Dimension]) -> str:
    return " and ".join(d.text for d in dimensions)
