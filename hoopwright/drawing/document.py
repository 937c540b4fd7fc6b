"""JSON document of `hoopwright drawing`: every size on the sheet, with its limits and what they rest on."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.drawing.layout import scale_text, stamp_lines
from hoopwright.drawing.marks import Sheet
from hoopwright.drawing.sizes import Content, Size
from hoopwright.drawing.wording import dimension_lines


def document(content: Content, sheet: Sheet, units: Units, files: dict[str, str]) -> dict[str, Any]:
    """What the drawing shows. units: of its sizes; files: names of what was written, by kind."""
    given, case = content.case.drawing, content.case
    return plain(
        {
            **heading_part(case, "drawing"),
            "verdict": content.verdict,
            "state": content.state,
            "stamp": list(stamp_lines(content)),
            "title": given.title or case.title,
            "number": given.number,
            "revision": given.revision,
            "projection": given.projection,
            "units": units.system,
            "scale": scale_text(sheet.scale),
            "paper": sheet.paper,
            "cut": content.cut,
            "shop_temperature_degC": 20.0 + case.size.shop_rise_K,
            "sizes": [_size(one) for one in content.sizes],
            "files": files,
        }
    )


def _size(one: Size) -> dict[str, Any]:
    return {
        "name": one.name,
        "part": one.part,
        "feature": one.feature,
        "index": one.index,
        "z_start_mm": one.z_start,
        "z_end_mm": one.z_end,
        "basis": one.basis,
        "auxiliary": one.auxiliary,
        "plotted_mm": one.plotted,
        "low_mm": one.low,
        "high_mm": one.high,
        "shown_mm": one.shown_limits("metric"),
        "shown_in": one.shown_limits("inch"),
        "shop_shown_mm": one.shop_limits("metric"),
        "shop_shown_in": one.shop_limits("inch"),
        "tapered_um": 1e3 * one.tapered,
        "iso_286": None
        if one.within is None
        else {
            "basic_mm": one.within.basic,
            "class": one.within.name,
            "low_mm": one.within.low,
            "high_mm": one.within.high,
        },
        "after_pressing": one.after_pressing,
        "angle_deg": one.angle,
        "thread": None if one.thread is None else one.thread.designation,
        "left_hand": None if one.thread is None else one.thread.left_hand,
        "text_mm": list(dimension_lines(one, Units("metric"))),
        "text_in": list(dimension_lines(one, Units("inch"))),
    }
