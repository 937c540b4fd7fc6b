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
PACKAGES = ("geometry", "loads", "fem", "hoopwright")
LARGEST = 5


def modules() -> Iterator[tuple[str, Path]]:
    """Module name and file of everything of ours."""
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            parts = path.relative_to(ROOT).with_suffix("").parts
            yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


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
    """A package outside `hoopwright`; inside it the package or file right below."""
    names = module.split(".")
    return names[0] if names[0] != "hoopwright" or len(names) == 1 else ".".join(names[:2])


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
    found = [(node.end_lineno - node.lineno + 1, f"{name}.{node.name}")
             for name, path in modules() for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
             if isinstance(node, ast.FunctionDef) and node.end_lineno]
    return sorted(found, reverse=True)


def largest() -> str:
    """The longest modules and functions, in words."""
    lengths = sorted(((len(path.read_text(encoding="utf-8").splitlines()), name)
                      for name, path in modules()), reverse=True)
    told = [", ".join(f"`{name}` {lines}" for lines, name in found[:LARGEST])
            for found in (lengths, functions())]
    return f"Longest modules, lines: {told[0]}.\nLongest functions, lines: {told[1]}."


if __name__ == "__main__":
    sys.stdout.write(f"{table()}\n\n{largest()}\n")
