"""Finished parts: whether to press them, and the ways out."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units, margin_text, percent_text, state_cell
from hoopwright.record.pages.blocks import Block, as_sentence, bullets, heading, table, text

Way = dict[str, Any]


def came_out(d: dict[str, Any], units: Units) -> list[Block]:
    """What `size` says of parts that are both finished; nothing where they are not."""
    part, fit = d["came_out"], d["decision"]
    if part is None:
        return []
    chance = (
        f"Interference {units.span(fit['least_um'], fit['greatest_um'], 'um')} (95 %); chance that it lies "
        f"in the window {percent_text(fit['probability'])}."
    )
    blocks = [heading("Both parts finished"), text(part["verdict"]), text(chance)]
    if part["note"]:
        blocks.append(text(part["note"]))
    if part["not_possible"]:
        blocks.append(
            table(
                ["", "to, at 20 °C", "least margin", "", "state"],
                [_way(one, units) for one in part["ways"]],
                left=2,
            )
        )
        reasons = [as_sentence(f"{one['title']}: {one['why']}") for one in part["not_possible"]]
        blocks.append(bullets([*reasons, part["never"]], small=True))
    return blocks


def _way(one: Way, units: Units) -> list[str]:
    row = one["governs"]
    governs = "" if row is None else f"{row['title']}, {row['stage']}"
    margin = "" if row is None else margin_text(one["margin"])
    return [one["title"], "; ".join(_sizes(one, units)), margin, governs, state_cell(one["state"])]


def _sizes(one: Way, units: Units) -> list[str]:
    """What to cut to: the bands, and before them the bore of a way that cuts both."""
    key = "readable_in" if units.system == "inch" else "readable_mm"
    several = len(one["bands"]) > 1
    found = [
        f"bore land {size['land']} {units.text(size['diameter_mm'], 'mm')}"
        for size in one["sizes"]
        if size["part"] != one["cut"]
    ]
    for band in one["bands"]:
        low, high = (f"{v:.{4 if units.system == 'inch' else 3}f}" for v in band[key])
        where = f"land {band['land']} " if several else ""
        found.append(f"{where}{low} to {high} {units.label('mm')}")
    return found
