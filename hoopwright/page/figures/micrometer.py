"""An outside micrometer at the size to aim for, drawn as it reads: barrel with its datum line, thimble with
its bevel, and the band on the thimble. Part enlarged; the thimble is drawn more so than the barrel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor

from markupsafe import Markup

from hoopwright.page.figures import svg

TINY = 1e-6
"""Share of a graduation by which a reading may miss it."""


@dataclass(frozen=True)
class Graduation:
    """How a micrometer is graduated, in its own unit. pitch: of its screw, one turn of the thimble, which
    has so many divisions. first: barrel mark that is numbered, and every so many from there. range: of its
    travel. decimals: of a reading."""

    unit: str
    pitch: float
    divisions: int
    numbered: float
    range: float
    decimals: int
    mm: float

    def start(self, reading: float) -> float:
        """Least reading of the micrometer that has this one in its range."""
        return self.range * floor(reading / self.range + TINY)

    def barrel(self, reading: float) -> float:
        """The last mark of the barrel that the thimble leaves bare."""
        return self.pitch * floor(reading / self.pitch + TINY)

    def thimble(self, reading: float) -> float:
        """What the thimble has at the datum line, in its divisions."""
        return (reading - self.barrel(reading)) / self.division

    @property
    def division(self) -> float:
        return self.pitch / self.divisions

    def text(self, reading: float) -> str:
        return f"{reading:.{self.decimals}f}"


METRIC = Graduation("mm", 0.5, 50, 5.0, 25.0, 3, 1.0)
INCH = Graduation("in", 0.025, 25, 0.1, 1.0, 4, 25.4)


@dataclass(frozen=True)
class Layout:
    """Sizes on the figure, px. edge: x where the thimble begins. per_mm: along the barrel. most: apart of
    two graduations of the thimble, at the widest."""

    width: float
    height: float
    edge: float
    per_mm: float
    barrel: float
    bevel: float
    tip: float
    body: float
    apart: float

    @property
    def datum(self) -> float:
        return 0.5 * self.height


NARROW = Layout(366.0, 150.0, 204.0, 13.0, 34.0, 27.0, 47.0, 66.0, 34.0)
WIDE = Layout(720.0, 190.0, 420.0, 24.0, 44.0, 34.0, 60.0, 84.0, 42.0)


def micrometer(reading: float, band: tuple[float, float], graduation: Graduation) -> Markup:
    """The figure at both widths. reading, band: in the unit of the micrometer."""
    return svg.joined(
        _figure(reading, band, graduation, layout, wide) for layout, wide in ((WIDE, True), (NARROW, False))
    )


def reading_text(reading: float, graduation: Graduation) -> str:
    """How the reading is put together from barrel and thimble."""
    barrel, thimble = graduation.barrel(reading), graduation.thimble(reading)
    decimals = 1 if graduation.unit == "mm" else 3
    whole = f"{thimble:.1f}" if abs(thimble - round(thimble)) > 0.01 else f"{thimble:.0f}"
    return f"barrel {barrel:.{decimals}f}, thimble {whole} of {graduation.divisions}"


def _figure(
    reading: float, band: tuple[float, float], graduation: Graduation, layout: Layout, wide: bool
) -> Markup:
    prefix = "micrometer-wide" if wide else "micrometer-narrow"
    low, high = map(graduation.text, band)
    unit = graduation.unit
    return svg.picture(
        prefix,
        (layout.width, layout.height),
        f"A micrometer that reads {graduation.text(reading)} {unit}",
        f"{reading_text(reading, graduation).capitalize()}. Numbers rise upwards on the thimble. "
        f"The band on it is from {low} to {high} {unit}.",
        *_barrel(reading, graduation, layout),
        *_thimble(reading, band, graduation, layout),
        class_=f"micrometer {'figure-wide figure-middle' if wide else 'figure-narrow'}",
    )


def _barrel(reading: float, graduation: Graduation, layout: Layout) -> Iterator[Markup]:
    y, half = layout.datum, layout.barrel
    yield svg.tag(
        "rect", x=-4.0, y=y - half, width=layout.edge + 4.0, height=2.0 * half, class_="barrel outline"
    )
    yield svg.line((0.0, y), (layout.edge, y), "datum")
    metric = graduation.unit == "mm"
    start, every = graduation.start(reading), round(graduation.numbered / graduation.pitch)
    last = round((graduation.barrel(reading) - start) / graduation.pitch)
    for count in range(last + 1):
        x = layout.edge - layout.per_mm * graduation.mm * (reading - start - count * graduation.pitch)
        if x < 6.0:
            continue
        above = not metric or count % 2 == 0  # whole millimetres above the line, halves below it
        numbered = count % every == 0
        length = 0.42 * half if numbered else (0.30 if metric else 0.24) * half
        end = y - length if above else y + length
        yield svg.line((x, y), (x, end), f"mark {'mark-above' if above else 'mark-below'}")
        if numbered:
            number = start + count * graduation.pitch
            text = f"{number:.0f}" if metric else f"{count // every % 10}"
            last_one = x > layout.edge - 12.0
            yield svg.words(
                (x - 2.0 if last_one else x, y - 0.55 * half),
                text,
                "barrel-number",
                "end" if last_one else "middle",
            )


def _thimble(
    reading: float, band: tuple[float, float], graduation: Graduation, layout: Layout
) -> Iterator[Markup]:
    x, y = layout.edge, layout.datum
    left, right = x + layout.bevel, layout.width + 4.0
    tip, body = layout.tip, layout.body
    yield svg.polygon(((x, y - tip), (left, y - body), (left, y + body), (x, y + tip)), "bevel outline")
    yield svg.tag(
        "rect", x=left, y=y - body, width=right - left, height=2.0 * body, class_="thimble outline"
    )
    for ridge in range(7):
        at = layout.width - 6.0 - 9.0 * ridge
        yield svg.line((at, y - body + 5.0), (at, y + body - 5.0), "ridge")
    at_datum = graduation.thimble(reading)
    ends = [(limit - reading) / graduation.division for limit in band]
    apart = min(layout.apart, 0.62 * body / max(abs(ends[0]), abs(ends[1]), TINY))
    top, foot = (y - max(-0.9 * body, min(0.9 * body, end * apart)) for end in (ends[1], ends[0]))
    top, foot = min(top, y - 2.0), max(foot, y + 2.0)
    box = {"x": x, "y": top, "width": layout.bevel + 44.0, "height": foot - top}
    yield svg.tag("rect", class_="band-ground", **box)
    yield from _graduations(at_datum, apart, graduation, layout)
    yield svg.tag("rect", class_="band-box", **box)
    yield svg.line((x, y), (left + 12.0, y), "datum")
    yield from _led_out(band, (top, foot), graduation, layout)


def _graduations(at_datum: float, apart: float, graduation: Graduation, layout: Layout) -> Iterator[Markup]:
    """Lines and numbers of the thimble, those above the datum line higher."""
    x, y, left = layout.edge, layout.datum, layout.edge + layout.bevel
    fine = 1 if apart >= 4.0 else 5
    every = next(n for n in (1, 5, 25) if n * apart >= 16.0 or n == 25)
    reach = int((layout.body - 8.0) / apart)
    middle = floor(at_datum)
    for step in range(middle - reach - 1, middle + reach + 2):
        rise = (step - at_datum) * apart
        if step % fine or abs(rise) > layout.body - 8.0:
            continue
        slope = layout.bevel / (layout.body - layout.tip)
        start = x + max(0.0, abs(rise) - layout.tip) * slope
        numbered = step % every == 0
        end = left + (12.0 if numbered else 6.0)
        yield svg.line((start, y - rise), (end, y - rise), "thimble-mark")
        if numbered:
            number = str(step % graduation.divisions)
            place = (left + 26.0, y - rise + 5.0)
            yield svg.words(place, number, "thimble-number", "middle")


def _led_out(
    band: tuple[float, float], ends: tuple[float, float], graduation: Graduation, layout: Layout
) -> Iterator[Markup]:
    """Both ends of the band, from the corners of its box to their sizes."""
    corner = layout.edge + layout.bevel + 44.0
    for limit, end, side in ((band[1], ends[0], -1.0), (band[0], ends[1], 1.0)):
        text_y = layout.datum + side * max(side * (end - layout.datum) + 8.0, 26.0)
        text_y = layout.datum + side * min(side * (text_y - layout.datum), layout.body - 8.0)
        yield svg.line((corner, end), (corner + 12.0, text_y), "dim")
        yield svg.words((corner + 15.0, text_y + 5.0), graduation.text(limit), "band-size")
