"""The house rules that a machine can check."""

import ast
import graphlib
import sys
from pathlib import Path

import pytest
from studies.structure import floors, functions, modules, parts, short, targets

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


def test_no_circle_between_modules():
    files = dict(modules())
    graph = {name: {t for t in targets(path, set(files)) if t != name} for name, path in files.items()}
    assert len(list(graphlib.TopologicalSorter(graph).static_order())) == len(files)


def test_no_module_is_longer_than_400_lines():
    for name, path in modules():
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, name


def test_no_circle_between_parts():
    assert sum(map(len, floors(parts()))) == len(parts())


def test_no_function_is_longer_than_a_screen_and_a_docstring():
    assert functions()[0][0] <= 70, functions()[0]


def test_contributors_guide_has_the_parts_as_they_are():
    """Whoever changes what imports what writes the table again; numbers of lines may lag behind."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()
    for part, below in parts().items():
        row = next(line for line in guide if line.startswith("| ") and f" | {short(part)} | " in line)
        listed = row.rstrip(" |").rsplit("| ", 1)[1]
        assert listed == (", ".join(short(p) for p in sorted(below)) or "–"), part
