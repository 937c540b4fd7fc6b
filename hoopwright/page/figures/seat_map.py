"""The unrolled seat: a value over z and θ, hatched beyond its limit, with what is nearest to it marked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures import svg
from hoopwright.page.figures.contours import Field, Scale, area, bands, lines, scale_bar, scale_of
from hoopwright.page.figures.map_frame import Along, Layout, axis, cross

TOP, TALL = 22.0, 216.0
DIRECTIONS = ((0, "forward"), (90, "up"), (180, "rear"), (270, "down"), (360, "forward"))
WHOLE = 360.0
COVERED = 0.95
"""Share of the seat whose pressure is never above its scale: at the ends of contact it is singular."""


@dataclass(frozen=True)
class Seat:
    """A map of the seat in the unit shown.

    z: (pairs,), mm; theta: (angles + 1,), degrees, the first again at the end. value: (angles + 1, pairs).
    judged: (pairs,). runs: stretches without a gap. nearest: value, z and theta. limit: which the value
    passes where the seat fails; below: it fails below it, else above. unit: of the value.
    """

    z: np.ndarray
    theta: np.ndarray
    value: np.ndarray
    judged: np.ndarray
    runs: tuple[tuple[int, int], ...]
    nearest: tuple[float, float, float]
    limit: float
    below: bool
    scale: Scale


def seat_of(found: Mapping[str, Any], key: str, factor: float) -> Seat:
    """The seat of a document. key: of its value; factor: from the unit of the document to that shown."""
    value = factor * np.array(found[key]).T
    theta, opens = np.array(found["theta_deg"]), key == "pressure_MPa"
    judged = np.array(found["judged"], dtype=bool)
    shown = value[:, judged] if judged.any() else value
    top = float(np.quantile(shown, COVERED)) if opens else 1.0
    low = min(float(shown.min()), 0.0) if opens else 0.0
    scale = scale_of(low, max(top, 1e-6), is_open=float(shown.max()) > top)
    nearest = found["nearest"]
    return Seat(
        np.array(found["z_mm"]),
        np.append(theta, theta[0] + WHOLE),
        np.vstack([value, value[:1]]),
        judged,
        tuple((int(a), int(b)) for a, b in found["runs"]),
        (factor * nearest[key], nearest["z_mm"], nearest["theta_deg"]),
        limit=0.0 if opens else 1.0,
        below=opens,
        scale=scale,
    )


def seat_map(
    seat: Seat, units: Units, layout: Layout, prefix: str, words: tuple[str, str], texts: tuple[str, str]
) -> Markup:
    """The map. words: its name and what it shows; texts: name of the scale, and of the mark."""
    prefix = f"{prefix}-{layout.prefix}"
    left = layout.left + (0.0 if layout.roomy else 18.0)
    start, end = float(seat.z[0]), float(seat.z[-1])
    along, below = Along(start, max(end, start + 1e-6), left, layout.right), TOP + TALL
    dots, beyond = f"{prefix}-dots", f"{prefix}-beyond"
    fields = list(_fields(seat, along))
    range_ = (-np.inf, seat.limit) if seat.below else (seat.limit, np.inf)
    said = f"z from the left face, {units.label('mm')}; angles seen from the drive side"
    return svg.picture(
        prefix,
        (layout.width, below + 114.0),
        *words,
        svg.tag(
            "defs",
            svg.tag(
                "pattern",
                svg.circle((2.0, 2.0), 0.9, "unjudged-dot"),
                id=dots,
                width=7,
                height=7,
                patternUnits="userSpaceOnUse",
            ),
            svg.hatching(beyond, "beyond-line", 45.0, 7.0),
        ),
        svg.tag(
            "rect",
            x=left,
            y=TOP,
            width=layout.right - left,
            height=TALL,
            class_="unjudged",
            fill=f"url(#{dots})",
        ),
        bands(fields, seat.scale),
        area(fields, *range_, "beyond", fill=f"url(#{beyond})"),
        lines(fields, seat.scale, _beside(seat, along, layout)),
        svg.tag("rect", x=left, y=TOP, width=layout.right - left, height=TALL, class_="outline"),
        _angles(left, layout),
        _mark(seat, along, layout, texts[1]),
        axis(along, below, units, said if layout.roomy else said.partition(";")[0]),
        scale_bar(seat.scale, left, layout.right - left, below + 74.0, texts[0]),
        cross(prefix, TOP, below, left, layout.right),
        class_=f"map {layout.class_}",
        data_left=svg.at(left),
        data_z=f"{start:.6g}",
        data_per_z=f"{along.per_mm:.9g}",
        data_top=svg.at(TOP),
        data_per_theta=f"{TALL / WHOLE:.9g}",
        data_bottom=svg.at(below),
    )


def y_of(theta: float | np.ndarray) -> Any:
    """θ goes upwards, from 0 at the foot."""
    return TOP + TALL - np.asarray(theta) * TALL / WHOLE


def _fields(seat: Seat, along: Along) -> Iterator[Field]:
    """The stretches that are judged and have no gap."""
    for first, last in seat.runs:
        edges = np.flatnonzero(
            np.diff(np.concatenate([[False], seat.judged[first:last], [False]]).astype(int))
        )
        for a, b in zip(edges[::2] + first, edges[1::2] + first, strict=True):
            if b - a > 1:
                x = np.array([along.x(float(z)) for z in seat.z[a:b]])
                value = seat.value[:, a:b]
                grid_x, grid_y = np.meshgrid(x, y_of(seat.theta))
                yield Field(grid_x, grid_y, value)


def _angles(left: float, layout: Layout) -> Markup:
    shapes = []
    for theta, said in DIRECTIONS:
        y = float(y_of(theta))
        text = f"{said} {theta}°" if layout.roomy else f"{said}"
        shapes.append(svg.line((left - 6.0, y), (left, y), "tick"))
        shapes.append(svg.words((left - 9.0, y + 4.0), text, "label", "end"))
    return Markup("").join(shapes)


def _mark(seat: Seat, along: Along, layout: Layout, text: str) -> Markup:
    (x, y), place, at_left = _peak(seat, along, layout)
    return svg.joined(
        (
            svg.circle((x, y), 5.0, "peak"),
            svg.circle((x, y), 2.0, "peak-dot"),
            svg.words(place, text, "strong halo", "start" if at_left else "end"),
        )
    )


def _peak(seat: Seat, along: Along, layout: Layout) -> tuple[svg.Point, svg.Point, bool]:
    """Where the seat is nearest its limit, where the text of it begins or ends, and whether it begins."""
    _, z, theta = seat.nearest
    x, y = along.x(z), float(y_of(theta))
    at_left = x < 0.55 * layout.width
    return (x, y), (x + (10.0 if at_left else -10.0), y + (16.0 if y < TOP + 20.0 else -8.0)), at_left


def _beside(seat: Seat, along: Along, layout: Layout) -> list[svg.Point]:
    """What the numbers on the lines keep clear of: the middle of the text of the mark, from end to end."""
    _, (x, y), at_left = _peak(seat, along, layout)
    return [(x + (reach if at_left else -reach), y - 4.0) for reach in (0.0, 40.0, 80.0)]
