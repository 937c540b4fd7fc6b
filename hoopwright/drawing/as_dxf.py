"""The drawing as DXF: the views 1:1 in model space, the sheet in paper space with one viewport to scale.

In the unit of the drawing, so that a dimension measures what stands on it. The blocks of the dimensions
hold what the PDF shows. Equal drawings give equal bytes.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

from hoopwright.display import Units
from hoopwright.drawing.as_pdf import arrowhead
from hoopwright.drawing.marks import (
    DASHES,
    LINE_WIDTHS,
    Arrow,
    DimensionMark,
    Hatch,
    Label,
    Line,
    Mark,
    Point,
    Sheet,
    Style,
)
from hoopwright.sizing.rounding import INCH

if TYPE_CHECKING:
    from ezdxf.document import Drawing

VERSION_NAME = "R2010"
LAYERS: dict[Style, str] = {
    "outline": "OUTLINE",
    "thin": "NARROW",
    "centre": "CENTRE",
    "phantom": "PHANTOM",
    "frame": "FRAME",
}
HATCHING, DIMENSIONS, TEXT, STAMP = "HATCHING", "DIMENSIONS", "TEXT", "STAMP"
LINE_TYPES: dict[Style, tuple[str, str]] = {
    "centre": ("LONG_DASHED_DOTTED", "ISO 128, 04.1 long-dashed dotted narrow line"),
    "phantom": ("LONG_DASHED_DOUBLE_DOTTED", "ISO 128, 05.1 long-dashed double-dotted narrow line"),
}
"""Name and description, by style; other lines are continuous."""
SPACING = 2.5
"""Between the lines of a cut face, mm on paper."""
GREY = 253
ALIGNMENT = {"left": "LEFT", "centre": "CENTER", "right": "RIGHT"}
UNITS = {"metric": (4, 1, "mm"), "inch": (1, 0, "inch")}
"""$INSUNITS, $MEASUREMENT and the unit of the paper."""


@dataclass(frozen=True)
class _Space:
    """Where marks go. layout: model or paper space, or a block; origin: of the marks on paper, mm, that is
    its own; factor: its units per mm on paper."""

    layout: Any
    origin: Point
    factor: float

    def at(self, point: Point) -> Point:
        return (point[0] - self.origin[0]) * self.factor, (point[1] - self.origin[1]) * self.factor


def as_dxf(sheet: Sheet, units: Units, *, properties: dict[str, str]) -> bytes:
    """The file. properties: shown by programs that read it beside the drawing, by name."""
    with _fixed_metadata():
        made = _document(units)
        unit = INCH if units.system == "inch" else 1.0
        for name, value in properties.items():
            made.header.custom_vars.append(name, value)
        model = _Space(made.modelspace(), sheet.origin, 1.0 / sheet.scale / unit)
        _add(made, model, (*sheet.views, *_stamps(sheet)))
        paper = made.layout("Layout1")
        _set_up_paper(paper, sheet, unit, units)
        _add(made, _Space(paper, (0.0, 0.0), 1.0 / unit), sheet.sheet)
        stream = io.StringIO()
        made.write(stream)
    return stream.getvalue().encode("utf-8")


def _stamps(sheet: Sheet) -> tuple[Label, ...]:
    """What lies across the sheet: in model space too, for whoever takes the parts from there."""
    return tuple(one for one in sheet.sheet if isinstance(one, Label) and one.tone == "stamp")


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Have no date and no random name in the file."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _document(units: Units) -> Drawing:
    """An empty drawing with its units, line types and layers."""
    import ezdxf

    made = ezdxf.new(VERSION_NAME)
    made.header["$INSUNITS"], made.header["$MEASUREMENT"], _ = UNITS[units.system]
    made.header["$PSLTSCALE"] = 1
    unit = INCH if units.system == "inch" else 1.0
    for style, (kind, description) in LINE_TYPES.items():
        parts = [part / unit if k % 2 == 0 else -part / unit for k, part in enumerate(DASHES[style])]
        made.linetypes.add(kind, [sum(map(abs, parts)), *parts], description=description)
    for style, name in LAYERS.items():
        kind = LINE_TYPES[style][0] if style in LINE_TYPES else "Continuous"
        width = round(100.0 * LINE_WIDTHS[style])
        made.layers.add(name, linetype=kind, lineweight=width)
    for name in (HATCHING, DIMENSIONS, TEXT, STAMP):
        made.layers.add(name, lineweight=25)
    made.styles.add(TEXT, font="arial.ttf")
    made.dimstyles.new(DIMENSIONS)
    return made


def _set_up_paper(paper: Any, sheet: Sheet, unit: float, units: Units) -> None:
    """The page, and one viewport through which the views are seen to scale."""
    size = sheet.width / unit, sheet.height / unit
    paper.page_setup(size=size, margins=(0, 0, 0, 0), units=UNITS[units.system][2])
    (left, bottom), (right, top) = sheet.view
    centre = 0.5 * (left + right), 0.5 * (bottom + top)
    to_model = 1.0 / sheet.scale / unit
    port = paper.add_viewport(
        center=(centre[0] / unit, centre[1] / unit),
        size=((right - left) / unit, (top - bottom) / unit),
        view_center_point=(
            (centre[0] - sheet.origin[0]) * to_model,
            (centre[1] - sheet.origin[1]) * to_model,
        ),
        view_height=(top - bottom) * to_model,
        status=2,
    )
    port.dxf.layer = "VIEWPORTS"


def _add(made: Drawing, space: _Space, marks: Iterable[Mark]) -> None:
    for mark in marks:
        if isinstance(mark, DimensionMark):
            _add_dimension(made, space, mark)
        elif isinstance(mark, Line):
            points = [space.at(point) for point in mark.points]
            space.layout.add_lwpolyline(points, dxfattribs={"layer": LAYERS[mark.style]})
        elif isinstance(mark, Arrow):
            corners = [space.at(point) for point in arrowhead(mark)]
            space.layout.add_solid(corners, dxfattribs={"layer": DIMENSIONS})
        elif isinstance(mark, Hatch):
            _add_hatch(space, mark)
        else:
            _add_label(space, mark)


def _add_hatch(space: _Space, mark: Hatch) -> None:
    angle, apart = (45.0 if mark.rising else 135.0), SPACING * space.factor
    offset = -apart * sin(radians(angle)), apart * cos(radians(angle))
    found = space.layout.add_hatch(dxfattribs={"layer": HATCHING})
    found.set_pattern_fill("CUT", definition=[[angle, (0.0, 0.0), offset, []]], style=0)
    found.paths.add_polyline_path([space.at(point) for point in mark.outline], is_closed=True)


def _add_label(space: _Space, mark: Label) -> None:
    from ezdxf.enums import TextEntityAlignment

    stamped = mark.tone == "stamp"
    attributes = {
        "layer": STAMP if stamped else TEXT,
        "height": mark.height * space.factor,
        "rotation": mark.turned,
        "style": TEXT,
        **({"color": GREY} if stamped else {}),
    }
    align = "MIDDLE_CENTER" if stamped else ALIGNMENT[mark.align]
    text = space.layout.add_text(_text(mark.text), dxfattribs=attributes)
    text.set_placement(space.at(mark.at), align=TextEntityAlignment[align])


def _text(text: str) -> str:
    """The text with what a TEXT would take for a code of its own made plain."""
    return text.replace("%%", "% %").replace("^", "^ ")


def _add_dimension(made: Drawing, space: _Space, mark: DimensionMark) -> None:
    """A dimension of the points it stands between, shown by the marks of its own."""
    found = space.layout.add_linear_dim(
        base=space.at(mark.through),
        p1=space.at(mark.start),
        p2=space.at(mark.end),
        angle=90.0 if mark.upright else 0.0,
        text=_paragraphs(one.text for one in mark.marks if isinstance(one, Label)),
        dimstyle=DIMENSIONS,
        dxfattribs={"layer": DIMENSIONS},
    )
    found.render()
    block = made.blocks.get(found.dimension.dxf.geometry)
    block.delete_all_entities()
    _add(made, _Space(block, space.origin, space.factor), mark.marks)
    found.dimension.dxf.actual_measurement = found.dimension.get_measurement()


def _paragraphs(lines: Iterable[str]) -> str:
    """Lines of a dimension's text, the lowest first, as paragraphs; codes of an MTEXT made plain."""
    plain = [line.replace("\\", "\\\\").replace("{", "\\{").replace("}", "\\}") for line in lines]
    return "\\P".join(reversed(plain))
