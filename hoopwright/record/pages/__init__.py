"""Pages of a record: from results.json to blocks for the template. Every number comes from there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import Block, figure, heading, together
from hoopwright.record.pages.bodies import bodies, materials
from hoopwright.record.pages.end import cautions
from hoopwright.record.pages.fit import against_lame, fit
from hoopwright.record.pages.frame import frame
from hoopwright.record.pages.head import title_block, verdict_block
from hoopwright.record.pages.margins import margins
from hoopwright.record.pages.measured import loads, readings
from hoopwright.record.pages.press import press
from hoopwright.record.pages.provenance import provenance, signatures


def record_pages(d: dict[str, Any], hashes: Mapping[str, str]) -> dict[str, Any]:
    """What the template takes. d: results.json. hashes: of the files beside it, by name."""
    units = Units(d["record"]["shown_in"])
    blocks: list[Block] = [
        title_block(d), verdict_block(d), figure("drawing"), *bodies(d, units), *fit(d, units),
        *margins(d, units),
        heading("What governs"), figure("section"), figure("unrolled", floats=True),
        figure("pressure", floats=True), *against_lame(d, units), figure("wall", floats=True),
        *press(d, units), *readings(d, units), *loads(d, units), *materials(d, units), *cautions(d),
        together(*provenance(d, hashes), *signatures()),
    ]
    return frame(d, "Repair record", blocks)
