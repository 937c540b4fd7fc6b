"""Units of the other trade in what a reader is shown, apart from those that are meant to stand there."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from typing import Any

from hoopwright.materials import table

NUMBER = r"[-+−]?\d[\d.]*"
UNITS = {
    "metric": r"mm|um|µm|cm|MPa|GPa|kN|N|N·m|N\*m|Nm|bar|°C|degC|K|kg/m³",
    "inch": r"thou|uin|psi|ksi|Msi|lbf|ft·lbf|°F|degF|lb/in³",
}
"""Of either trade, as words that are nothing else; "in" stands behind a number or heads a column."""
FOREIGN = {
    "inch": re.compile(rf"(?<![\w°·/*-])(?:{UNITS['metric']})(?![\w·*-])"),
    "metric": re.compile(rf"(?<![\w°·/*-])(?:{UNITS['inch']})(?![\w·*-])|\d in\b(?! the)|, in\]?$"),
}
OWN = {"inch": UNITS["inch"] + "|in", "metric": UNITS["metric"]}
OTHER = {"inch": UNITS["metric"], "metric": UNITS["inch"] + "|in"}
WORDS = ("title", "piece", "owner", "notes", "name", "type", "source", "needs", "note", "cost")
STANDARD = re.compile(r"ISO 4210-6, fatigue test.*?the severer one")
THREAD = re.compile(r"\d[\d.]* (?:mm|in) x \d+(?: tpi)?")
BOTH_COLUMNS = re.compile(
    r"(?ms)^(?:Turn the sleeve|Bore the shell)[^\n]* to +(?:mm +in|in +mm)$.*?(?=^$|\Z)"
)
GAUGE = {"inch": r"bar|MPa", "metric": "psi"}


def foreign_units(text: str, system: str, case_text: str) -> list[str]:
    """Every unit of the other trade in a text for a reader of this one, with what stands before it.

    What may stand there, and why:
    - the same quantity in brackets behind that of the reader: both are given on purpose
    - the size to cut to, in two columns: a lathe has either dial
    - the user's own words, and names of threads
    - what a material's or load's source says, in its own words
    - the gauge's own unit, where the case says that it is marked so
    """
    text = BOTH_COLUMNS.sub("", text)
    text = " ".join(text.split())
    for words in sorted({*_users_words(tomllib.loads(case_text)), *_of_materials()}, key=len, reverse=True):
        text = text.replace(" ".join(words.split()), "…")
    for pattern in (STANDARD, THREAD, *_gauge(system, case_text)):
        text = pattern.sub("…", text)
    other = rf"{NUMBER}(?: to {NUMBER})? (?:{OTHER[system]})"
    text = re.sub(rf"(?<= )({OWN[system]}) \({other}\)", r"\1", text)
    return [text[max(0, m.start() - 40) : m.end()] for m in FOREIGN[system].finditer(text)]


def _gauge(system: str, case_text: str) -> list[re.Pattern[str]]:
    marked = re.search(rf'(?m)^gauge_(?:unit|division) = "(?:{NUMBER} )?({GAUGE[system]})"', case_text)
    if marked is None:
        return []
    return [re.compile(rf"{NUMBER} {marked[1]}\b|(?:gauge[,\s]+\[?|(?:least|STOP) ){marked[1]}\b")]


def _users_words(part: Any, key: str = "") -> Iterator[str]:
    if isinstance(part, dict):
        for name, value in part.items():
            yield from _users_words(value, name)
    elif isinstance(part, list):
        for value in part:
            yield from _users_words(value, key)
    elif key in WORDS and isinstance(part, str) and part:
        yield part


def _of_materials() -> Iterator[str]:
    for material in table().values():
        yield from (material.condition, *(line.source for line in material.provenance))


def texts_in(part: Any) -> Iterator[str]:
    """The texts of a page's blocks."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict):
        yield from (text for key, value in part.items() if key != "kind" for text in texts_in(value))
    elif isinstance(part, list | tuple):
        yield from (text for value in part for text in texts_in(value))
