"""A row has one name, on every screen and page, in every document and figure: that of its explanation."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from record_cases import results
from service_cases import CRANK, results_of

from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.explanations import explanations
from hoopwright.record.figures.margins import figure_of_rows
from hoopwright.record.pages import record_pages
from hoopwright.screen.check import report

PACKAGE = Path(__file__).resolve().parents[1] / "hoopwright"
TITLES = {one.id: one.title for one in explanations()}


def named(part: Any) -> Iterator[tuple[str, str]]:
    """Every id of a row with the title that stands beside it, anywhere in a document."""
    if isinstance(part, dict):
        for key in ("id", "check", "by"):
            if part.get(key) in TITLES and "title" in part:
                yield part[key], part["title"]
        for value in part.values():
            yield from named(value)
    elif isinstance(part, list):
        for value in part:
            yield from named(value)


@pytest.mark.parametrize("whole", [results, lambda: document(results_of(CRANK))])
def test_documents_name_a_row_by_its_title_alone(whole):
    found = set(named(whole()))
    assert len(found) > 8
    assert found <= set(TITLES.items())


def test_tables_of_the_pages_and_the_screen_name_rows_by_their_titles():
    judged = [row for row in results()["checks"] if row["state"] != "not assessed"]
    tables = [
        [line[0] for line in block["rows"]]
        for part in record_pages(results(), hashes={})["blocks"]
        for block in part.get("blocks", ())
        if block["kind"] == "table" and ("entering" in block["head"] or "where and when" in block["head"])
    ]
    assert tables == [[row["title"] for row in judged]] * 2
    screen = report(results(), Units())
    assert all(f"\n{row['title']} " in screen for row in judged)


def test_figures_name_rows_by_their_titles():
    rows = results_of(CRANK).margins
    (axes,) = figure_of_rows(rows).axes
    shown = [tick.get_text() for tick in axes.get_yticklabels()]
    assert shown == [TITLES[row.id] for row in rows]


def bare(words: str) -> str:
    return re.sub(r"[^a-z]+", " ", words.lower()).strip()


def test_no_module_spells_a_title_another_way():
    """Hyphens, commas, brackets or capitals of its own make a second name, which a search does not find; a
    heading begins with a capital."""
    spelled = {bare(title): title for title in TITLES.values()}
    found = {
        (path.name, node.value)
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if bare(node.value) in spelled and node.value not in TITLES
        if node.value[:1].lower() + node.value[1:] not in spelled.values()
    }
    assert found == set()
