"""Further rows as an installer leaves them: a module and its metadata in a folder on the path."""

from __future__ import annotations

import importlib
import sys
import tomllib
from pathlib import Path

import pytest

from hoopwright.rows import installed

EXAMPLE = Path(__file__).parent / "example_rows"


def install(folder: Path, monkeypatch: pytest.MonkeyPatch, *, project: dict, **modules: str) -> None:
    """Put a distribution on the path for one test. project: as in its pyproject.toml; modules: text by
    name."""
    monkeypatch.syspath_prepend(folder)
    for name, text in modules.items():
        (folder / f"{name}.py").write_text(text, encoding="utf-8")
        monkeypatch.delitem(sys.modules, name, raising=False)
    info = folder / f"{project['name'].replace('-', '_')}-{project['version']}.dist-info"
    info.mkdir()
    metadata = f"Metadata-Version: 2.1\nName: {project['name']}\nVersion: {project['version']}\n"
    (info / "METADATA").write_text(metadata, encoding="utf-8")
    points = (
        f"[{group}]\n" + "".join(f"{name} = {place}\n" for name, place in found.items())
        for group, found in project["entry-points"].items()
    )
    (info / "entry_points.txt").write_text("\n".join(points), encoding="utf-8")
    importlib.invalidate_caches()
    installed.installed_rows.cache_clear()


def uninstall() -> None:
    """Forget what was found; the path and the modules go with the fixture of the test."""
    installed.installed_rows.cache_clear()
    sys.modules.pop("example_rows", None)


def example(*changes: tuple[str, str]) -> tuple[dict, str]:
    """Project and text of the example, with changes made to its text."""
    project = tomllib.loads((EXAMPLE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    text = (EXAMPLE / "example_rows.py").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return project, text
