"""Pages of a repair record as blocks for the template. Every number in them comes from results.json."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.display import Units
from hoopwright.display.rows import in_order_of
from hoopwright.record.pages.as_read import as_read
from hoopwright.record.pages.blocks import Block, figure, heading, keep_together
from hoopwright.record.pages.bodies import bodies, materials
from hoopwright.record.pages.came_out import came_out
from hoopwright.record.pages.cautions import cautions
from hoopwright.record.pages.fit import against_lame, fit
from hoopwright.record.pages.frame import frame
from hoopwright.record.pages.margins import margins, stage_table
from hoopwright.record.pages.presets import presets
from hoopwright.record.pages.press import press
from hoopwright.record.pages.provenance import before_signing, provenance, signatures
from hoopwright.record.pages.readings_and_loads import loads, readings
from hoopwright.record.pages.removal import removal
from hoopwright.record.pages.title_block import title_block, verdict_block
from hoopwright.record.pages.turn_to import turn_to
from hoopwright.record.pages.working import working
from hoopwright.record.sheet.page import sheet_page


def record_pages(d: dict[str, Any], hashes: Mapping[str, str]) -> dict[str, Any]:
    """Input of the template. d: content of results.json. hashes: SHA-256 of the other files, by name."""
    units = Units(d["record"]["shown_in"])
    d = in_order_of(units, d)
    blocks: list[Block] = [
        title_block(d),
        verdict_block(d),
        *stage_table(d),
        *before_signing(d),
        figure("drawing"),
        *bodies(d, units),
        *fit(d, units),
        *turn_to(d, units),
        heading("Stress of the pressed joint"),
        figure("section"),
        figure("pressure", floats=True),
        *against_lame(d, units),
        figure("wall", floats=True),
        *margins(d, units),
        *press(d, units),
        *came_out(d, units),
        *readings(d, units),
        *loads(d, units),
        *materials(d, units),
        *presets(d, units),
        *cautions(d),
        keep_together(*provenance(d, hashes), *signatures()),
    ]
    appendix = [*as_read(d, units), *stress_maps(d), *removal(d), *working(d, units)]
    whole = frame(d, "Repair record", blocks, hashes, appendix=appendix)
    return whole | {"sheet": sheet_page(d | d["sheet"], units, d["record"]["paper"])}


def stress_maps(d: dict[str, Any]) -> list[Block]:
    """Stress in use round the walls; nothing without loads."""
    if not d["loads"] or not d["loads"]["cases"]:
        return []
    return [keep_together(heading("Stress in use, round the walls"), figure("unrolled"))]
