"""Title block after ISO 7200: what the drawing is of, how it is to be read, and the verdict it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, pi, sin

from hoopwright.display import Units
from hoopwright.drawing.marks import Label, Line, Mark, text_width_mm
from hoopwright.drawing.sizes import Content
from hoopwright.drawing.wording import NOT_STATED, covered
from hoopwright.version import VERSION

WIDTH = 180.0
"""mm, ISO 7200."""
CAPTION, VALUE, TITLE, FINE = 1.3, 1.9, 2.8, 1.5
"""Heights of capitals, mm on paper."""
LEAST_HEIGHT = 1.1
ROWS = (10.0, 8.0, 8.0, 7.0)
"""Heights of its rows of cells from the top, mm; the verdict stands above them."""


def title_block(
    content: Content, units: Units, scale: str, *, left: float, bottom: float
) -> tuple[Mark, ...]:
    """The block with its lower left corner at a place on the sheet."""
    case, given = content.case, content.case.drawing
    rows: tuple[tuple[tuple[str, str, float], ...], ...] = (
        (
            ("title", given.title or case.title, 110.0),
            ("number", given.number, 45.0),
            ("revision", given.revision, 25.0),
        ),
        (
            ("answers for it", given.drawn_by, 50.0),
            ("approved (by hand)", " ", 40.0),
            ("scale", scale, 15.0),
            ("sizes in", "inches" if units.system == "inch" else "mm", 18.0),
            ("projection", given.projection or "", 40.0),
            ("sheet", "1 of 1", 17.0),
        ),
        (("general tolerance", given.general_tolerance, 90.0), ("edges", given.edges, 90.0)),
        (
            ("case", case.file.replace("\\", "/").rpartition("/")[2], 52.0),
            ("SHA-256 of the case", case.sha256, 100.0),
            ("made by", f"hoopwright {VERSION}", 28.0),
        ),
    )
    top = bottom + sum(ROWS)
    marks: list[Mark] = []
    for row, height in zip(rows, ROWS, strict=True):
        x = left
        marks.append(Line(((left, top), (left + WIDTH, top)), "thin"))
        for caption, value, width in row:
            marks += _cell(caption, value, x, top, width, height)
            if x > left:
                marks.append(Line(((x, top), (x, top - height)), "thin"))
            if caption == "projection" and given.projection:
                marks += _projection(given.projection, x + width - 17.0, top - 0.5 * height)
            x += width
        top -= height
    frame = (
        (left, bottom),
        (left + WIDTH, bottom),
        (left + WIDTH, bottom + sum(ROWS)),
        (left, bottom + sum(ROWS)),
    )
    return (*marks, Line((*frame, frame[0]), "frame"))


def _cell(caption: str, value: str, x: float, top: float, width: float, height: float) -> Iterable[Mark]:
    yield Label(caption, (x + 1.0, top - 2.2), CAPTION, "left", tone="quiet")
    size = TITLE if caption == "title" else FINE if caption.startswith("SHA") else VALUE
    yield fitted(value or NOT_STATED, (x + 1.0, top - height + 1.5), size, width - 2.0)


def fitted(text: str, at: tuple[float, float], height: float, width: float) -> Label:
    """A text made so small that it fits, and cut off where even that is too long."""
    text = covered(text)
    height = max(LEAST_HEIGHT, min(height, height * width / max(text_width_mm(text, height), 1e-9)))
    while len(text) > 1 and text_width_mm(text, height) > width:
        text = f"{text[:-2]}…"
    return Label(text, at, height, "left")


def wrapped(text: str, height: float, width: float) -> tuple[str, ...]:
    """A text in lines no wider than a width, mm, broken between words."""
    lines = [""]
    for word in covered(text).split():
        longer = f"{lines[-1]} {word}".strip()
        if text_width_mm(longer, height) <= width or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _projection(method: str, x: float, y: float) -> Iterable[Mark]:
    """The symbol of ISO 5456-2, a cut cone: seen from its end on the right for the first angle, on the left
    for the third."""
    first = method == "first angle"
    cone = x + (0.0 if first else 7.5)
    ends = (1.25, 2.5) if first else (2.5, 1.25)
    circles = x + (10.5 if first else 2.5)
    outline = (
        (cone, y - ends[0]),
        (cone, y + ends[0]),
        (cone + 5.0, y + ends[1]),
        (cone + 5.0, y - ends[1]),
        (cone, y - ends[0]),
    )
    yield Line(outline)
    for radius in (1.25, 2.5):
        yield Line(_circle(circles, y, radius))
    yield Line(((x - 1.0, y), (x + 14.0, y)), "centre")
    yield Line(((circles, y - 3.2), (circles, y + 3.2)), "centre")


def _circle(x: float, y: float, radius: float) -> tuple[tuple[float, float], ...]:
    return tuple((x + radius * cos(k * pi / 24.0), y + radius * sin(k * pi / 24.0)) for k in range(49))
