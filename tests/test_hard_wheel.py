"""The wheel: built from the tree, installed elsewhere, it works alone and beside namesakes."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

from hoopwright import status

ROOT = Path(__file__).parents[1]


def run(*words: str | Path, where: Path, ends: int = 0) -> str:
    """Standard output of a command; its whole output in the failure where it ends otherwise. ends: its exit
    status."""
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "PIP_REQUIRE"))}
    done = subprocess.run(
        [str(w) for w in words],
        cwd=where,
        env=clean,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    assert done.returncode == ends, done.stdout[-2000:] + done.stderr[-2000:]
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Built from what the repository holds, so that no stray file of this folder gets in."""
    source, out = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    listed = run("git", "ls-files", "-z", "--cached", where=ROOT).split("\0")
    for name in filter(None, listed):
        if (ROOT / name).is_file():
            target = source / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes((ROOT / name).read_bytes())
    run(sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", out, source, where=out)
    (built,) = out.glob("hoopwright-*.whl")
    return built


@pytest.fixture(scope="module")
def python(wheel, tmp_path_factory) -> Path:
    return environment(wheel, tmp_path_factory.mktemp("home") / "venv")


def environment(wheel: Path, home: Path) -> Path:
    """Make an environment with the wheel in `home` and return its interpreter. The dependencies come from
    this environment, by a path file, to save their download."""
    venv.create(home, with_pip=False)
    python = home / ("Scripts" if os.name == "nt" else "bin") / "python"
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(run(python, "-c", where, where=home).strip())
    install(wheel, python)
    (site / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return python


def install(distribution: Path, python: Path) -> None:
    pip = (sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-deps")
    run(*pip, distribution, where=distribution.parent)


def foreign_wheel(folder: Path) -> Path:
    """An invented distribution whose packages are named like our folders and raise when imported."""
    path, info = folder / "somebody_elses-1.0-py3-none-any.whl", "somebody_elses-1.0.dist-info"
    metadata = "Metadata-Version: 2.1\nName: somebody-elses\nVersion: 1.0\n"
    tags = "Wheel-Version: 1.0\nGenerator: made up\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
    with zipfile.ZipFile(path, "w") as archive:
        for package in ("fem", "geometry", "loads"):
            archive.writestr(f"{package}/__init__.py", "raise RuntimeError('not ours')\n")
        for name, text in (("METADATA", metadata), ("WHEEL", tags), ("RECORD", "")):
            archive.writestr(f"{info}/{name}", text)
    return path


@pytest.mark.slow
def test_the_wheel_claims_one_name_and_has_every_data_file(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    listed = run("git", "ls-files", "-z", "--cached", "hoopwright", where=ROOT).split("\0")
    data = {name for name in listed if name and not name.endswith(".py")}
    assert "hoopwright/py.typed" in data
    assert data <= names
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"hoopwright"}
    for licence in ("LICENSE", "hoopwright/record/fonts/OFL.txt"):
        assert any(name.endswith(f"licenses/{licence}") for name in names)


@pytest.mark.slow
def test_the_wheel_has_every_module_of_the_three_folders(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder in ("fem", "geometry", "loads"):
        modules = {f"hoopwright/{folder}/{path.name}" for path in (ROOT / folder).glob("*.py")}
        assert modules
        assert modules <= names


@pytest.mark.slow
def test_the_installed_wheel_checks_the_starter_from_another_folder(python, tmp_path):
    tool = python.with_name("hoopwright")
    where = run(python, "-c", "import hoopwright; print(hoopwright.__file__)", where=tmp_path)
    assert str(python.parents[1]) in where
    run(tool, "new", "mine.toml", where=tmp_path)
    checked = run(tool, "check", "mine.toml", where=tmp_path, ends=status.AS_FAR_AS_JUDGED)
    assert "Sample values: Holds as far as judged" in checked
    assert "EN 1999-1-1" in run(tool, "materials", where=tmp_path)
    assert "What fails" in run(tool, "explain", "shell", "yields", where=tmp_path)
    run(tool, "explain", "--all", "--out", "manual.pdf", where=tmp_path)
    assert (tmp_path / "manual.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.slow
def test_the_installed_wheel_solves_the_published_examples(python, tmp_path):
    """They come with it: nothing of the tree is there."""
    said = run(python.with_name("hoopwright"), "validate", where=tmp_path)
    assert said.startswith("All published examples are reproduced.")
    assert "Ring pushed out of a ring" in said
    assert "0.0780" in said


@pytest.mark.slow
@pytest.mark.parametrize("name", ["fem", "geometry", "loads"])
def test_the_folders_are_no_packages_of_their_own(python, tmp_path, name):
    found = f"import importlib.util; print(importlib.util.find_spec({name!r}))"
    assert run(python, "-c", found, where=tmp_path).strip() == "None"


@pytest.mark.slow
def test_modules_of_the_same_names_beside_it_change_nothing(wheel, tmp_path_factory, tmp_path):
    """In the folder it is run from, and installed by an invented distribution."""
    python = environment(wheel, tmp_path_factory.mktemp("beside") / "venv")
    run(python, "-m", "hoopwright", "new", "mine.toml", where=tmp_path)
    check = (python, "-m", "hoopwright", "check", "mine.toml")
    alone = run(*check, where=tmp_path, ends=status.AS_FAR_AS_JUDGED)
    (tmp_path / "fem").mkdir()
    for module in ("fem/__init__.py", "geometry.py", "loads.py"):
        (tmp_path / module).write_text("raise RuntimeError('not ours')\n", encoding="utf-8")
    assert run(*check, where=tmp_path, ends=status.AS_FAR_AS_JUDGED) == alone
    install(foreign_wheel(tmp_path), python)
    assert run(*check, where=tmp_path, ends=status.AS_FAR_AS_JUDGED) == alone
