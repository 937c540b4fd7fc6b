"""Where memory is refused a command ends in one line and 3, and leaves no part of its output."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest
from record_folders import NEEDS_LINUX

from hoopwright import status
from hoopwright.address_space import refused
from hoopwright.starters import starter_text

ROOT = Path(__file__).parents[1]
GUARDED = """
import os, sys
from hoopwright.address_space import guarded
def run():
    {body}
sys.exit(guarded(run))
"""


def guarded(body: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", GUARDED.format(body=body)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@NEEDS_LINUX
@pytest.mark.parametrize(
    "body",
    [
        "os.abort()",  # the typesetter
        "os._exit(1)",  # a matrix library
        "os.write(2, b'memory allocation failed' * 9999); os.abort()",
        "raise MemoryError",
        "raise ImportError('libblas.so: failed to map segment from shared object')",
        "os.fork() or __import__('time').sleep(2); os.abort()",  # its worker holds the pipe open
    ],
)
def test_whatever_ends_the_process_it_is_one_line(body):
    done = guarded(body)
    assert done.returncode == status.NOT_SOLVED
    (line,) = done.stderr.splitlines()
    assert "not enough memory" in line


@NEEDS_LINUX
def test_a_command_that_ends_by_itself_says_what_it_says():
    done = guarded("print('out'); print('err', file=sys.stderr); sys.stdout.flush(); return 5")
    assert (done.returncode, done.stdout, done.stderr) == (5, "out\n", "err\n")
    assert guarded("sys.exit(2)").returncode == status.BAD_INPUT
    bug = guarded("raise ValueError('a bug')")
    assert bug.returncode == 1
    assert "Traceback" in bug.stderr
    assert "a bug" in bug.stderr


def test_memory_refused_is_no_bug():
    wrapped = ImportError("numpy could not be imported")
    wrapped.__cause__ = ImportError("libgfortran.so.5: failed to map segment from shared object")
    for error in (
        MemoryError(),
        OSError(errno.ENOMEM, "x"),
        wrapped,
        RuntimeError("can't start new thread"),
    ):
        assert refused(error)
    for error in (
        ImportError("no module named x"),
        OSError(errno.ENOSPC, "x"),
        ValueError("out of memory"),
    ):
        assert not refused(error)


def limited(kilobytes: int, *words: str, where: Path) -> subprocess.CompletedProcess[str]:
    """hoopwright with those words where the address space is limited."""
    return subprocess.run(
        ["sh", "-c", f'ulimit -v {kilobytes}; exec "$@"', "sh", sys.executable, "-m", "hoopwright", *words],
        cwd=where,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


COMMANDS = [
    ("check", "case.toml"),
    ("check", "case.toml", "--out", "out"),
    ("press", "case.toml", "--figure", "out/press.png"),
    ("size", "case.toml", "--figure", "out/size.png"),
    ("compare", "case.toml", "--sleeves", "7075-T6", "--out", "out"),
]


def in_one_line_or_done(kilobytes: int, words: tuple[str, ...], folder: Path) -> bool:
    """Whether it was refused: then in one line, with nothing written. How much is needed depends on the
    libraries."""
    (folder / "case.toml").write_text(starter_text("plain"), encoding="utf-8")
    (folder / "out").mkdir(exist_ok=True)
    done = limited(kilobytes, *words, where=folder)
    assert "Traceback" not in done.stderr
    if done.returncode not in (status.NOT_SOLVED, status.NOT_WRITTEN):
        assert done.returncode in (status.ALL_HOLD, status.AS_FAR_AS_JUDGED, status.SOME_FAIL), done.stderr
        return False
    assert len(done.stderr.splitlines()) == 1, done.stderr
    assert done.stdout == "" or done.stdout.endswith("\n")
    assert list((folder / "out").iterdir()) == []
    return True


@NEEDS_LINUX
@pytest.mark.parametrize("words", COMMANDS)
def test_too_little_to_start_with_is_one_line(words, tmp_path):
    """With 150 MB the matrix library tried for ever to start; with less there was a traceback."""
    assert in_one_line_or_done(150_000, words, tmp_path)


@NEEDS_LINUX
def test_too_little_for_the_pages_is_one_line_and_no_record(tmp_path):
    """The typesetter ended the process by SIGABRT, without a line of ours."""
    assert in_one_line_or_done(400_000, COMMANDS[1], tmp_path)


@pytest.mark.slow
@NEEDS_LINUX
@pytest.mark.parametrize("kilobytes", [60_000, 450_000, 600_000, 900_000])
@pytest.mark.parametrize("words", COMMANDS)
def test_any_limit_is_one_line_or_all_of_it(kilobytes, words, tmp_path):
    in_one_line_or_done(kilobytes, words, tmp_path)
