"""The wheel: built from the tree, installed elsewhere, it works alone and finds its data files."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def run(*words: str | Path, where: Path) -> str:
    """Standard output of a command; its whole output in the failure where it ends badly."""
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
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
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


@pytest.mark.slow
def test_the_wheel_holds_every_data_file_and_no_test(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    listed = run("git", "ls-files", "-z", "--cached", "hoopwright", where=ROOT).split("\0")
    data = {name for name in listed if name and not name.endswith(".py")}
    assert data
    assert data <= names
    assert not any(name.startswith(("tests/", "cases/")) for name in names)
    for licence in ("LICENSE", "hoopwright/record/fonts/OFL.txt"):
        assert any(name.endswith(f"licenses/{licence}") for name in names)


@pytest.mark.slow
def test_the_installed_wheel_checks_the_starter_from_another_folder(wheel, tmp_path):
    """Its dependencies come from this environment, by a path file, to save their download."""
    home = tmp_path / "venv"
    venv.create(home, with_pip=False)
    python = home / ("Scripts" if os.name == "nt" else "bin") / "python"
    site = Path(
        run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", where=tmp_path).strip()
    )
    run(
        sys.executable,
        "-m",
        "pip",
        "--python",
        python,
        "install",
        "--quiet",
        "--no-deps",
        wheel,
        where=tmp_path,
    )
    (site / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    tool = python.with_name("hoopwright")
    assert str(home) in run(python, "-c", "import hoopwright; print(hoopwright.__file__)", where=tmp_path)
    run(tool, "new", "mine.toml", where=tmp_path)
    assert "checks hold" in run(tool, "check", "mine.toml", where=tmp_path)
    assert "EN 1999-1-1" in run(tool, "materials", where=tmp_path)
