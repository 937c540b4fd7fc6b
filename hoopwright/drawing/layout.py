"""The sheet: both views to one scale, what stands beside them in words, title block, frame and stamp."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.drawing.features import (
    Feature,
    bore_features,
    metals,
    sizes_to_work_to,
    sleeve_features,
    tapers,
)
from hoopwright.drawing.half_section import View, half_section
from hoopwright.drawing.marks import Label, Line, Mark, Point, Sheet, corners, moved, text_width_mm
from hoopwright.drawing.profile import profile
from hoopwright.drawing.sizes import Content, Part
from hoopwright.drawing.title_block import FINE, ROWS, VALUE, WIDTH, fitted, title_block, wrapped
from hoopwright.drawing.wording import number
from hoopwright.errors import CaseError
from hoopwright.geometry.joint import stands_proud
from hoopwright.geometry.land import End
from hoopwright.geometry.stop import shoulder_at

PAPER = {"metric": "A4", "inch": "letter"}
SIZES = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height, mm."""
LEFT, OTHER = 20.0, 10.0
"""Filing edge and other edges of the sheet, mm, ISO 5457."""
SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""ISO 5455."""
LINE = 3.6
"""Height of a line of words, mm."""
BETWEEN = 6.0
"""Between the two views, mm."""
COLUMNS = (66.0, 42.0, 42.0, 30.0)
"""Of the table of sizes to work to, mm."""
COLUMN, NAMES = 60.0, 32.0
"""Width of a column of features, and of their names, mm."""
STAMP_HEIGHT, STAMP_LENGTH, STAMP_ANGLE = 14.0, 150.0, 30.0
"""Greatest height of its capitals and greatest length, mm, and its angle, degrees."""
METALS = (72.0, 36.0, 72.0)
"""Of sleeve, blank and shell, mm."""
BRACKETS = "Sizes in brackets are for information: as read, not cut here, or following from the others."
CHAMFERS = "A lead-in whose angle is not stated is drawn as deep as long."
BLANK = (
    "The sleeve is pressed in as a blank; chain lines with two dots are what it is bored and threaded to "
    "after pressing."
)
TAPPED = "Threads are chased with a tap after pressing."
FACED = " After pressing, what stands proud is faced flush with the shell."
BEFORE = "Sizes of the sleeve are those before pressing."


@dataclass(frozen=True)
class _Words:
    marks: tuple[Mark, ...]
    top: float


def sheet(content: Content, units: Units) -> Sheet:
    """The whole drawing, in the units of whoever reads it. Raises CaseError where it does not fit."""
    paper = content.case.paper or PAPER[units.system]
    width, height = SIZES[paper]
    left = width - OTHER - WIDTH
    words = _words(content, units, left, OTHER + sum(ROWS))
    area = (left, words.top + 2.0), (width - OTHER, height - OTHER)
    scale, origin, views = _placed(content, units, area)
    frame = ((left, OTHER), (width - OTHER, OTHER), (width - OTHER, height - OTHER), (left, height - OTHER))
    marks = (
        *_stamp(content, width, height),
        *words.marks,
        *title_block(content, units, scale_text(scale), left=left, bottom=OTHER),
        Line((*frame, frame[0]), "frame"),
    )
    return Sheet(paper, width, height, scale, area, origin, views, marks)


def scale_text(scale: float) -> str:
    """A scale as ISO 5455 writes it."""
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}"


def _placed(
    content: Content, units: Units, area: tuple[Point, Point]
) -> tuple[float, Point, tuple[Mark, ...]]:
    """The greatest scale at which both views fit one above the other, the origin, and the views at their
    places, the sleeve above where it comes to lie. Raises CaseError where no scale does."""
    (left, bottom), (right, top) = area
    parts: tuple[Part, Part] = ("sleeve", "shell")
    profiles = [(part, profile(content, part)) for part in parts]
    for scale in SCALES:
        views = []
        for part, own in profiles:
            marks = half_section(View(content, part, own, scale, units))
            views.append(moved(marks, scale * own.ends[0], 0.0))
        boxes = [corners(one) for one in views]
        ends = min(box[0][0] for box in boxes), max(box[1][0] for box in boxes)
        high = sum(box[1][1] - box[0][1] for box in boxes) + BETWEEN
        spare = top - bottom - high
        if ends[1] - ends[0] <= right - left - 4.0 and spare >= 4.0:
            break
    else:
        advice = "write lands and zones that need not differ as one"
        raise CaseError.at(content.case.file, "its drawing does not fit on one sheet", advice)
    found: tuple[Mark, ...] = ()
    x, y = 0.5 * (left + right - sum(ends)), top - spare / 3.0
    axes = []
    for marks, box in zip(views, boxes, strict=True):
        axes.append((x, y - box[1][1]))
        found += moved(marks, *axes[-1])
        y -= box[1][1] - box[0][1] + BETWEEN + spare / 3.0
    return scale, axes[0], found


def _words(content: Content, units: Units, left: float, bottom: float) -> _Words:
    """Verdict, features, and sizes to work to, from the title block upwards."""
    marks: list[Mark] = []
    y = bottom + 2.0
    said = [*_said(content, units)]
    for text in reversed(said):
        for line in reversed(wrapped(text, FINE, WIDTH - 2.0)):
            marks.append(Label(line, (left + 1.0, y), FINE, "left"))
            y += 0.75 * LINE
    y += 1.0
    own = sleeve_features(content, units)
    bore = bore_features(content, units)
    rows = max((len(own) + 1) // 2, len(bore))
    columns = own[:rows], own[rows:], bore
    for k, features in enumerate(columns):
        title = ("sleeve", "", "shell")[k]
        marks += _feature_column(title, features, left + COLUMN * k, y + rows * LINE)
    y += (rows + 1) * LINE + 1.0
    x = left + 1.0
    for one, width in zip(metals(content), METALS, strict=True):
        marks.append(fitted(f"{one.name}: {one.value}", (x, y), FINE, width - 2.0))
        x += width
    y += LINE
    marks.append(Line(((left, y), (left + WIDTH, y)), "thin"))
    table = _table(content, units)
    for row in reversed(table):
        x = left
        for text, width in zip(row, COLUMNS, strict=True):
            marks.append(fitted(text, (x + 1.0, y + 1.2), FINE if row is table[0] else VALUE, width - 2.0))
            x += width
        y += LINE + 0.4
    if table:
        y += 0.6
        marks.append(Line(((left, y), (left + WIDTH, y)), "thin"))
    return _Words(tuple(marks), y)


def _said(content: Content, units: Units) -> tuple[str, ...]:
    """Sentences below the features."""
    whole, width = content.case.sleeve.unfaced, content.case.shell.width
    unstated = any(one.angle is None for one in content.of("sleeve", "chamfer"))
    chamfers = (CHAMFERS,) if unstated else ()
    blank = (BLANK,) if whole.finished_later else ()
    place = f"In place, the sleeve's left end is {_from_face(whole.z_start, 'left', units)}"
    place += f", its right end {_from_face(width - whole.z_end, 'right', units)}{_stop(content.case)}."
    if content.case.sleeve != whole:
        place += FACED
    tapped = (TAPPED,) if content.case.tap_after_pressing else ()
    general = " ".join((BEFORE, *blank, BRACKETS, *chamfers, *tapped, place))
    return (general, *tapers(content, units), f"Verdict of `hoopwright size`: {content.verdict}")


def _stop(case: Case) -> str:
    """What the sleeve rests against, and what is left as it stands."""
    sleeve, shell = case.sleeve, case.shell
    ends: tuple[End, End] = ("left", "right")
    words = [f"; its flange rests on the {sleeve.flange_end} face"] if sleeve.flange_end else []
    words += [f"; its {end} end rests on a shoulder" for end in ends if shoulder_at(shell, sleeve, end)]
    if case.proud == "stays" and set(stands_proud(shell, sleeve)) - {sleeve.flange_end}:
        words.append("; what stands proud is not faced")
    return "".join(words)


def _from_face(depth: float, face: str, units: Units) -> str:
    """Where an end of the sleeve lies against a face of the shell. depth: mm inside it."""
    if abs(depth) < 1e-6:
        return f"flush with the {face} face of the shell"
    place = "inside" if depth > 0.0 else "outside"
    return f"{number(abs(depth), units)} {units.label('mm')} {place} the {face} face"


def _table(content: Content, units: Units) -> tuple[tuple[str, ...], ...]:
    """The sizes to work to under a heading; empty where there are none."""
    shop = units.temperature(20.0 + content.case.size.shop_rise_K)
    rows = [(r.name, r.limits, r.shop, r.within) for r in sizes_to_work_to(content, units)]
    heading = (
        "sizes to work to, before pressing",
        f"at {units.temperature(20.0)}",
        f"as the gauge shows it at {shop}",
        "ISO 286-2",
    )
    return (heading, *rows) if rows else ()


def _feature_column(title: str, features: tuple[Feature, ...], x: float, top: float) -> tuple[Mark, ...]:
    marks: list[Mark] = [Label(title, (x + 1.0, top), VALUE, "left", bold=True)] if title else []
    for k, one in enumerate(features, start=1):
        y = top - k * LINE
        marks.append(fitted(one.name, (x + 1.0, y), FINE, NAMES - 1.0))
        marks.append(fitted(one.value, (x + 1.0 + NAMES, y), FINE, COLUMN - NAMES - 2.0))
    return tuple(marks)


def stamp_lines(content: Content) -> tuple[str, ...]:
    """What stands across the sheet; empty where nothing is to be said against it."""
    case = content.case
    found = []
    if not content.to_be_made:
        found.append(f'Not to be made: the verdict is "{content.state}"')
    elif content.state != "holds":
        found.append("Sample values" if case.sample else "Holds as far as judged only")
    if case.invented:
        found.append("Invented")
    return tuple(found)


def _stamp(content: Content, width: float, height: float) -> tuple[Mark, ...]:
    """The stamp, each line as large as goes across the sheet."""
    marks = []
    for k, text in enumerate(stamp_lines(content)):
        tall = min(STAMP_HEIGHT, STAMP_HEIGHT * STAMP_LENGTH / text_width_mm(text, STAMP_HEIGHT))
        at = 0.5 * width + 9.0 * k, 0.62 * height - 30.0 * k
        marks.append(Label(text, at, tall, turned=STAMP_ANGLE, bold=True, tone="stamp"))
    return tuple(marks)
