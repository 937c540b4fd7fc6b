"""Every error while a record is written is one line, and nothing is left behind."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from record_folders import FILES, NEEDS_LINUX, entries

from hoopwright.record.atomic_write import OutputError, write_record

ROOT = Path(__file__).resolve().parents[1]

FULL = """
import sys
from pathlib import Path
from hoopwright.record.atomic_write import OutputError, write_record
parent = Path(sys.argv[1])
files = {{f"{{k}}.bin": bytes(10_000) for k in range({count})}}
try:
    write_record(parent, "job", files)
except OutputError as error:
    print(error, sorted(p.name for p in parent.iterdir()))
"""


def in_small_disk(folder: Path, options: str, program: str) -> str:
    """Run a program with a small disk mounted on `folder`, in a mount namespace of its own."""
    if shutil.which("unshare") is None:
        pytest.skip("no unshare here")
    mount = f'mount -t tmpfs -o {options} tmpfs "$1" || exit 77; exec "$2" -c "$3" "$1"'
    done = subprocess.run(
        [
            "unshare",
            "--map-root-user",
            "--mount",
            "sh",
            "-c",
            mount,
            "sh",
            str(folder),
            sys.executable,
            program,
        ],
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    if done.returncode in (1, 77) and "hoopwright" not in done.stderr:
        pytest.skip("a small disk may not be mounted here")
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@NEEDS_LINUX
def test_a_full_disk_gives_one_error_line_and_leaves_nothing(tmp_path):
    output = in_small_disk(tmp_path, "size=64k", FULL.format(count=20))
    assert output == f"{tmp_path}: cannot write: the disk is full []"


@NEEDS_LINUX
def test_a_read_only_disk_gives_one_error_line(tmp_path):
    output = in_small_disk(tmp_path, "ro", FULL.format(count=1))
    assert output == f"{tmp_path}: cannot write: the file system is read-only []"


@pytest.mark.parametrize(
    ("code", "reason"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EACCES, "no permission"),
        (errno.EDQUOT, "quota"),
        (errno.EIO, "the disk reports an error"),
        (errno.ETIMEDOUT, os.strerror(errno.ETIMEDOUT)),
    ],
)
@pytest.mark.parametrize("call", ["fsync", "rename", "mkdir"])
def test_an_error_at_any_step_is_one_line_and_cleans_up(tmp_path, monkeypatch, call, code, reason):
    def broken(*_args, **_options):
        raise OSError(code, os.strerror(code))

    write_record(tmp_path, "job", FILES)
    monkeypatch.setattr(os, call, broken)
    with pytest.raises(OutputError) as caught:
        write_record(tmp_path, "job", FILES)
    assert reason in str(caught.value)
    assert "\n" not in str(caught.value)
    assert entries(tmp_path) == ["job-001"]


@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission_gives_one_error_line(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputError, match="no permission"):
            write_record(tmp_path, "job", FILES)
    finally:
        tmp_path.chmod(0o700)


def test_a_path_that_cannot_be_a_folder_gives_one_error_line(tmp_path):
    (tmp_path / "file").write_text("x")
    for place in (tmp_path / "file", tmp_path / "file" / "deeper"):
        with pytest.raises(OutputError, match="part of the path is a file, not a folder"):
            write_record(place, "job", FILES)
    with pytest.raises(OutputError, match="the name is too long"):
        write_record(tmp_path / ("n" * 300), "job", FILES)
    assert entries(tmp_path) == ["file"]


def test_an_error_outside_the_record_keeps_its_traceback(tmp_path):
    def fill(_folder: Path) -> None:
        Path("/no/such/font.ttf").read_bytes()

    with pytest.raises(FileNotFoundError):
        write_record(tmp_path, "job", fill)
    assert entries(tmp_path) == []


@pytest.mark.parametrize("bad", ["../out.txt", "/etc/out.txt", "a/../../b", "", "a\\b"])
def test_a_name_cannot_lead_out_of_the_record(tmp_path, bad):
    with pytest.raises(ValueError, match="inside the record"):
        write_record(tmp_path, "job", {bad: b"x"})
    with pytest.raises(ValueError, match="without files"):
        write_record(tmp_path, "job", {})
    assert entries(tmp_path) == []


def test_an_interrupt_while_writing_leaves_nothing(tmp_path):
    def fill(folder: Path) -> None:
        (folder / "half").write_text("x")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_record(tmp_path, "job", fill)
    assert entries(tmp_path) == []
