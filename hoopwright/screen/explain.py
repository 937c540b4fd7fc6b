"""Explanations of rows on a terminal."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from hoopwright.display.written import as_written, holding_test
from hoopwright.screen.working import SYMBOL
from hoopwright.screen.wrapping import bullets, entry, paragraph

TITLE = 26


def listing(rows: Iterable[dict[str, Any]]) -> str:
    """All rows, each with the stages it is judged in."""
    lines = paragraph("Ways to fail. Say more of one: hoopwright explain ROW, by its title or its words.")
    lines += ["", *(line for row in rows for line in entry(row["title"], ", ".join(row["stages"]), TITLE))]
    return "\n".join(lines) + "\n"


def report(rows: Iterable[dict[str, Any]]) -> str:
    """Some rows in full, within 80 columns."""
    return "\n\n".join("\n".join(_row(row)) for row in rows) + "\n"


def _row(row: dict[str, Any]) -> list[str]:
    lines = [f"{row['title']} ({row['id']})", *paragraph(f"judged: {', '.join(row['stages'])}", "  ")]
    if "distribution" in row:
        lines += paragraph(f"not part of hoopwright: from {row['distribution']}", "  ")
    for title, text in (("What fails", row["fails"]), ("How it looks", row["looks"])):
        lines += ["", title, *paragraph(text, "  ")]
    for block in row["formulae"]:
        lines += ["", *paragraph(block["title"]), *_block(block)]
    if row["factor"]:
        lines += ["", *paragraph(f"The factor n is [factors] {row['factor']}.")]
    sources = [f"{one['what']} ({one['label']})" for one in row["sources"]]
    for title, texts in (
        ("Range", row["range"]),
        ("Left out", row["left_out"]),
        ("Sources", sources),
        ("Tests that hold it, in tests/", map(holding_test, row["tests"])),
    ):
        shown = bullets(texts)
        lines += ["", title, *shown] if shown else []
    return lines


def _block(block: dict[str, Any]) -> list[str]:
    lines = []
    for one in block["formulae"]:
        where = f", where {one['where']}" if one["where"] else ""
        text = f"= {as_written(one['expression'])}{where}"
        lines += entry(f"  {one['symbol']:{SYMBOL - 1}s}", text, SYMBOL + 2)
    lines.append("")
    for one in block["symbols"]:
        unit = f", {as_written(one['unit'])}" if one["unit"] else ""
        lines += entry(f"  {one['symbol']:{SYMBOL - 1}s}", f"{one['meaning']}{unit}", SYMBOL + 2)
    return lines
