"""Von Mises stress in the section of shell and sleeve, on one scale for both.

Along and across have scales of their own, said on the figure: walls are thin. What is not judged is dotted
and has no colour, what is beyond its limit is hatched.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

import numpy as np
from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures import svg
from hoopwright.page.figures.contours import Field, Scale, area, bands, lines, scale_bar, scale_of
from hoopwright.page.figures.map_frame import Along, Layout, axis, cross
from hoopwright.page.model import Document
from hoopwright.page.views.words import typeset

TOP = 30.0
STRETCHES = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 50)
"""Of r against z, whole numbers."""
NO_LIMIT = float("nan")


@dataclass(frozen=True)
class Body:
    """A body on a map: its grid, and stress and limit of a moment on it, in the unit shown.

    z: (lines,), mm; r, stress: (levels, lines), mm. limit: (lines,), not a number where nothing is judged.
    """

    name: str
    z: np.ndarray
    r: np.ndarray
    stress: np.ndarray
    limit: np.ndarray

    @property
    def judged(self) -> np.ndarray:
        return np.isfinite(self.limit)

    def greatest(self) -> tuple[int, int] | None:
        """Level and line where the section is nearest its limit; None where nothing is judged."""
        if not self.judged.any():
            return None
        share = np.where(self.judged, self.stress / np.where(self.limit > 0.0, self.limit, 1e-9), -np.inf)
        level, line = np.unravel_index(int(np.argmax(share)), share.shape)
        return int(level), int(line)


def bodies_of(document: Document, moment: Mapping[str, Any], factor: float) -> tuple[Body, ...]:
    """The bodies of a document in a moment. factor: from MPa to the unit shown."""
    levels = np.array(document["levels"])[:, None]
    found = []
    for grid, values in zip(document["bodies"], moment["bodies"], strict=True):
        bore, outside = np.array(grid["bore_mm"]), np.array(grid["outside_mm"])
        limit = np.array([NO_LIMIT if v is None else v for v in values["limit_MPa"]])
        found.append(
            Body(
                grid["body"],
                np.array(grid["z_mm"]),
                bore + levels * (outside - bore),
                factor * np.array(values["stress_MPa"]),
                factor * limit,
            )
        )
    return tuple(found)


def common_scale(document: Document, factor: float) -> Scale:
    """One scale for both bodies in every moment, so that nothing jumps from one to the next."""
    greatest = 0.0
    for moment in document["moments"]:
        for body in bodies_of(document, moment, factor):
            if body.judged.any():
                greatest = max(greatest, float(body.stress[:, body.judged].max()))
    return scale_of(0.0, max(greatest, 1e-6))


@dataclass(frozen=True)
class Sheet:
    """Where mm come to lie. outside: greatest radius, mm, at the top; per_r: px/mm across; stretch: of
    that against the scale along z."""

    along: Along
    outside: float
    per_r: float
    stretch: int
    height: float

    def y(self, r: float | np.ndarray) -> Any:
        return TOP + (self.outside - r) * self.per_r


def sheet_of(bodies: Sequence[Body], layout: Layout) -> Sheet:
    start, end = min(b.z[0] for b in bodies), max(b.z[-1] for b in bodies)
    outside, inside = max(b.r.max() for b in bodies), min(b.r.min() for b in bodies)
    along = Along(float(start), float(end), layout.left, layout.right)
    if along.per_mm * (outside - inside) > layout.tall:  # a short thick ring is drawn narrower
        half = 0.5 * (end - start) * layout.tall / (outside - inside)
        middle = 0.5 * (layout.left + layout.right)
        along = Along(float(start), float(end), middle - half, middle + half)
    deep = along.per_mm * (outside - inside)
    stretch = max(s for s in STRETCHES if s == 1 or s * deep <= layout.tall)
    return Sheet(along, float(outside), stretch * along.per_mm, stretch, stretch * deep)


def section_map(
    bodies: Sequence[Body], scale: Scale, units: Units, layout: Layout, prefix: str, words: tuple[str, str]
) -> Markup:
    """The map. words: its name and what it shows, in a sentence."""
    prefix = f"{prefix}-{layout.prefix}"
    sheet = sheet_of(bodies, layout)
    below = TOP + sheet.height
    dots, beyond = f"{prefix}-dots", f"{prefix}-beyond"
    height = below + 118.0
    along = f"z from the left face, {units.label('mm')}"
    if sheet.stretch > 1:
        along += f"; r drawn {sheet.stretch} times" + (" as large" if layout.roomy else "")
    return svg.picture(
        prefix,
        (layout.width, height),
        *words,
        svg.tag("defs", _dots(dots), svg.hatching(beyond, "beyond-line", 45.0, 7.0)),
        *(_body(body, sheet, scale, dots, beyond, layout) for body in bodies),
        *(_mark(body, sheet, units, layout) for body in bodies),
        axis(sheet.along, below + 10.0, units, along),
        scale_bar(scale, layout.left, layout.right - layout.left, below + 82.0, _scale_name(units, layout)),
        cross(prefix, TOP - 6.0, below + 6.0, sheet.along.left, sheet.along.right),
        class_=f"map {layout.class_}",
        data_left=svg.at(sheet.along.left),
        data_z=f"{sheet.along.start:.6g}",
        data_per_z=f"{sheet.along.per_mm:.9g}",
        data_top=svg.at(TOP),
        data_r=f"{sheet.outside:.6g}",
        data_per_r=f"{sheet.per_r:.9g}",
    )


def _scale_name(units: Units, layout: Layout) -> str:
    return f"von Mises stress, {units.label('MPa')}" + (", one scale for both" if layout.roomy else "")


def _dots(id_: str) -> Markup:
    return svg.tag(
        "pattern",
        svg.circle((2.0, 2.0), 0.9, "unjudged-dot"),
        id=id_,
        width=7,
        height=7,
        patternUnits="userSpaceOnUse",
    )


def _body(body: Body, sheet: Sheet, scale: Scale, dots: str, beyond: str, layout: Layout) -> Markup:
    """Bands and lines of one body, with what is not judged and what is beyond its limit."""
    x = np.broadcast_to([sheet.along.x(float(z)) for z in body.z], body.r.shape)
    y = sheet.y(body.r)
    outline = [*zip(x[-1], y[-1], strict=True), *reversed(list(zip(x[0], y[0], strict=True)))]
    fields, over = [], []
    for start, end in _stretches(body.judged):
        part = slice(start, end)
        fields.append(Field(x[:, part], y[:, part], body.stress[:, part]))
        share = body.stress[:, part] / np.where(body.limit[part] > 0.0, body.limit[part], 1e-9)
        over.append(Field(x[:, part], y[:, part], share))
    return svg.joined(
        (
            svg.polygon(outline, "unjudged", fill=f"url(#{dots})"),
            bands(fields, scale),
            area(over, 1.0, float("inf"), "beyond", fill=f"url(#{beyond})"),
            lines(fields, scale, _beside(body, sheet, layout)),
            svg.polygon(outline, "outline"),
            _name(body, sheet, y),
        )
    )


def _stretches(judged: np.ndarray) -> list[tuple[int, int]]:
    """Stretches of lines that are judged, from and up to, of two at least."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], judged, [False]]).astype(int)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def _name(body: Body, sheet: Sheet, y: np.ndarray) -> Markup:
    """The name of a body beside it, at the left."""
    place = (sheet.along.left - 8.0, 0.5 * float(y[0, 0] + y[-1, 0]) + 4.0)
    return svg.words(place, body.name, "label", "end")


def _mark(body: Body, sheet: Sheet, units: Units, layout: Layout) -> Markup:
    """The place in the section nearest to the limit of a body, with its stress."""
    found = body.greatest()
    if found is None:
        return Markup()
    (x, y), place, at_left = _peak(body, sheet, layout, found)
    decimals = 2 if units.system == "inch" else 1
    text = f"{body.stress[found]:.{decimals}f} {units.label('MPa')}"
    leader = svg.line((x, y - 5.0), (x, place[1] + 2.0), "leader") if place[1] < TOP else Markup()
    return svg.joined(
        (
            leader,
            svg.circle((x, y), 5.0, "peak"),
            svg.circle((x, y), 2.0, "peak-dot"),
            svg.words(place, typeset(text), "strong halo", "start" if at_left else "end"),
        )
    )


def _peak(
    body: Body, sheet: Sheet, layout: Layout, found: tuple[int, int]
) -> tuple[svg.Point, svg.Point, bool]:
    """Where the peak lies, where its text begins or ends, and whether it begins there: that of the shell
    above the section, that of the sleeve beside its place."""
    level, line = found
    x, y = sheet.along.x(float(body.z[line])), float(sheet.y(body.r[level, line]))
    at_left = x < 0.5 * layout.width
    if body.name == "shell":
        return (x, y), (x + (6.0 if at_left else -6.0), TOP - 12.0), at_left
    return (x, y), (x + (9.0 if at_left else -9.0), y - 7.0), at_left


def _beside(body: Body, sheet: Sheet, layout: Layout) -> list[svg.Point]:
    """What the numbers on the lines keep clear of: the middle of the text of the peak, from end to end."""
    found = body.greatest()
    if found is None:
        return []
    _, (x, y), at_left = _peak(body, sheet, layout, found)
    return [(x + (reach if at_left else -reach), y - 4.0) for reach in (0.0, 40.0, 80.0)]


def is_beyond(bodies: Sequence[Body]) -> bool:
    """Whether the stress is beyond its limit anywhere that is judged."""
    return any(
        isfinite(limit) and bool(np.any(stress > limit))
        for body in bodies
        for limit, stress in zip(body.limit, body.stress.T, strict=True)
    )
