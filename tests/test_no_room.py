"""A folder that is read-only, or no room for temporary files: one line, status 4, and no part of a file."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from record_folders import NEEDS_LINUX
from test_record_write_errors import in_small_disk

from hoopwright import status
from hoopwright.starters import starter_text

ROOT = Path(__file__).parents[1]
RUN = """
import contextlib, io, os, sys, tempfile
from pathlib import Path
os.chdir(sys.argv[1])
{before}
from hoopwright.cli import main
said, printed = io.StringIO(), io.StringIO()
with contextlib.redirect_stderr(said), contextlib.redirect_stdout(printed):
    code = main({words})
print(code, len(said.getvalue().splitlines()), said.getvalue().strip())
"""
NO_TEMPORARY_FOLDER = "tempfile._candidate_tempdir_list = lambda: ['/proc/nowhere']"
"""As where every folder that Python tries, and the current one, is read-only or full."""
WRITING = [
    ["check", "CASE", "--out", "."],
    ["press", "CASE", "--figure", "press.png"],
    ["size", "CASE", "--figure", "size.svg"],
    ["compare", "CASE", "--sleeves", "7075-T6", "--out", "."],
    ["compare", "CASE", "--sleeves", "7075-T6", "--figure", "compare.pdf"],
]
SLOW = [pytest.param(words, marks=pytest.mark.slow) for words in WRITING[2:]]


def program(words: list[str], case: Path, before: str = "") -> str:
    case.write_text(starter_text("plain"), encoding="utf-8")
    return RUN.format(before=before, words=[str(case) if w == "CASE" else w for w in words])


@NEEDS_LINUX
@pytest.mark.parametrize("words", [*WRITING[:2], *SLOW])
def test_a_read_only_folder_is_one_line(words, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    said = in_small_disk(out, "ro", program(words, tmp_path / "case.toml"))
    assert said.startswith(f"{status.NOT_WRITTEN} 1 ")
    assert said.endswith("cannot write: the file system is read-only")


@NEEDS_LINUX
@pytest.mark.parametrize("words", [*WRITING[:2], *SLOW])
def test_no_room_for_temporary_files_is_one_line(words, tmp_path):
    """Plots and meshes need a temporary folder; without one there was a traceback."""
    out = tmp_path / "out"
    out.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", program(words, tmp_path / "case.toml", NO_TEMPORARY_FOLDER), str(out)],
        cwd=ROOT,
        env={"PATH": "/usr/bin:/bin", "PYTHONPATH": str(ROOT), "HOME": "/proc/nowhere"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.stdout.startswith(f"{status.NOT_WRITTEN} 1 output not written: no temporary folder"), done
    assert "set TMPDIR" in done.stdout
    assert list(out.iterdir()) == []
