"""One word, one meaning: no name in the code carries a word that the glossary has retired."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from studies.structure import FOLDERS, ROOT

RETIRED = {
    "account": "reactions",
    "accounts": "reactions",
    "aside": "worker",
    "belief": "posterior",
    "course": "force_travel",
    "draw": "mesh_joint, plot or sample",
    "drawn": "meshed, plotted or sampled",
    "fewest": "min",
    "hold": "support of the shell, mounting of a cup, grip of the sleeve",
    "kept": "reader, cached or stored",
    "letter": "glyph or character",
    "letters": "glyphs or characters",
    "most": "max",
    "opener": "remedy",
    "openers": "remedies",
    "round": "fourier_sum or rounded",
    "told": "inference",
}
"""Words that no part of a name may be, and what to write instead."""

RETIRED_NAMES = {"assembly": "meshed_joint", "assemblies": "meshed_joints"}
"""Whole names: putting parts together by heat is an assembly, a meshed pair of bodies is not."""

TRADE = re.compile(r"out_of_round|OutOfRound|ALL_HOLD")
"""A bore is out of round in the trade, and rows hold in a verdict."""

LIBRARIES = {("strategies", "draw"), ("strategies", "Draw"), ("figure_cases", "recording_draw")}
"""Names that hypothesis and matplotlib give, by folder or file."""


def names(path: Path) -> Iterator[str]:
    """Yield the names of the file, of its classes, functions, arguments and constants."""
    yield path.stem
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ClassDef | ast.FunctionDef):
            yield node.name
        elif isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store) and node.id.isupper():
            yield node.id


def words(name: str) -> list[str]:
    """Split snake_case and CamelCase into words in lower case."""
    parts = re.findall(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+", TRADE.sub("", name))
    return [part.lower() for part in parts]


def faults(path: Path) -> list[str]:
    place = {path.stem, path.parent.name}
    found = []
    for name in sorted(set(names(path))):
        if any((where, name) in LIBRARIES for where in place):
            continue
        found += [f"{name}: write {RETIRED[word]}" for word in words(name) if word in RETIRED]
        if name.lower() in RETIRED_NAMES:
            found.append(f"{name}: write {RETIRED_NAMES[name.lower()]}")
    return found


@pytest.mark.parametrize("folder", [*FOLDERS, "tests"])
def test_no_name_carries_a_retired_word(folder):
    found = {str(p.relative_to(ROOT)): faults(p) for p in sorted((ROOT / folder).rglob("*.py"))}
    assert found
    assert {path: lines for path, lines in found.items() if lines} == {}


def test_a_retired_word_is_found_wherever_it_stands(tmp_path):
    path = tmp_path / "kept_files.py"
    path.write_text(
        "MOST_ROWS = 3\nclass Belief:\n    def plot_round(self, hold): ...\nassembly = out_of_round = 1\n"
    )
    assert {fault.split(":")[0] for fault in faults(path)} == {
        "kept_files",
        "MOST_ROWS",
        "Belief",
        "plot_round",
        "hold",
    }
