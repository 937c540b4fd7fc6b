"""No unit of the other trade reaches a reader, from any command, demo or starter."""

from __future__ import annotations

import ast
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from foreign_units import UNITS, foreign_units, texts_in
from test_json_documents import faults_of

from hoopwright.case import read_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.document import check, compare, press, size
from hoopwright.document.heading import as_json
from hoopwright.materials.listing import listing
from hoopwright.pipeline import check_case
from hoopwright.pressing.plan import press_plan
from hoopwright.record.document import record_document
from hoopwright.record.gather import gather
from hoopwright.record.pages import record_pages
from hoopwright.screen import check as check_screen
from hoopwright.screen import compare as compare_screen
from hoopwright.screen import press as press_screen
from hoopwright.screen import size as size_screen
from hoopwright.shop_sheet.plan import sheet_plan
from hoopwright.sizing.alternatives import compare_alternatives
from hoopwright.sizing.plan import size_case
from hoopwright.starters import PIECES, starter_text

DEMOS = sorted(
    path for path in (Path(__file__).parents[1] / "cases").glob("*.toml") if ".expected" not in path.name
)
BOTH = ("metric", "inch")
CHECKS = Path(__file__).parents[1] / "hoopwright" / "checks"
NEVER_READ = ("pressure at ", "closure at ", "")
"""Beginnings of names that `greatest` and `least` remember a state by, and of the place in one."""
COARSE = "\n[mesh]\nelements_through_wall = 2\n"
SCREENS = {
    "check": check_screen.report,
    "press": press_screen.report,
    "size": size_screen.report,
    "compare": compare_screen.report_routes,
}


def test_a_leak_is_found_and_what_is_meant_to_stand_is_not():
    case = 'title = "46 mm shell"\n[press]\ngauge_unit = "bar"\n'
    assert foreign_units("1.50 thou (38.1 µm), 46 mm shell, 1.37 in x 24, 90 bar", "inch", case) == []
    assert foreign_units("0.24 to 1.02 in (6.0 to 26.0 mm), a gauge, bar", "inch", case) == []
    for leak in ("it closes by 12 µm", "38.1 µm (1.50 thou)", "at 20 °C", "force N", "11 MPa", "by 5 K"):
        assert foreign_units(leak, "inch", case), leak
    assert foreign_units("90 bar", "inch", 'title = ""')
    for leak in ("0.5 in", "2 thou", "force, lbf", "at 68 °F"):
        assert foreign_units(leak, "metric", case), leak
    assert foreign_units("goes in the shell at 5 mm (0.2 in), in use", "metric", case) == []


@pytest.mark.parametrize("path", sorted(CHECKS.glob("*.py")), ids=lambda path: path.stem)
def test_no_check_writes_a_unit_behind_a_number_of_one_system(path):
    """Its texts are for any reader: `Units` writes a quantity in both."""
    texts = [n for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.JoinedStr)]
    for text in texts:
        said = "".join("{}" if isinstance(v, ast.FormattedValue) else str(v.value) for v in text.values)
        if re.search(rf"{{}} ?(?:{UNITS['metric']})(?![\w·])", said):
            assert said.partition("{}")[0] in NEVER_READ, said


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("piece", PIECES)
def test_a_new_file_has_none(piece, units):
    text = starter_text(piece, units)
    assert foreign_units(text.replace('"', " "), units, text) == []


def test_materials_gives_both():
    text = " ".join(listing().split())
    for metric, inch in (("GPa", "Msi"), ("/K", "/°F"), ("kg/m³", "lb/in³"), ("MPa", "ksi")):
        given = len(re.findall(rf"[0-9] {metric}", text))
        assert given == len(re.findall(rf"[0-9] {metric} \([0-9.e-]+ {inch}\)", text)) > 0, metric


@pytest.mark.slow
@pytest.mark.parametrize(
    "name",
    [*(path.stem for path in DEMOS if path.stem != "cart_wheel_hub"), "hub", "plain"],  # the hub turns too
)
def test_no_command_shows_one(name, tmp_path):
    """Every case is solved once for either reader; `size` plans in the reader's steps. The documents fit
    their schema."""
    for system, text, documents, pages in _shown(name, tmp_path):
        units = Units(system)
        for command, document in documents.items():
            assert faults_of(json.loads(as_json(document)), command) == [], (command, system)
            words = SCREENS[command](document, units)
            assert foreign_units(words, system, text) == [], (command, system)
            assert max(map(len, words.splitlines())) <= 80, (command, system)
        assert foreign_units("\n".join(texts_in(pages)), system, text) == [], system


def _shown(name, folder):
    path = next((path for path in DEMOS if path.stem == name), folder / "mine.toml")
    if path.parent == folder:
        path.write_text(starter_text(name) + COARSE, encoding="utf-8")
    text, case = path.read_text(encoding="utf-8"), read_case(path)
    results, plan = check_case(case), press_plan(case)
    routes = compare_alternatives(case) if case.routes else ()
    gathered = gather(results, Units(case.units), lambda _: None)
    for system in BOTH:
        units = Units(system)
        sized = size_case(replace(case, units=system), cut="sleeve")
        sheet = sheet_plan(results, units, sized, gathered.came_out, plan)
        # without the working, which is in mm, N and MPa for every reader, as its expressions are
        read = replace(gathered, units=units, sheet=sheet)
        pages = record_pages(record_document(read), {}) | {"appendix": []}
        documents = {
            "check": check.document(results),
            "press": press.document(plan, units),
            "size": size.document(sized, units),
        }
        if routes:
            documents["compare"] = compare.document(case, routes)
        yield system, text, documents, pages


@pytest.mark.slow
def test_json_is_the_same_for_either_reader(tmp_path, capsys):
    path = tmp_path / "mine.toml"
    path.write_text(starter_text("plain") + "\n[mesh]\nelements_through_wall = 2\n", encoding="utf-8")
    for command in ("check", "size", "press", "compare"):
        shown = set()
        for system in BOTH:
            main([command, str(path), "--json", "--units", system])
            shown.add(capsys.readouterr().out)
        assert len(shown) == 1, command
