"""The dimensions of a half section, in the order in which they are drawn and listed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from hoopwright.display import Units
from hoopwright.geometry.land import End
from hoopwright.page.section import Origin, Section, Stretch, diameter_text, hand_of, size_text


@dataclass(frozen=True)
class Dimension:
    """One dimension. path: of its field. name: in the list. start, end: along z, mm. text, under: what
    stands on its line and below it. glyph: its letter."""

    path: str
    name: str
    start: float
    end: float
    text: str
    under: str = ""
    origin: Origin = "typed"
    glyph: str = ""


@dataclass(frozen=True)
class Row:
    """Dimensions side by side on one line. name: of the surface or length; note: below it."""

    name: str
    dimensions: tuple[Dimension, ...]
    note: str = ""


@dataclass(frozen=True)
class Chamfer:
    """A chamfer at an end of the sleeve. leads: that end goes in first. size: axial, mm."""

    end: End
    size: float
    leads: bool
    dimension: Dimension


@dataclass(frozen=True)
class Dimensions:
    """Rows above the section, from the top, and below it, and the chamfers."""

    above: tuple[Row, ...]
    below: tuple[Row, ...]
    chamfers: tuple[Chamfer, ...]

    @property
    def all(self) -> tuple[Dimension, ...]:
        rows = (*self.above, *self.below)
        return (*(d for row in rows for d in row.dimensions), *(c.dimension for c in self.chamfers))


def dimensions_of(section: Section, units: Units) -> Dimensions:
    """All dimensions, with letters in their order."""
    width = _length("shell.width", "shell width", 0.0, section.width, section.width_origin, units)
    ends = section.sleeve_start, section.sleeve_end
    length = _length("sleeve.length", "sleeve length", *ends, section.length_origin, units)
    above = (
        Row("shell width", (width,)),
        _row("shell outside", section.outside, units, fitted=False),
        _row("shell bore", section.bore, units, fitted=True),
    )
    below = (
        _row("sleeve outside", section.sleeve_outside, units, fitted=True),
        _row("sleeve bore", section.sleeve_bore, units, fitted=False),
        Row("sleeve length", (length,)),
    )
    return _with_glyphs(Dimensions(above, below, tuple(_chamfers(section, units))))


def _length(path: str, name: str, start: float, end: float, origin: Origin, units: Units) -> Dimension:
    text = "?" if origin == "assumed" else size_text(end - start, units)
    return Dimension(path, name, start, end, text, origin=origin)


def _row(name: str, stretches: tuple[Stretch, ...], units: Units, *, fitted: bool) -> Row:
    lands = sum(not s.name for s in stretches)
    several = len(stretches) > 1
    what = "parts" if name == "sleeve bore" else "lands"
    return Row(
        name,
        tuple(_of_stretch(name, what, s, units, several, fitted) for s in stretches),
        f"{lands} {what}" if lands > 1 else "",
    )


def _of_stretch(
    name: str, what: str, stretch: Stretch, units: Units, several: bool, fitted: bool
) -> Dimension:
    parts = [f"{hand_of(stretch.thread)} hand"] if stretch.thread else []
    if several:
        parts.append(f"{size_text(stretch.length, units)} long")
    if stretch.readings:
        parts.append(f"{stretch.readings} readings")
    own = f"{name}, {what.removesuffix('s')} {(stretch.index or 0) + 1}" if several else name
    return Dimension(
        stretch.path,
        stretch.name or own,
        stretch.start,
        stretch.end,
        diameter_text(stretch, units, fitted=fitted),
        ", ".join(parts),
        stretch.origin,
    )


def _chamfers(section: Section, units: Units) -> Iterator[Chamfer]:
    sizes: tuple[tuple[End, float], ...] = (
        ("left", section.chamfer_left),
        ("right", section.chamfer_right),
    )
    for end, size in sizes:
        if size > 0.0:
            at = section.sleeve_start if end == "left" else section.sleeve_end
            leads = section.leading == end
            under = "leads in" if leads else ""
            name = f"chamfer, {end} end"
            made = Dimension(f"sleeve.chamfer_{end}", name, at, at, size_text(size, units), under)
            yield Chamfer(end, size, leads, made)


def _with_glyphs(found: Dimensions) -> Dimensions:
    glyphs = iter(glyph(k) for k in range(len(found.all)))

    def lettered(row: Row) -> Row:
        return replace(row, dimensions=tuple(replace(d, glyph=next(glyphs)) for d in row.dimensions))

    above, below = (tuple(map(lettered, rows)) for rows in (found.above, found.below))
    chamfers = (replace(c, dimension=replace(c.dimension, glyph=next(glyphs))) for c in found.chamfers)
    return Dimensions(above, below, tuple(chamfers))


def glyph(index: int) -> str:
    """a to z, then aa, ab and so on."""
    first = chr(ord("a") + index % 26)
    return first if index < 26 else glyph(index // 26 - 1) + first
