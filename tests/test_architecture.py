"""The house rules that a machine can check."""

import ast
import graphlib
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MAY_IMPORT = {
    "geometry": set(),
    "loads": {"geometry"},
    "fem": {"geometry", "loads"},
    "hoopwright": {"geometry", "loads", "fem"},
}


def imported(path):
    """Top-level names a file imports; relative imports count as their own package."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            package = path.relative_to(ROOT).with_suffix("").parts
            inside = ".".join(package[: len(package) - node.level]) if node.level else ""
            yield ".".join(part for part in (inside, node.module or "") if part)


@pytest.mark.parametrize("package", MAY_IMPORT)
def test_package_imports_only_what_lies_below(package):
    files = list((ROOT / package).rglob("*.py"))
    assert files
    for path in files:
        ours = {name.split(".")[0] for name in imported(path)} & set(MAY_IMPORT)
        extra = ours - MAY_IMPORT[package] - {package}
        assert not extra, f"{path.relative_to(ROOT)} imports {sorted(extra)}"


def test_closed_form_knows_only_numpy():
    """The reference stays independent of what it judges."""
    for path in (ROOT / "hoopwright/closed_form").glob("*.py"):
        for name in imported(path):
            allowed = name.split(".")[0] in {"numpy", *sys.stdlib_module_names}
            assert allowed or name.startswith("hoopwright.closed_form"), f"{path.name} imports {name}"


def test_pint_stays_at_the_border():
    users = {str(p.relative_to(ROOT)) for package in MAY_IMPORT for p in (ROOT / package).rglob("*.py")
             if any(n.split(".")[0] == "pint" for n in imported(p))}
    assert users == {"hoopwright/case/quantity.py"}


def modules():
    """Module name and file of everything of ours."""
    for package in MAY_IMPORT:
        for path in (ROOT / package).rglob("*.py"):
            parts = path.relative_to(ROOT).with_suffix("").parts
            yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


def targets(path, known):
    """Modules of ours that a file takes names from; a package's face counts only where it is named."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in known)
        elif isinstance(node, ast.ImportFrom) and not node.level and node.module in known:
            inside = {f"{node.module}.{alias.name}" for alias in node.names}
            yield from inside & known
            if inside - known:
                yield node.module


def test_no_circle_between_modules():
    files = dict(modules())
    graph = {name: {t for t in targets(path, set(files)) if t != name} for name, path in files.items()}
    assert len(list(graphlib.TopologicalSorter(graph).static_order())) == len(files)


def test_no_module_is_longer_than_400_lines():
    for name, path in modules():
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, name
