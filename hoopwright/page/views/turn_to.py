"""The sizes to cut to, as the page says them, and what is still to come off. Sizes are as the gauge shows
them at the temperature of the shop."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor
from typing import Any, Literal

from markupsafe import Markup

from hoopwright.came_out.ways import SMALL_CUT
from hoopwright.case.model import Case
from hoopwright.case.table import dotted_path
from hoopwright.display import Units, percent_text
from hoopwright.page.figures.cut_strip import Strip, cut_strip
from hoopwright.page.figures.micrometer import INCH, METRIC, micrometer, reading_text
from hoopwright.page.last_cut import Place, Reading, may_differ
from hoopwright.page.views.words import typeset
from hoopwright.presets import table as presets
from hoopwright.sizing.rounding import FINEST_IN, FINEST_MM

Instrument = Literal["micrometer", "number", "dial"]
How = Literal["off", "in", "past", "apart"]
"""apart: the mean is in the band, of readings that are not of one size."""
SLACK_MM = 1e-6
FAR_MM = 0.1
"""Past the band by more than this, a slip is likelier than a cut. Common practice, no source."""
DIGITAL = ("digital", "electronic")
"""Words in the type of a gauge that say that it shows a number."""


@dataclass(frozen=True)
class Dial:
    """What a dial shows at the aim and over the band. ring: what it is set in."""

    aim: str
    band: str
    ring: str


@dataclass(frozen=True)
class Aim:
    """A size to cut to.

    where: of the land, "" for all of it. size, band: in the unit; other: the same in the other system.
    at_20: both at 20 °C, "" where the shop is there. figure: of the micrometer, empty for another gauge;
    caption: how that is read; dial: of a gauge that is set in a ring. strip: in the direction of the cut.
    said: of what was read, None while nothing was.
    """

    where: str
    size: str
    unit: str
    band: str
    other: str
    at_20: str
    figure: Markup
    caption: str
    dial: Dial | None
    strip: Markup
    said: Said | None


@dataclass(frozen=True)
class Said:
    """What a reading means. other: its amount in the other system. lines: what else is to be known."""

    how: How
    head: str
    other: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Shown:
    """What the sizes are shown by: the case, the part of the size document, units of the page, and the ring
    that a dial is set in, mm."""

    case: Case
    part: Mapping[str, Any]
    units: Units
    ring: float | None = None

    @property
    def sleeve(self) -> bool:
        return bool(self.part["cut"] == "sleeve")

    @property
    def instrument(self) -> Instrument:
        return instrument_of(self.case, self.sleeve)


def instrument_of(case: Case, sleeve: bool) -> Instrument:
    """How the gauge of the part to be cut shows a size: on barrel and thimble, as a number, or on a dial as
    a difference from its ring."""
    gauge = case.size.gauge
    if gauge is None:
        return "micrometer" if sleeve else "number"
    heading, kinds = f"[{dotted_path('gauge', gauge.name)}]", presets()["gauge"]
    of = {v.name for v in case.presets.filled if v.heading == heading and v.name in kinds}
    said = " ".join((gauge.type, *(kinds[name].what for name in sorted(of)))).lower()
    if any(word in said for word in DIGITAL) and (sleeve or gauge.contacts != 2):
        return "number"
    if sleeve:
        return "micrometer" if "micrometer" in said or not gauge.type else "number"
    return "dial" if gauge.contacts == 2 and "micrometer" not in said else "number"


def other(units: Units) -> Units:
    return Units("metric" if units.system == "inch" else "inch")


def number(value_mm: float, units: Units, more: int = 0) -> str:
    """A size without its unit. more: decimals beyond those of a size."""
    return units.number(value_mm, "mm", decimals=(4 if units.system == "inch" else 3) + more)


def unit_mm(units: Units) -> float:
    return 25.4 if units.system == "inch" else 1.0


def band_of(part: Mapping[str, Any], units: Units, shop: bool = True) -> tuple[float, float] | None:
    """Limits rounded inwards to what can be read, in the unit of the page; None where none can."""
    key = f"{'shop_' if shop else ''}readable_{'in' if units.system == 'inch' else 'mm'}"
    pair = part[key]
    return None if pair is None else (pair[0], pair[1])


def aim_of(part: Mapping[str, Any], units: Units, shop: bool = True) -> float | None:
    """The size to aim for in the unit of the page, on a step that can be read and inside the band."""
    pair, aim = band_of(part, units, shop), part["shop_aim_mm" if shop else "aim_mm"]
    if pair is None or aim is None:
        return None
    step = FINEST_IN if units.system == "inch" else FINEST_MM
    return min(max(step * round(aim / unit_mm(units) / step), pair[0]), pair[1])


def aim_view(shown: Shown, place: Place, part: Mapping[str, Any], reading: Reading | None) -> Aim:
    """part: band of the land, or of one end of it."""
    units = shown.units
    if aim_of(part, units) is None:  # nothing that these units can show lies in the band
        units = other(units)
    aim, pair = aim_of(part, units), band_of(part, units)
    assert aim is not None
    assert pair is not None
    where = ""
    if place.end is not None:
        where = f"{('left', 'right')[place.end]} end, z {shown.units.along(place.z_start)}"
    figure, caption = _instrument(shown, part)
    return Aim(
        where,
        number(aim * unit_mm(units), units),
        units.label("mm"),
        span(pair, units),
        _in_other(part, other(units)),
        _at_20(shown, part, units),
        figure,
        typeset(caption),
        _dial(shown, part, units),
        _strip(shown, place, part, units, reading),
        None if reading is None else said_of(shown, place, part, reading),
    )


def span(pair: tuple[float, float], units: Units) -> str:
    low, high = (number(end * unit_mm(units), units) for end in pair)
    return f"{low} only" if low == high else f"{low} to {high}"


def _in_other(part: Mapping[str, Any], units: Units) -> str:
    pair = band_of(part, units)
    return typeset("" if pair is None else f"{span(pair, units)} {units.label('mm')}")


def _at_20(shown: Shown, part: Mapping[str, Any], units: Units) -> str:
    pair, aim = band_of(part, units, shop=False), aim_of(part, units, shop=False)
    if shown.part["shop_temperature_degC"] == 20.0 or pair is None or aim is None:
        return ""
    at = units.temperature(20.0)
    size = number(aim * unit_mm(units), units)
    return typeset(f"At {at} that is {size} {units.label('mm')}, {span(pair, units)}.")


def _instrument(shown: Shown, part: Mapping[str, Any]) -> tuple[Markup, str]:
    """A micrometer at the aim, in the units of the case, and how it is read; nothing of another gauge."""
    if shown.instrument == "micrometer":
        own = Units(shown.case.units)
        reading, pair = aim_of(part, own), band_of(part, own)
        if reading is None or pair is None:
            return Markup(), ""
        graduation = INCH if own.system == "inch" else METRIC
        last = "the last figure by its vernier, or by eye"
        caption = (
            f"{reading_text(reading, graduation)}: {graduation.text(reading)} {graduation.unit}; {last}"
        )
        return micrometer(reading, pair, graduation), f"{caption[:1].upper()}{caption[1:]}."
    return Markup(), ""


def _dial(shown: Shown, part: Mapping[str, Any], units: Units) -> Dial | None:
    """The aim and the band as differences from the ring; None for another gauge."""
    aim, pair = aim_of(part, units), band_of(part, units)
    if shown.instrument != "dial" or shown.ring is None or aim is None or pair is None:
        return None
    ring, label = shown.ring / unit_mm(units), units.label("mm")
    at, low, high = (f"{size - ring:+.{_decimals(units)}f}" for size in (aim, *pair))
    return Dial(
        typeset(f"{at} {label}"),
        typeset(f"{low} to {high}"),
        typeset(f"From a ring of {number(shown.ring, units)} {label}; + is larger than the ring."),
    )


def _decimals(units: Units) -> int:
    return 4 if units.system == "inch" else 3


def _strip(
    shown: Shown, place: Place, part: Mapping[str, Any], units: Units, reading: Reading | None
) -> Markup:
    aim, pair = aim_of(part, units), band_of(part, units)
    assert aim is not None
    assert pair is not None
    first, last = (pair[1], pair[0]) if shown.sleeve else pair
    now = None if reading is None else reading.mean / unit_mm(units)
    texts = (
        number(first * unit_mm(units), units),
        number(last * unit_mm(units), units),
        "" if reading is None else _read_text(reading, units),
    )
    before, after = ("take off", "too small") if shown.sleeve else ("take out", "too large")
    title = (
        "From large to small, as it is turned" if shown.sleeve else "From small to large, as it is bored"
    )
    return cut_strip(
        Strip(first, last, aim, now, texts, before, after, place.name.replace("now", "strip"), title)
    )


def _read_text(reading: Reading, units: Units) -> str:
    """A mean of several has one decimal more than a reading."""
    return number(reading.mean, units, 1 if len(reading.values) > 1 else 0)


def how_of(case: Case, place: Place, part: Mapping[str, Any], reading: Reading) -> How:
    """Whether metal is to come off, none must, or too much is gone: by the limits as they were computed. No
    mean is in the band of readings that are not of one size."""
    sleeve = place.part == "sleeve"
    above = reading.mean - part["shop_high_mm"]
    below = part["shop_low_mm"] - reading.mean
    spare, gone = (above, below) if sleeve else (below, above)
    if spare > SLACK_MM:
        return "off"
    if gone > SLACK_MM:
        return "past"
    return "apart" if _are_apart(case, place, reading) else "in"


def _are_apart(case: Case, place: Place, reading: Reading) -> bool:
    return len(reading.values) > 1 and reading.range > may_differ(case, place) + SLACK_MM


def said_of(shown: Shown, place: Place, part: Mapping[str, Any], reading: Reading) -> Said:
    units, sleeve = shown.units, shown.sleeve
    how = how_of(shown.case, place, part, reading)
    text = f"{_read_text(reading, units)} {units.label('mm')}"
    lines = list(_of_several(shown, place, reading, how))
    if how == "apart":
        return Said(how, "These readings are not of one size.", "", tuple(map(typeset, lines)))
    if how == "in":
        return Said(how, typeset(f"Stop. {text} is in the band."), "", tuple(map(typeset, lines)))
    if how == "off":
        take = abs(reading.mean - part["shop_aim_mm"])
        here, there = (_whole(take, u) for u in (units, other(units)))
        lines = [*_small_cut(shown, reading.mean, take), *lines]
        head = f"Take {'off' if sleeve else 'out'} {here} on diameter."
        return Said(how, typeset(head), typeset(there), tuple(map(typeset, lines)))
    past = part["shop_low_mm"] - reading.mean if sleeve else reading.mean - part["shop_high_mm"]
    beyond = "below" if sleeve else "above"
    if past > FAR_MM:
        lines.insert(0, "That is far: read it again before you believe it (common practice, no source).")
    lines.insert(
        0, f"{text} is {units.both(1e3 * past, 'um')} {beyond} the band, and no cut puts metal back."
    )
    head = f"It came out {'small' if sleeve else 'large'}."
    return Said(how, head, "", tuple(map(typeset, lines)))


def _whole(length: float, units: Units) -> str:
    """A length, mm, in whole µm or tenths of a thou, rounded down: what is cut away stays away."""
    if units.system == "inch":
        return f"{floor(1e4 * length / 25.4 + 1e-3) / 10:.1f} thou"
    return f"{floor(1e3 * length + 1e-3)} µm"


def _small_cut(shown: Shown, diameter: float, take: float) -> Iterator[str]:
    """What is good practice where hardly any metal is to come off."""
    if take >= SMALL_CUT:
        return
    case, units = shown.case, shown.units
    material = case.sleeve_material if shown.sleeve else case.shell_material
    warm = units.text(
        1e4 * material.expansion * diameter, "um", decimals=1 if units.system == "inch" else 0
    )
    how = "finish with fine cloth" if shown.sleeve else "hone it"
    by = "18 °F" if units.system == "inch" else "10 K"
    yield (
        f"Few tools cut so little clean: {how}, measuring often. Let it cool: {by} warm reads {warm} "
        "large. (Common practice, no source.)"
    )


def _of_several(shown: Shown, place: Place, reading: Reading, how: How) -> Iterator[str]:
    """Of how many readings that is the mean, and whether the band counts on more."""
    count, counted = len(reading.values), shown.case.size.readings
    if count > 1:
        differ = shown.units.text(1e3 * reading.range, "um")
        yield f"That is the mean of {count}, which differ by {differ}."
    if _are_apart(shown.case, place, reading):
        most = shown.units.text(1e3 * may_differ(shown.case, place), "um")
        yield (
            f"Two readings of one size differ by {most} at most: the land is tapered or out of round, or "
            "one is a slip. Read it again along the land and round it before you believe the mean. Taken "
            "as it is, the size is known no better than they agree."
        )
    if how != "off" and count < counted and shown.case.size.gauge is not None:
        more, then = counted - count, "take it as done" if how == "in" else "believe it"
        yield (
            f"The band counts on the mean of {counted}, taken evenly along the land and round it: read it "
            f"{'once' if more == 1 else f'{more} times'} more before you {then}."
        )


@dataclass(frozen=True)
class TableRow:
    """One size in the table of all lands. href: of its land, "" for the one that is shown."""

    name: str
    href: str
    aim: str
    band: str
    chance: str


def grounds(shown: Shown, notes: tuple[str, ...]) -> tuple[str, ...]:
    """What the band stands for: confidence, guard, and how likely what is cut ends in it."""
    part, units = shown.part, shown.units
    guard = max(band["guard_um"] for band in part["bands"])
    gauge = part["gauge"] or "a reading as good as the stated ±"
    at = part["gauge_temperature_degC"]
    warm = "" if part["gauge"] is None or at is None else f", itself at {units.temperature(at)}"
    lines = [
        f"In the band the fit stays in its window with at least {100.0 * part['confidence']:g} % "
        f"confidence; {units.text(guard, 'um')} is kept from each end of it for {gauge}{warm}."
    ]
    return (
        *(typeset(line) for line in (*lines, *_chance(shown))),
        *(typeset(f"{n[:1].upper()}{n[1:]}.") for n in notes),
    )


def _chance(shown: Shown) -> Iterator[str]:
    """How likely what is cut ends inside its band; nothing where there is no aim."""
    aimed = [band for band in shown.part["bands"] if band["chance"] is not None]
    if not aimed:
        return
    least = min(aimed, key=lambda band: band["chance"])
    first, ending = (percent_text(least[key]) for key in ("chance_at_the_first_cut", "chance"))
    scatter = shown.units.text(shown.part["turning_scatter_um"], "um")
    whose = "" if shown.part["turning_scatter_given"] else ", common practice, no source"
    spare = "large" if shown.sleeve else "small"
    yield (
        f"With a scatter of {scatter} about the aim{whose}, {first} come out inside at the first cut, and "
        f"{ending} end inside where one too {spare} is cut again."
    )
