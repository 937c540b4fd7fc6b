"""Maps of the joint in use for the template: figures, what they show in words, the same as tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from markupsafe import Markup

from hoopwright.checks.thin_side import runs_out
from hoopwright.display import Units
from hoopwright.display.rows import when_text
from hoopwright.page.figures.map_frame import LAYOUTS
from hoopwright.page.figures.seat_map import Seat, seat_map, seat_of
from hoopwright.page.figures.section_map import Body, bodies_of, common_scale, is_beyond, section_map
from hoopwright.page.model import Bench, Document
from hoopwright.page.views.opened import STATES
from hoopwright.page.views.rows import NUMBERS
from hoopwright.page.views.words import capital, margin_shown, typeset

STATIONS = 7
"""Places along z in the tables."""
DIRECTIONS = ("forward", "up", "rear", "down")
SURFACES = (
    ("sleeve", 0, "sleeve bore"),
    ("sleeve", -1, "sleeve outside"),
    ("shell", 0, "shell bore"),
    ("shell", -1, "shell outside"),
)
SEATS = {
    "opening": ("Contact pressure over the seat", "joint_opens"),
    "slip": ("Share of the grip that shear takes", "joint_slips"),
}
"""Name of a map, and the row that it is of."""
GRIP_ENDS = 99.0
"""Share of the grip that stands for all above."""


@dataclass(frozen=True)
class BodyLine:
    """A body in the moment: where it is nearest to yield in the section, and all round."""

    body: str
    in_section: str
    all_round: str
    limit: str


@dataclass(frozen=True)
class Station:
    """Values at one z, in the order of the heads."""

    z: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class MapView:
    """A map that a reader may walk over.

    id: of its frame; kind: which the script reads it as; name: of the frame. figures: one for each width.
    says: what it shows. heads, stations: the same as a table. bodies: of a section. address: of the values;
    the rest is how the script finds and writes them: moment or part of the document, units, decimals,
    factors from mm and MPa.
    """

    id: str
    kind: str
    name: str
    figures: tuple[Markup, ...]
    says: tuple[str, ...]
    heads: tuple[str, ...]
    stations: tuple[Station, ...]
    address: str
    part: str
    units: Mapping[str, str]
    bodies: tuple[BodyLine, ...] = ()


@dataclass(frozen=True)
class TemperatureColumn:
    name: str
    temperature: str
    interference: tuple[str, str, str]
    pressure: tuple[str, str, str]


def script_units(units: Units) -> dict[str, str]:
    """Units, decimals and factors for the script: those of the tables of the page."""
    inch = units.system == "inch"
    return {
        "length": units.label("mm"),
        "stress": units.label("MPa"),
        "per-mm": f"{float(units.number(1.0, 'mm', decimals=9)):.9g}",
        "per-mpa": f"{float(units.number(1.0, 'MPa', decimals=9)):.9g}",
        "along": "2" if inch else "1",
        "across": "3" if inch else "2",
        "digits": "2" if inch else "1",
    }


def factor_of(units: Units) -> float:
    """From MPa to the unit shown."""
    return float(units.number(1.0, "MPa", decimals=9))


def values_address(bench: Bench) -> str:
    return f"maps.json?of={bench.version[:16]}"


def chosen_moment(maps: Document, asked: str) -> dict[str, Any]:
    """The moment that the address asks for, else the one nearest to yield."""
    found: list[dict[str, Any]] = maps["moments"]
    return next((moment for moment in found if moment["id"] == asked), found[0])


def stress_view(bench: Bench, maps: Document, moment: Mapping[str, Any]) -> MapView:
    """The stress in the section in a moment."""
    units, factor = bench.units, factor_of(bench.units)
    bodies, scale = bodies_of(maps, moment, factor), common_scale(maps, factor)
    says = tuple(_stress_says(bench, moment, bodies))
    words = f"Von Mises stress in the section, {moment_words(moment, units)}", " ".join(says)
    return MapView(
        "stress-map",
        "section",
        "Map of the stress in the section",
        tuple(section_map(bodies, scale, units, one, "stress", words) for one in LAYOUTS),
        says,
        tuple(capital(name) for _, _, name in SURFACES),
        tuple(_stress_stations(bodies, units)),
        values_address(bench),
        moment["id"],
        script_units(units),
        tuple(_body_lines(moment, bodies, units)),
    )


def moment_words(moment: Mapping[str, Any], units: Units) -> str:
    where = {"state": moment["state"]}
    return typeset(f"{when_text(where, units)}, interference {units.text(moment['interference_um'], 'um')}")


def angle_words(theta: float) -> str:
    """An angle with the direction nearest to it: "279°, down"."""
    return f"{theta:.0f}°, {DIRECTIONS[round(theta / 90.0) % 4]}"


def _stress_says(bench: Bench, moment: Mapping[str, Any], bodies: tuple[Body, ...]) -> Iterator[str]:
    units, theta = bench.units, moment["theta_deg"]
    yield capital(f"{moment_words(moment, units)}.")
    if theta is None:
        yield "The same at every angle."
    else:
        yield f"Section at {angle_words(theta)}, where the {moment['nearest']} is nearest to yield."
    for row in moment["rows"]:
        yield _against_row(bench, moment, row)
    if is_beyond(bodies):
        yield "Hatched: beyond its limit."
    if any(not body.judged.all() for body in bodies):
        yield "Dotted: not judged, beside an edge of the clamp."


def _against_row(bench: Bench, moment: Mapping[str, Any], row: Mapping[str, Any]) -> str:
    """The map against the row that it governs: where the two differ, it is said why."""
    units, body = bench.units, row["id"].removesuffix("_yields")
    nearest = next(b["nearest"] for b in moment["bodies"] if b["body"] == body)
    start = f"It governs row {NUMBERS[row['id']]}, {row['title']}, {margin_shown(row['margin'])}"
    demand, error = row["demand_MPa"], row["numerical_error_MPa"]
    if demand is None or nearest is None:
        return typeset(f"{start}.")
    shown = f"{units.number(demand, 'MPa')} ± {units.text(error, 'MPa')}"
    text = f"{start}, which judges {shown}; here its greatest is {units.text(nearest['stress_MPa'], 'MPa')}"
    rise = demand / nearest["stress_MPa"] if nearest["stress_MPa"] > 0.0 else 1.0
    if abs(demand - nearest["stress_MPa"]) <= error + 1e-3 * demand:
        return typeset(f"{text}.")
    if bench.case is not None and runs_out(bench.case, body):
        return typeset(f"{text}, times {rise:.3f} for the thin side of its wall.")
    return typeset(f"{text}. The row is right: the map is of one mesh.")


def _body_lines(moment: Mapping[str, Any], bodies: tuple[Body, ...], units: Units) -> Iterator[BodyLine]:
    for body, values in reversed(list(zip(bodies, moment["bodies"], strict=True))):
        found, nearest = body.greatest(), values["nearest"]
        if found is None or nearest is None:
            yield BodyLine(capital(body.name), "not judged", "not judged, beside the clamp", "")
            continue
        level, line = found
        share = body.stress[level, line] / body.limit[line] if body.limit[line] > 0.0 else None
        section = f"{_shown(body.stress[level, line], units)}, z {units.along(float(body.z[line]))}"
        around = nearest["theta_deg"]
        place = f"{nearest['surface']}, z {units.along(nearest['z_mm'])}" + (
            "" if around is None else f", {angle_words(around)}"
        )
        yield BodyLine(
            capital(body.name),
            typeset(f"{section}: {share_words(share)}"),
            typeset(
                f"{units.text(nearest['stress_MPa'], 'MPa')}, {place}: {share_words(nearest['share'])}"
            ),
            typeset(units.text(nearest["limit_MPa"], "MPa")),
        )


def share_words(share: float | None) -> str:
    return "no wall is left for it" if share is None else f"{share:.2f} of its limit"


def _shown(value: float, units: Units) -> str:
    """A stress that is in the unit shown already."""
    return f"{value:.{2 if units.system == 'inch' else 1}f} {units.label('MPa')}"


def _stress_stations(bodies: tuple[Body, ...], units: Units) -> Iterator[Station]:
    """Stress on every surface at even places along the sleeve."""
    named = {body.name: body for body in bodies}
    sleeve = named["sleeve"]
    for z in np.linspace(sleeve.z[0], sleeve.z[-1], STATIONS):
        values = []
        for name, level, _ in SURFACES:
            body = named[name]
            if not body.z[0] - 1e-6 <= z <= body.z[-1] + 1e-6:
                values.append("–")
                continue
            judged = np.isfinite(np.interp(z, body.z, body.limit))
            values.append(
                _shown(float(np.interp(z, body.z, body.stress[level])), units) if judged else "not judged"
            )
        yield Station(typeset(units.along(float(z))), tuple(map(typeset, values)))


def opening_view(bench: Bench, maps: Document) -> MapView | None:
    """Contact pressure where the joint comes nearest to opening; None where nothing is judged."""
    found, units = maps["seat"]["opening"], bench.units
    if found is None:
        return None
    seat = seat_of(found, "pressure_MPa", factor_of(units))
    lowest, z, theta = seat.nearest
    place = f"z {units.along(z)}, {angle_words(theta)}"
    text = _shown(lowest, units)
    first = (
        f"It opens first at {place}: {_shown(-lowest, units)} more is taken off than there is."
        if lowest < 0.0
        else f"Nearest to opening at {place}: {text} of pressure is left."
    )
    texts = f"pressure, {units.label('MPa')}", text
    return _seat_view(bench, seat, found, "opening", first, texts)


def slip_view(bench: Bench, maps: Document) -> MapView | None:
    """The share of the grip that shear takes, where the joint comes nearest to slip."""
    found, units = maps["seat"]["slip"], bench.units
    if found is None:
        return None
    seat = seat_of(found, "share_of_grip", 1.0)
    share, z, theta = seat.nearest
    place = f"z {units.along(z)}, {angle_words(theta)}"
    text = "no grip" if share >= GRIP_ENDS else f"{share:.2f}"
    if share >= GRIP_ENDS:
        first = f"It slips first at {place}: hardly any grip is left there."
    elif share > 1.0:
        first = f"It slips first at {place}: shear is {share:.2f} times what is held there."
    else:
        first = f"Nearest to slip at {place}: shear takes {share:.2f} of what is held."
    return _seat_view(bench, seat, found, "slip", first, ("shear over what is held", text))


def _seat_view(
    bench: Bench, seat: Seat, found: Mapping[str, Any], part: str, first: str, texts: tuple[str, str]
) -> MapView:
    """texts: name of the scale, and of the mark."""
    units, (name, row) = bench.units, SEATS[part]
    lines = (first, *_seat_says(bench, seat, found, row, part))
    words = name, " ".join(map(typeset, lines))
    return MapView(
        f"{part}-map",
        part,
        f"Map: {name[0].lower()}{name[1:]}",
        tuple(seat_map(seat, units, one, part, words, (texts[0], typeset(texts[1]))) for one in LAYOUTS),
        tuple(map(typeset, lines)),
        tuple(f"{capital(word)} {90 * k}°" for k, word in enumerate(DIRECTIONS)),
        tuple(_seat_stations(seat, units, part)),
        values_address(bench),
        part,
        script_units(units),
    )


def _seat_says(bench: Bench, seat: Seat, found: Mapping[str, Any], row: str, part: str) -> Iterator[str]:
    judged = row_words(bench, row)
    if judged:
        yield judged
    yield f"{capital(when_text({'state': found['state']}, bench.units))}, loosest fit."
    yield f"Averaged over {bench.units.along(found['averaged_over_mm'])} to either side along the seat."
    value = seat.value[:, seat.judged]
    if np.any(value < seat.limit if seat.below else value > seat.limit):
        yield {"opening": "Hatched: open.", "slip": "Hatched: it slips."}[part]
    if not seat.judged.all():
        yield "Dotted: not judged, beside an end or an edge of the clamp."


def row_words(bench: Bench, id_: str) -> str:
    """What a row says of the joint in use: "Row 15, joint opens, in use: +1.55, holds."; "" where the check
    does not judge it then."""
    check = bench.answer("check") or {"checks": ()}
    row = next((one for one in check["checks"] if one["id"] == id_), None)
    if row is None:
        return ""
    start = f"Row {NUMBERS[id_]}, {row['title']}, in use"
    cell = next((c for c in row["cells"] if c["where"]["stage"] == "in use"), None)
    if cell is None:
        return f"{start}: not judged. {capital(row['note'])}." if row["note"] else ""
    return f"{start}: {margin_shown(cell['margin'])}, {STATES[cell['state']]}."


def _seat_stations(seat: Seat, units: Units, part: str) -> Iterator[Station]:
    for z in np.linspace(seat.z[0], seat.z[-1], STATIONS):
        k = int(np.argmin(np.abs(seat.z - z)))
        values = []
        for theta in range(0, 360, 90):
            value = float(np.interp(theta, seat.theta, seat.value[:, k]))
            values.append(_seat_value(value, units, part) if seat.judged[k] else "not judged")
        yield Station(typeset(units.along(float(seat.z[k]))), tuple(map(typeset, values)))


def _seat_value(value: float, units: Units, part: str) -> str:
    if part == "opening":
        return _shown(value, units)
    return "no grip" if value >= GRIP_ENDS else f"{value:.2f}"


def temperatures_view(bench: Bench, maps: Document) -> tuple[TemperatureColumn, ...]:
    """Interference and pressure from the coldest in use to the hottest."""
    found, units = maps["temperatures"], bench.units
    range_ = None if bench.case is None else bench.case.temperatures
    named = {} if range_ is None else {range_.use_min: "coldest", range_.use_max: "hottest"}

    def three(values: Mapping[str, float], unit: str) -> tuple[str, str, str]:
        least, likely, greatest = (
            typeset(units.text(values[key], unit)) for key in ("least", "likely", "greatest")
        )
        return least, likely, greatest

    return tuple(
        TemperatureColumn(
            named.get(round(one["temperature_degC"] - 20.0, 6), "as pressed"),
            typeset(units.temperature(one["temperature_degC"])),
            three(one["interference_um"], "um"),
            three(one["pressure_MPa"], "MPa"),
        )
        for one in found
    )
