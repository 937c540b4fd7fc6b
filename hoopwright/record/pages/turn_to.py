"""The sizes to cut to, land by land, as `size` gives them."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import Block, heading, keep_together, table, text

TITLE = {"sleeve": "Turn the sleeve's outside to", "shell": "Bore the shell to"}
NOT_MAKEABLE = "No reading of that gauge lies surely in every band: `hoopwright size` says what would do."


def turn_to(d: dict[str, Any], units: Units) -> list[Block]:
    """A row a land, at 20 °C and at the temperature of the shop; nothing where no size is to be cut."""
    part = d["turn_to"]
    if part is None:
        return []
    mm, shop = units.label("mm"), part["shop_temperature_degC"]
    columns = [(f"at {units.temperature(20.0)} [{mm}]", f"readable_{mm}")]
    if shop != 20.0:
        shown = f"as the gauge shows it at {units.temperature(shop)} [{mm}]"
        columns.append((shown, f"shop_readable_{mm}"))
    aim = "aim_mm" if shop == 20.0 else "shop_aim_mm"
    rows = [
        [
            f"land {band['land']}",
            where,
            *(_band(sizes[key], units) for _, key in columns),
            "none" if sizes[aim] is None else units.text(sizes[aim], "mm"),
            units.text(band["guard_um"], "um"),
        ]
        for band in part["bands"]
        for where, sizes in _places(band, units)
    ]
    head = ["", "", *(name for name, _ in columns), "aim at", "kept from each end"]
    gauge = part["gauge"] or "a reading as good as the stated ±"
    confidence = (
        f"Read with {gauge}, a size in the band leaves the fit in the window with at least "
        f"{100.0 * part['confidence']:g} % confidence."
    )
    return [
        keep_together(
            heading(TITLE[part["cut"]]),
            table(head, rows, left=2, wide=(1,)),
            text(confidence if part["makeable"] else NOT_MAKEABLE, small=True),
        )
    ]


def _places(band: dict[str, Any], units: Units) -> list[tuple[str, dict[str, Any]]]:
    """The land as a whole, or both ends of one that tapers, each with its sizes."""
    if band["ends"]:
        return [(f"at z {units.along(end['z_mm'])}", end) for end in band["ends"]]
    return [(f"z {units.along_span(band['z_start_mm'], band['z_end_mm'])}", band)]


def _band(pair: list[float] | None, units: Units) -> str:
    if pair is None:
        return "no readable size"
    one, other = (f"{v:.{4 if units.system == 'inch' else 3}f}" for v in pair)
    return f"{one} only" if one == other else f"{one} to {other}"
