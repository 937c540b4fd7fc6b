"""The parts of the program, what stands on what, and the largest pieces.

python -m tests.studies.structure        prints the tables of DEVELOPERS.md
"""

from __future__ import annotations

import ast
import graphlib
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDERS = ("geometry", "loads", "fem", "hoopwright")
LARGEST = 5


def modules() -> Iterator[tuple[str, Path]]:
    """Yield the installed name and the file of every module of ours."""
    for folder in FOLDERS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            yield module_name(path), path


def module_name(path: Path) -> str:
    """The dotted name by which the installed package imports this file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    parts = parts[:-1] if parts[-1] == "__init__" else parts
    return ".".join(parts if parts[0] == "hoopwright" else ("hoopwright", *parts))


def targets(path: Path, known: set[str]) -> Iterator[str]:
    """Modules of ours that a file takes names from; a package's face counts only where it is named."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in known)
        elif isinstance(node, ast.ImportFrom) and not node.level and node.module in known:
            inside = {f"{node.module}.{alias.name}" for alias in node.names}
            yield from inside & known
            if inside - known:
                yield node.module


def part_of(module: str) -> str:
    """The package or file right below `hoopwright` that holds this module."""
    return ".".join(module.split(".")[:2])


def parts() -> dict[str, set[str]]:
    """Every part and the parts it imports."""
    files = dict(modules())
    found: dict[str, set[str]] = {}
    for name, path in files.items():
        here = found.setdefault(part_of(name), set())
        here |= {part_of(t) for t in targets(path, set(files))} - {part_of(name)}
    return found


def floors(graph: dict[str, set[str]]) -> list[list[str]]:
    """Parts by what stands on what, the ground first. Raises graphlib.CycleError for a circle."""
    order = list(graphlib.TopologicalSorter(graph).static_order())
    level: dict[str, int] = {}
    for part in order:
        level[part] = 1 + max((level[below] for below in graph[part]), default=0)
    return [[p for p in order if level[p] == k] for k in range(1, max(level.values()) + 1)]


def table() -> str:
    """Parts from the ground up, as Markdown."""
    graph, files = parts(), dict(modules())
    rows = ["| floor | part | modules | lines | imports |", "|---|---|---|---|---|"]
    for number, level in enumerate(floors(graph), 1):
        for part in sorted(level):
            mine = [path for name, path in files.items() if part_of(name) == part]
            lines = sum(len(path.read_text(encoding="utf-8").splitlines()) for path in mine)
            below = ", ".join(short(p) for p in sorted(graph[part])) or "–"
            rows.append(f"| {number} | {short(part)} | {len(mine)} | {lines} | {below} |")
    return "\n".join(rows)


def short(part: str) -> str:
    return part.removeprefix("hoopwright.")


def functions() -> list[tuple[int, str]]:
    """Lines and place of every function, longest first."""
    found = [
        (node.end_lineno - node.lineno + 1, f"{name}.{node.name}")
        for name, path in modules()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef) and node.end_lineno
    ]
    return sorted(found, reverse=True)


def largest() -> str:
    """The longest modules and functions, in words."""
    lengths = sorted(
        ((len(path.read_text(encoding="utf-8").splitlines()), name) for name, path in modules()),
        reverse=True,
    )
    listed = [
        ", ".join(f"`{name}` {lines}" for lines, name in found[:LARGEST])
        for found in (lengths, functions())
    ]
    return f"Longest modules, lines: {listed[0]}.\nLongest functions, lines: {listed[1]}."


if __name__ == "__main__":
    sys.stdout.write(f"{table()}\n\n{largest()}\n")
