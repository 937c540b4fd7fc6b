"""A record is on the disk completely or not at all, even if the process is killed."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

from record_folders import FILES, NEEDS_LINUX, entries

from hoopwright.record.atomic_write import write_record
from hoopwright.record.partial_output import ABANDONED_AFTER_S, NAME, PREFIX

ROOT = Path(__file__).resolve().parents[1]

WRITER = """
import sys
from pathlib import Path
from hoopwright.record.atomic_write import write_record
parent, stem, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
files = {f"part{k % 5}/file{k:02d}.bin": bytes([k]) * 3000 for k in range(40)}
print("ready", flush=True)
for _ in range(count):
    write_record(parent, stem, files)
"""


def start(program: str, *args: object, **options) -> subprocess.Popen:
    """Start a process and return it once it has printed "ready"."""
    process = subprocess.Popen(
        [sys.executable, "-c", program, *map(str, args)],
        text=True,
        cwd=ROOT,
        stdout=subprocess.PIPE,
        **options,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    return process


def is_whole(record: Path) -> bool:
    """Whether a record written by WRITER has all forty files with all their bytes."""
    sizes = [f.stat().st_size for f in record.rglob("*.bin")]
    return sizes == [3000] * 40


def test_records_are_numbered_and_contain_what_was_given(tmp_path):
    first, second = (write_record(tmp_path / "out", "job", FILES) for _ in range(2))
    assert (first.name, second.name) == ("job-001", "job-002")
    for name, data in FILES.items():
        assert (second / name).read_bytes() == data
    assert entries(tmp_path / "out") == ["job-001", "job-002"]


def test_numbering_continues_after_the_highest_so_that_order_is_age(tmp_path):
    for name in ("job-002", "job-0007", "Job-009", "job-x", "other-050"):
        (tmp_path / name).mkdir()
    assert write_record(tmp_path, "job", FILES).name == "job-010"
    (tmp_path / "job-999").mkdir()
    assert write_record(tmp_path, "job", FILES).name == "job-1000"


def test_a_function_may_fill_the_record(tmp_path):
    def fill(folder: Path) -> None:
        (folder / "a").mkdir()
        (folder / "a" / "b.txt").write_text("here")

    assert (write_record(tmp_path, "job", fill) / "a" / "b.txt").read_text() == "here"


@NEEDS_LINUX
def test_a_writer_killed_at_fifty_random_moments_leaves_whole_records_only(tmp_path):
    old = write_record(tmp_path, "job", FILES)
    (tmp_path / ".mine").write_text("not yours")
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in old.rglob("*") if p.is_file()}
    seed = random.Random(20240517)
    interrupted = 0
    for _ in range(50):
        process = start(WRITER, tmp_path, "job", 10_000)
        time.sleep(seed.uniform(0.0, 0.03))
        process.send_signal(signal.SIGKILL)
        process.wait()
        left = [n for n in entries(tmp_path) if n.startswith(PREFIX)]
        interrupted += bool(left)
        assert len(left) <= 1
        assert all(is_whole(p) for p in tmp_path.glob("job-*") if p != old)
    assert interrupted >= 10, "the kills came too late to prove anything"
    assert before == {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in old.rglob("*") if p.is_file()}
    write_record(tmp_path, "job", FILES)
    assert [n for n in entries(tmp_path) if n.startswith(".")] == [".mine"]


SUICIDE = """
import os, signal, sys
from pathlib import Path
from hoopwright.record.atomic_write import write_record
parent, fatal, count = Path(sys.argv[1]), int(sys.argv[2]), 0
def hook(event, args):
    global count
    if event in ("open", "os.mkdir", "os.rename", "os.listdir", "os.scandir", "fcntl.flock"):
        count += 1
        if count == fatal:
            os.kill(os.getpid(), signal.SIGKILL)
print("ready", flush=True)
sys.addaudithook(hook)
write_record(parent, "job", {f"{k}.bin": bytes(3000) for k in range(3)})
"""


@NEEDS_LINUX
def test_a_writer_killed_before_any_of_its_calls_leaves_nothing_or_everything(tmp_path):
    for fatal in range(1, 60):
        process = start(SUICIDE, tmp_path, fatal)
        if process.wait() == 0:
            break
        for record in tmp_path.glob("job-*"):
            assert len(list(record.iterdir())) == 3
            shutil.rmtree(record)
        assert len(entries(tmp_path)) <= 1
    assert 10 < fatal < 59
    assert entries(tmp_path) == ["job-001"]


@NEEDS_LINUX
def test_simultaneous_writers_take_different_numbers_and_leave_each_other_alone(tmp_path):
    writers = [start(WRITER, tmp_path, "job", 8) for _ in range(3)]
    assert [w.wait() for w in writers] == [0, 0, 0]
    assert entries(tmp_path) == [f"job-{k:03d}" for k in range(1, 25)]
    assert all(is_whole(p) for p in tmp_path.iterdir())


def test_a_number_taken_at_the_last_moment_is_skipped(tmp_path, monkeypatch):
    rename = os.rename

    def late(source, target):
        if not (tmp_path / "job-001").exists():
            (tmp_path / "job-001").mkdir()
            (tmp_path / "job-001" / "theirs").write_text("first")
        return rename(source, target)

    monkeypatch.setattr(os, "rename", late)
    assert write_record(tmp_path, "job", FILES).name == "job-002"
    assert entries(tmp_path / "job-001") == ["theirs"]


@NEEDS_LINUX
def test_the_partial_entry_of_a_running_writer_is_not_removed_however_old(tmp_path):
    program = (
        "import sys, time; from pathlib import Path\n"
        "from hoopwright.record.atomic_write import write_record\n"
        "def fill(folder):\n"
        "    (folder / 'a').write_text('a'); print('ready', flush=True); sys.stdin.read()\n"
        "write_record(Path(sys.argv[1]), 'slow', fill)\n"
    )
    process = start(program, tmp_path, stdin=subprocess.PIPE)
    entry = next(tmp_path.glob(PREFIX + "*"))
    os.utime(entry, (0, 0))
    write_record(tmp_path, "job", FILES)
    assert entry.exists()
    process.communicate("")
    assert process.returncode == 0
    assert entries(tmp_path) == ["job-001", "slow-001"]


def test_without_locks_a_partial_entry_is_removed_only_when_it_is_old(tmp_path, monkeypatch):
    monkeypatch.setattr("hoopwright.record.partial_output.fcntl", None)
    young, old = (tmp_path / f"{PREFIX}{k:016x}" for k in (1, 2))
    for entry in (young, old):
        entry.mkdir()
    os.utime(old, (time.time() - 2 * ABANDONED_AFTER_S,) * 2)
    write_record(tmp_path, "job", FILES)
    assert entries(tmp_path) == [young.name, "job-001"]


def test_only_partial_entries_named_by_the_tool_are_ever_removed(tmp_path):
    foreign = [".hoopwright-partial-mine", ".hoopwright-partial-" + "0" * 15, ".hidden"]
    for name in foreign:
        (tmp_path / name).mkdir()
    link = tmp_path / f"{PREFIX}{3:016x}"
    (tmp_path / "target").mkdir()
    link.symlink_to(tmp_path / "target")
    write_record(tmp_path, "job", FILES)
    assert set(entries(tmp_path)) == {*foreign, link.name, "target", "job-001"}
    assert NAME.fullmatch(link.name)
