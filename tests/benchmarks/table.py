"""Render the benchmark table and write it into DEVELOPERS.md."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks.measure import Row

ANSWERS = {True: "yes", False: "**no**", None: ""}


def markdown(rows: Sequence[Row], machine: str) -> str:
    lines = ["| what | reached | wanted | holds | measured |", "|---|---|---|---|---|"]
    lines += [f"| {r.what} | {r.reached} | {r.wanted} | {ANSWERS[r.holds]} | {r.how} |" for r in rows]
    return "\n".join([*lines, "", machine])


def plain(row: Row) -> str:
    verdict = {True: "holds", False: "FALLS SHORT", None: ""}[row.holds]
    lines = [f"{row.what}: {row.reached}" + (f", wanted {row.wanted}: {verdict}" if row.wanted else "")]
    return "\n".join([*lines, *([f"    {row.how}"] if row.how else [])])


def put_into(file: Path, table: str, text: str) -> None:
    """Replace the text between the markers of a table. Raises ValueError if they are missing."""
    start, end = (f"<!-- {table}: {which} -->" for which in ("start", "end"))
    before, opened, rest = file.read_text(encoding="utf-8").partition(start)
    _, closed, after = rest.partition(end)
    if not (opened and closed):
        raise ValueError(f"{file.name}: no {start} and {end}")
    file.write_text(f"{before}{start}\n{text}\n{end}{after}", encoding="utf-8")
