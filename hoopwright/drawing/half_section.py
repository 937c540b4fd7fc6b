"""A part in half section: cut above the axis, seen from outside below it, with its dimensions.

Everything in mm on paper; x from the left end of the part, y from the axis.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from hoopwright.display import Units
from hoopwright.drawing import dimension_marks as dimensions
from hoopwright.drawing.marks import (
    DimensionMark,
    Hatch,
    Label,
    Line,
    Mark,
    corners,
    interrupted,
    text_width_mm,
)
from hoopwright.drawing.profile import SAME, Place, Profile, steps
from hoopwright.drawing.sizes import BORES, THREADS, Content, Part, Size
from hoopwright.drawing.wording import dimension_lines
from hoopwright.entry import entry_side
from hoopwright.geometry.land import End, opposite

FIRST_ROW, ROW = 6.0, 6.5
"""From the part to the first row of lengths, and from row to row, mm on paper."""
BESIDE = 6.0
"""From the part to the first diameter beside it, to which its text adds, mm on paper."""
SEEN_STEP = 0.25
"""mm on paper: a lesser step of the outside is told by a narrow line between two tolerances."""
TITLE_HEIGHT = 3.0


@dataclass(frozen=True)
class View:
    """One part on the paper at a scale, mm on paper per mm."""

    content: Content
    part: Part
    profile: Profile
    scale: float
    units: Units

    def x(self, z: float) -> float:
        return self.scale * (z - self.profile.ends[0])

    def at(self, place: Place) -> tuple[float, float]:
        return self.x(place[0]), self.scale * place[1]

    def words(self, size: Size) -> tuple[str, ...]:
        return dimension_lines(size, self.units)


def half_section(view: View) -> tuple[Mark, ...]:
    """The part with its dimensions and its title."""
    bores, above = _bores(view), _lengths_above(view)
    depth = min((corners([one])[0][1] for one in bores), default=0.0)
    marks = interrupted(
        (
            *_cut_half(view),
            *_seen_half(view),
            *_axis(view),
            *bores,
            *above,
            *_diameters(view, bores),
            *_lengths_below(view, depth),
            *_notes(view, above),
        )
    )
    top = corners(marks)[1][1] + 3.5
    title = f"{view.part.capitalize()}, half section"
    return (*marks, Label(title, (0.0, top), TITLE_HEIGHT, "left", bold=True))


def _cut_half(view: View) -> tuple[Mark, ...]:
    """The cut face, its threads, and the edges of the bore behind it."""
    own = view.profile
    face = tuple(view.at(place) for place in own.closed)
    marks: list[Mark] = [Hatch(face, rising=view.part == "sleeve"), Line((*face, face[0]))]
    edges = [(z, low) for z, low, _ in steps(own.inner)]
    edges += [(own.inner[0][0], own.inner[0][1]), (own.inner[-1][0], own.inner[-1][1])]
    wide = [(z, r) for z, r in edges if view.scale * _step_at(own, z) >= SEEN_STEP or z in own.ends]
    marks += [Line((view.at((z, 0.0)), view.at((z, r)))) for z, r in wide]
    marks += [Line((view.at((z, 0.0)), view.at((z, r))), "thin") for z, r in edges if (z, r) not in wide]
    for start, end, root in own.threads:  # ISO 6410-1: the root narrow, the end of the thread wide
        marks.append(Line((view.at((start, root)), view.at((end, root))), "thin"))
        for z in {start, end} - set(own.ends):
            crest = min(r for at, r in own.inner if abs(at - z) < 1e-9)
            marks.append(Line((view.at((z, crest)), view.at((z, root)))))
    return (*marks, *_cut_later(view))


def _cut_later(view: View) -> tuple[Line, ...]:
    """The finished bore inside the blank, one line along stretches that adjoin: ISO 128, 05.1."""
    own = view.profile
    outlines: list[list[Place]] = []
    for start, end, radius in own.later:
        if not outlines or abs(outlines[-1][-1][0] - start) > SAME:
            outlines.append([])
        outlines[-1] += [(start, radius), (end, radius)]
    for outline in outlines:  # up from the blank where it does not begin or end at a face
        (start, _), (end, _) = outline[0], outline[-1]
        if abs(start - own.ends[0]) > SAME:
            outline.insert(0, (start, _bore_at(own, start)))
        if abs(end - own.ends[1]) > SAME:
            outline.append((end, _bore_at(own, end)))
    return tuple(Line(tuple(view.at(place) for place in one), "phantom") for one in outlines)


def _bore_at(own: Profile, z: float) -> float:
    """Least radius of the bore at z, mm."""
    reaching = (two for two in pairwise(own.inner) if two[0][0] - SAME <= z <= two[1][0] + SAME)
    return min(r for two in reaching for _, r in two)


def _step_at(own: Profile, z: float) -> float:
    return max((high - low for at, low, high in steps(own.inner) if abs(at - z) < 1e-9), default=0.0)


def _seen_half(view: View) -> tuple[Mark, ...]:
    """The outside below the axis: its outline, the edges of steps and chamfers, and narrow lines between
    lands that differ in their limits alone."""
    own = view.profile
    mirrored = tuple(view.at((z, -r)) for z, r in own.outer)
    ends = (view.at((own.outer[0][0], 0.0)), view.at((own.outer[-1][0], 0.0)))
    seen = {z: high for z, low, high in steps(own.outer) if view.scale * (high - low) >= SEEN_STEP}
    for (za, ra), (zb, rb) in pairwise(own.outer):
        if zb > za and view.scale * abs(rb - ra) >= SEEN_STEP:  # a chamfer or a cone begins and ends
            seen |= {z: r for z, r in ((za, ra), (zb, rb)) if z not in own.ends}
    lands = view.content.of(view.part, "outside")
    between = {z: low for z, low, _ in steps(own.outer) if z not in seen}
    between |= {one.z_end: 0.5 * one.plotted for one in lands[:-1] if one.z_end not in seen}
    return (
        Line((ends[0], *mirrored, ends[1])),
        *(Line((view.at((z, 0.0)), view.at((z, -r)))) for z, r in seen.items()),
        *(Line((view.at((z, 0.0)), view.at((z, -r))), "thin") for z, r in between.items()),
    )


def _axis(view: View) -> tuple[Mark, ...]:
    start, end = (view.x(z) for z in view.profile.ends)
    return (Line(((start - 4.0, 0.0), (end + 4.0, 0.0)), "centre"),)


def _bores(view: View) -> tuple[DimensionMark, ...]:
    """Diameters of the bore, each with its text on a row of its own in the seen half: inwards from either
    end, the inner ones higher up, so that no dimension line crosses a text. Below the part where there is
    no row left in it."""
    sizes = view.content.of(view.part, *BORES, *THREADS)
    marks, y = [], -2.0
    order = sorted(sizes, key=lambda s: (abs(_from_middle(view, s)), s.z_start, s.after_pressing))
    for size in order:
        lines, x, text_x, rightwards = _bore_text(view, size)
        height = len(lines) * dimensions.LINE_FEED * dimensions.TEXT + 1.0
        inside = y - height > 1.0 - view.scale * view.profile.greatest
        y = (y if inside else min(y, -0.5 - view.scale * view.profile.greatest)) - height
        radius = 0.5 * view.scale * size.plotted
        marks.append(
            dimensions.bore(size.name, lines, x=x, radius=radius, text=(text_x, y), rightwards=rightwards)
        )
    return tuple(marks)


def _from_middle(view: View, size: Size) -> float:
    """z of the middle of a zone from the middle of the part, mm; 0 where that is the same."""
    found = 0.5 * (size.z_start + size.z_end) - 0.5 * sum(view.profile.ends)
    return 0.0 if abs(found) < 1e-6 else found


def _bore_text(view: View, size: Size) -> tuple[tuple[str, ...], float, float, bool]:
    """Text of a bore, x of its dimension line, x from which the text goes on, and whether to the right.

    On one line where there is room up to the far end of the part, else on several; where there is none for
    those either, outside the part on the nearer side.
    """
    lines, off = view.words(size), _from_middle(view, size)
    joined = (", " if size.thread else " / ").join(lines)
    wide, narrow = (max(text_width_mm(t, dimensions.TEXT) for t in ts) + 3.0 for ts in ((joined,), lines))
    (a, b), whole = (view.x(size.z_start), view.x(size.z_end)), view.x(view.profile.ends[1])
    share = 0.35
    if size.after_pressing:  # further out than the blank, which stands above it
        share = 0.22 if off else 0.15
    x = a + (share if off <= 0.0 else 1.0 - share) * (b - a)
    if (
        not off and not size.after_pressing
    ):  # its text stands under the middle, or right of what is cut later
        x = 0.5 * (a + b) if view.profile.later else max(a + 0.2 * (b - a), 0.5 * (a + b) - 0.5 * wide)
    room = whole - x if off <= 0.0 else x
    if narrow > room:
        leftwards = off < 0.0 or (not off and len(view.content.of(view.part, "outside")) == 1)
        return lines, x, -1.0 if leftwards else whole + 1.0, not leftwards
    return ((joined,) if wide <= room else lines), x, x, off <= 0.0


def _diameters(view: View, bores: tuple[DimensionMark, ...]) -> tuple[Mark, ...]:
    """Diameters of the outside, each beside the end it is nearer to, the lesser nearer to the part, and
    beyond the texts of the bore."""
    sizes = view.content.of(view.part, "outside", "flange")
    left = [one for one in sizes if _is_left(view, one, several=len(sizes) > 1)]
    right = [one for one in sizes if one not in left]
    whole = view.x(view.profile.ends[1])
    taken = corners(bores) if bores else ((0.0, 0.0), (whole, 0.0))
    marks: list[Mark] = []
    for face, own in ((0.0, left), (whole, right)):
        side = 1.0 if face else -1.0
        x = (max(face, taken[1][0]) if face else min(face, taken[0][0])) + side * BESIDE
        for size in sorted(own, key=lambda one: one.plotted):
            words = view.words(size)
            room = dimensions.upright_room(words)
            x += room if face else 0.0  # its text stands to the left of its line
            radius = 0.5 * view.scale * size.plotted
            marks.append(dimensions.upright(size.name, words, x=x, part=face, radius=radius))
            x += 2.0 if face else -room - 1.0
    return tuple(marks)


def _is_left(view: View, size: Size, *, several: bool) -> bool:
    """Whether a diameter stands on the left: a flange at its own end, and what it hides at the other."""
    flanged = view.content.case.sleeve.flange_end if view.part == "sleeve" else None
    if flanged is not None:
        return (size.feature == "flange") is (flanged == "left")
    return several and _from_middle(view, size) <= 0.0


def _lengths_above(view: View) -> tuple[Mark, ...]:
    """Lengths of the zones of the bore."""
    y = view.scale * view.profile.greatest + FIRST_ROW
    return _row_of_lengths(view, view.content.of(view.part, "bore length"), y)


def _lengths_below(view: View, depth: float) -> tuple[Mark, ...]:
    """Lengths of the lands of the outside and of a flange, and of the whole. depth: y of the lowest text in
    the part."""
    y = min(-view.scale * view.profile.greatest, depth) - FIRST_ROW - 2.5
    lands = view.content.of(view.part, "outside length", "flange thickness")
    whole = _row_of_lengths(view, view.content.of(view.part, "length"), y - (ROW if lands else 0.0))
    return (*_row_of_lengths(view, lands, y), *whole)


def _row_of_lengths(view: View, sizes: tuple[Size, ...], y: float) -> tuple[Mark, ...]:
    """A chain of lengths, the text of one beside that of the last where there is no room."""
    own, marks, low = view.profile, [], float("-inf")
    side = 1.0 if y > 0.0 else -1.0
    for size in sizes:
        start, end = ((view.x(z), side * view.scale * _edge(own, z)) for z in (size.z_start, size.z_end))
        mark = dimensions.along(size.name, view.words(size), start=start, end=end, y=y, low=low)
        marks.append(mark)
        low = max(low, corners(one for one in mark.marks if isinstance(one, Label))[1][0] + 1.0)
    return tuple(marks)


def _edge(own: Profile, z: float) -> float:
    """Radius of the outside at z, mm, from which an extension line starts."""
    return max((r for at, r in own.outer if abs(at - z) < 1e-6), default=own.greatest)


def _notes(view: View, above: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """Chamfers, and which end goes in first, or where the sleeve goes in; beside what stands above the
    part."""
    enters: End = entry_side(view.content.case)
    leading = opposite(enters)
    ends: tuple[End, End] = ("left", "right")
    marks: list[Mark] = []
    for k, end in enumerate(ends):
        lines: list[str] = []
        if view.part == "sleeve":
            lines += ["this end goes in first"] if end == leading else []
            chamfer = [s for s in view.content.of("sleeve", "chamfer") if s.index == k + 1]
            lines += [_lead_in(view, one) for one in chamfer]
        elif end == enters:
            lines = ["sleeve goes in here"]
        if lines:
            marks += _end_note(view, end, tuple(lines), above)
    return tuple(marks)


def _lead_in(view: View, chamfer: Size) -> str:
    (words,) = view.words(chamfer)
    return f"lead-in {words}" if chamfer.angle is not None else f"lead-in {words} long, angle not stated"


def _end_note(view: View, end: End, lines: tuple[str, ...], above: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """A note on a leader to the upper corner of an end, outwards above the diameters beside it."""
    own = view.profile
    surface = own.outer if view.part == "sleeve" else own.inner
    tip = view.at(surface[0] if end == "left" else surface[-1])
    y = max(view.scale * own.greatest + 4.5, tip[1] + 4.5)
    low, high = (corner[0] for corner in corners(above)) if above else (tip[0], tip[0])
    if end == "right":
        return dimensions.leader(lines, tip=tip, to=(max(tip[0] + 5.0, high + 1.0), y), rightwards=True)
    return dimensions.leader(lines, tip=tip, to=(min(tip[0] - 5.0, low - 1.0), y), rightwards=False)
