"""The house rules that a machine can check."""

import ast
import graphlib
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from studies.structure import FOLDERS, floors, functions, module_name, modules, parts, short, targets

ROOT = Path(__file__).parents[1]
LAYERS = {
    "geometry": set(),
    "loads": {"hoopwright.geometry"},
    "fem": {"hoopwright.geometry", "hoopwright.loads"},
}
"""What each of the folders below the tool may import of ours."""


def imported(path):
    """Full names of the modules that a file imports; relative imports are not used here."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{path}: relative import"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def package_of(name):
    """`hoopwright.fem` of `hoopwright.fem.mesh`; the top-level package of anything else."""
    words = name.split(".")
    return ".".join(words[: 2 if words[0] == "hoopwright" else 1])


@pytest.mark.parametrize("folder", LAYERS)
def test_layer_imports_only_what_lies_below(folder):
    files = list((ROOT / folder).rglob("*.py"))
    assert files
    for path in files:
        ours = {package_of(name) for name in imported(path) if package_of(name).startswith("hoopwright")}
        extra = ours - LAYERS[folder] - {f"hoopwright.{folder}"}
        assert not extra, f"{path.relative_to(ROOT)} imports {sorted(extra)}"


def test_nothing_imports_the_folders_by_their_names_at_the_top():
    """`fem`, `geometry` and `loads` are the names of folders; installed they live inside hoopwright."""
    for folder in ("tests", *FOLDERS):
        for path in (ROOT / folder).rglob("*.py"):
            assert not {package_of(name) for name in imported(path)} & set(LAYERS), path.name


def test_every_package_of_the_tree_is_listed_for_the_build():
    listed = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    packages = {module_name(path) for _, path in modules() if path.name == "__init__.py"}
    assert set(listed["packages"]) == packages


def test_closed_form_knows_only_numpy():
    """The reference stays independent of what it judges."""
    for path in (ROOT / "hoopwright/closed_form").glob("*.py"):
        for name in imported(path):
            allowed = name.split(".")[0] in {"numpy", *sys.stdlib_module_names}
            assert allowed or name.startswith("hoopwright.closed_form"), f"{path.name} imports {name}"


def test_reference_formulae_know_nothing_of_ours_but_closed_forms():
    """What tests hold against the tool may not come from the tool; range checks and Lamé are shared."""
    files = list((ROOT / "tests/reference").glob("*.py"))
    assert files
    for path in files:
        for name in imported(path):
            allowed = name.split(".")[0] in {"numpy", "scipy", *sys.stdlib_module_names}
            assert allowed or name.startswith("hoopwright.closed_form."), f"{path.name} imports {name}"


def test_tool_runs_every_closed_form():
    """A formula that only tests call belongs to tests/reference."""
    files = {name: path for name, path in modules() if name.startswith("hoopwright.closed_form.")}
    taken = {name for _, path in modules() for name in imported(path)}
    for module, path in files.items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        called = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
        for node in tree.body:
            if isinstance(node, ast.FunctionDef):
                assert node.name in called or f"{module}.{node.name}" in taken, f"{module}.{node.name}"


def test_pint_stays_at_the_border():
    users = {str(p.relative_to(ROOT)) for _, p in modules() if "pint" in map(package_of, imported(p))}
    assert users == {"hoopwright/case/quantity.py"}


def test_no_circle_between_modules():
    files = dict(modules())
    graph = {name: {t for t in targets(path, set(files)) if t != name} for name, path in files.items()}
    assert len(list(graphlib.TopologicalSorter(graph).static_order())) == len(files)


def test_no_file_is_longer_than_400_lines():
    for folder in ("tests", *FOLDERS):
        for path in (ROOT / folder).rglob("*.py"):
            assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, path.name


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


def test_the_command_line_is_ready_before_any_matrix_library_is_loaded():
    """The command limits the library's threads, and what it reads at import cannot be limited later."""
    heavy = "{'numpy', 'scipy', 'skfem', 'pint', 'matplotlib'}"
    code = f"import sys, hoopwright.cli; hoopwright.cli.build_parser(); print({heavy} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
