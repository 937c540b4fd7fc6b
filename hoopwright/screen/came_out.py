"""What to do with finished parts, as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.display.units import Units, margin_text, state_cell
from hoopwright.screen.bands import band_lines, order_of
from hoopwright.screen.wrapping import WIDTH, bullets, entry, paragraph

TITLE, STATE = 42, 12
"""Columns of the name of a way and of its state."""


def came_out_sections(part: dict[str, Any], units: Units) -> list[list[str]]:
    """The ways in a table, each that holds in full, and what cannot be done."""
    if len(part["ways"]) == 1 and not part["not_possible"]:
        return [paragraph(part["note"])] if part["note"] else []
    good = [k for k, one in enumerate(part["ways"]) if one["state"].startswith("holds") and one["changes"]]
    return [
        _table(part["ways"]),
        *(_in_full(k, part, units) for k in good),
        _not_possible(part),
    ]


def _table(ways: list[dict[str, Any]]) -> list[str]:
    lines = [f"{'What can be done':{TITLE}s}{'':{STATE}s}least margin", "-" * (WIDTH - 1)]
    for number, one in enumerate(ways, start=1):
        state = state_cell(one["state"])
        row = one["governs"]
        governs = "" if row is None else f"{margin_text(one['margin'])} {row['title']}"
        short = "holds" if state.startswith("holds") else state
        name = f"{number} {one['title']}"
        head = f"{name:{TITLE}s}{short:{STATE}s}"
        lines += entry(head, governs, TITLE + STATE) if governs else [head.rstrip()]
    return lines


def _in_full(index: int, part: dict[str, Any], units: Units) -> list[str]:
    """One way: what to cut to, what the case says then, and advice."""
    one, shop = part["ways"][index], part["shop_temperature_degC"]
    head = f"{index + 1} {one['title']}"
    alike = next((k for k in range(index) if part["ways"][k]["sizes"] == one["sizes"]), None)
    if alike is not None:
        return [f"{head}: to the same size as {alike + 1}, with the same lines in the case"]
    order = order_of(units)
    lines = [f"{head:40.40s} {order[0]:>18s} {order[1]:>18s}"]
    if one["cut"] == "sleeve":
        for size in (s for s in one["sizes"] if s["part"] == "shell"):
            lines.append(f"  bore, land {size['land']}, at least {units.both(size['diameter_mm'], 'mm')}")
    aims = {s["land"]: s["diameter_mm"] for s in one["sizes"] if s["part"] == one["cut"]}
    for band in one["bands"]:
        lines += band_lines(band, shop, units, indent="  ")
        aim = aims.get(band["land"])
        lines.append("    in its band as it is" if aim is None else f"    aim at {units.both(aim, 'mm')}")
    lines += bullets(one["advice"])
    if one["wall_left_mm"] is not None:
        lines += bullets((f"wall left, thin side: {units.both(one['wall_left_mm'], 'mm')}",))
    return [*lines, *_case_lines(one["changes"])]


def _case_lines(changes: list[dict[str, Any]]) -> list[str]:
    """What to write in the case file, to have it checked and to press by."""
    lines = ["  in the case file, until it is cut and read:"]
    for change in changes:
        heading = f"[{change['table']}]" if change["land"] is None else f"[[{change['table']}]]"
        which = "" if change["land"] is None else f", land {change['land']}"
        lines += paragraph(f"{heading}{which}{_dropped(change['drop'])}", "    ")
        lines += [f'      {key} = "{value}"' for key, value in change["set"].items()]
    return lines


def _dropped(keys: list[str]) -> str:
    """What goes out of a table."""
    if not keys:
        return ""
    if "readings" in keys:
        return ", in place of readings, gauge, temperatures"
    return f", without {', '.join(keys)}"


def _not_possible(part: dict[str, Any]) -> list[str]:
    lines = ["What else, and why not"]
    lines += bullets(f"{one['title']}: {one['why']}." for one in part["not_possible"])
    lines += bullets(f"{one['title']}: {one['why']}." for one in part["ways"] if one["why"])
    return [*lines, *bullets((part["never"],))]
