"""A record is there whole or not at all, whatever happens to the process or the disk."""

from __future__ import annotations

import errno
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from hoopwright.record.folder import OutputError, write_file, write_record
from hoopwright.record.names import LONGEST, safe_name
from hoopwright.record.partial import NAME, OLD, PREFIX

ROOT = Path(__file__).resolve().parents[1]
FILES = {"results.json": b"{}\n", "figures/section.svg": b"<svg/>\n", "record.pdf": b"%PDF\n"}
NEEDS_LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="kills and locks as on Linux")

WRITER = """
import sys
from pathlib import Path
from hoopwright.record.folder import write_record
parent, stem, rounds = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
files = {f"part{k % 5}/file{k:02d}.bin": bytes([k]) * 3000 for k in range(40)}
print("ready", flush=True)
for _ in range(rounds):
    write_record(parent, stem, files)
"""


def start(program: str, *args: object, **more) -> subprocess.Popen:
    """A process of its own; returns once it says it is ready."""
    process = subprocess.Popen([sys.executable, "-c", program, *map(str, args)], text=True,
                               cwd=ROOT, stdout=subprocess.PIPE, **more)
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    return process


def is_whole(record: Path) -> bool:
    """Whether a record of WRITER holds all forty files with all their bytes."""
    sizes = [f.stat().st_size for f in record.rglob("*.bin")]
    return sizes == [3000] * 40


def names(parent: Path) -> list[str]:
    return sorted(p.name for p in parent.iterdir())


def test_records_are_numbered_and_hold_what_was_given(tmp_path):
    first, second = (write_record(tmp_path / "out", "job", FILES) for _ in range(2))
    assert (first.name, second.name) == ("job-001", "job-002")
    for name, data in FILES.items():
        assert (second / name).read_bytes() == data
    assert names(tmp_path / "out") == ["job-001", "job-002"]


def test_numbers_go_on_after_the_highest_so_that_order_is_age(tmp_path):
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
    caught = 0
    for _ in range(50):
        process = start(WRITER, tmp_path, "job", 10_000)
        time.sleep(seed.uniform(0.0, 0.03))
        process.send_signal(signal.SIGKILL)
        process.wait()
        left = [n for n in names(tmp_path) if n.startswith(PREFIX)]
        caught += bool(left)
        assert len(left) <= 1
        assert all(is_whole(p) for p in tmp_path.glob("job-*") if p != old)
    assert caught >= 10, "the kills came too late to prove anything"
    assert before == {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in old.rglob("*") if p.is_file()}
    write_record(tmp_path, "job", FILES)
    assert [n for n in names(tmp_path) if n.startswith(".")] == [".mine"]


SUICIDE = """
import os, signal, sys
from pathlib import Path
from hoopwright.record.folder import write_record
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
        assert len(names(tmp_path)) <= 1
    assert 10 < fatal < 59
    assert names(tmp_path) == ["job-001"]


@NEEDS_LINUX
def test_writers_at_work_at_once_take_different_numbers_and_leave_each_other_alone(tmp_path):
    writers = [start(WRITER, tmp_path, "job", 8) for _ in range(3)]
    assert [w.wait() for w in writers] == [0, 0, 0]
    assert names(tmp_path) == [f"job-{k:03d}" for k in range(1, 25)]
    assert all(is_whole(p) for p in tmp_path.iterdir())


def test_a_number_taken_in_the_last_moment_is_left_and_the_next_one_used(tmp_path, monkeypatch):
    rename = os.rename

    def late(source, target):
        if not (tmp_path / "job-001").exists():
            (tmp_path / "job-001").mkdir()
            (tmp_path / "job-001" / "theirs").write_text("first")
        return rename(source, target)

    monkeypatch.setattr(os, "rename", late)
    assert write_record(tmp_path, "job", FILES).name == "job-002"
    assert names(tmp_path / "job-001") == ["theirs"]


@NEEDS_LINUX
def test_the_entry_of_a_living_writer_is_not_removed_however_old(tmp_path):
    hold = ("import sys, time; from pathlib import Path\n"
            "from hoopwright.record.folder import write_record\n"
            "def fill(folder):\n"
            "    (folder / 'a').write_text('a'); print('ready', flush=True); sys.stdin.read()\n"
            "write_record(Path(sys.argv[1]), 'slow', fill)\n")
    process = start(hold, tmp_path, stdin=subprocess.PIPE)
    entry = next(tmp_path.glob(PREFIX + "*"))
    os.utime(entry, (0, 0))
    write_record(tmp_path, "job", FILES)
    assert entry.exists()
    process.communicate("")
    assert process.returncode == 0
    assert names(tmp_path) == ["job-001", "slow-001"]


def test_without_locks_an_entry_is_removed_only_when_it_is_old(tmp_path, monkeypatch):
    monkeypatch.setattr("hoopwright.record.partial.fcntl", None)
    young, old = (tmp_path / f"{PREFIX}{k:016x}" for k in (1, 2))
    for entry in (young, old):
        entry.mkdir()
    os.utime(old, (time.time() - 2 * OLD,) * 2)
    write_record(tmp_path, "job", FILES)
    assert names(tmp_path) == [young.name, "job-001"]


def test_only_entries_of_our_own_naming_are_ever_removed(tmp_path):
    kept = [".hoopwright-partial-mine", ".hoopwright-partial-" + "0" * 15, ".hidden"]
    for name in kept:
        (tmp_path / name).mkdir()
    link = tmp_path / f"{PREFIX}{3:016x}"
    (tmp_path / "target").mkdir()
    link.symlink_to(tmp_path / "target")
    write_record(tmp_path, "job", FILES)
    assert set(names(tmp_path)) == {*kept, link.name, "target", "job-001"}
    assert NAME.fullmatch(link.name)


FULL = """
import sys
from pathlib import Path
from hoopwright.record.folder import OutputError, write_record
parent = Path(sys.argv[1])
files = {{f"{{k}}.bin": bytes(10_000) for k in range({count})}}
try:
    write_record(parent, "job", files)
except OutputError as error:
    print(error, sorted(p.name for p in parent.iterdir()))
"""


def in_small_disk(folder: Path, options: str, program: str) -> str:
    """Run with a small disk mounted on folder, in a mount namespace that ends with the process."""
    if shutil.which("unshare") is None:
        pytest.skip("no unshare here")
    mount = f'mount -t tmpfs -o {options} tmpfs "$1" || exit 77; exec "$2" -c "$3" "$1"'
    done = subprocess.run(
        ["unshare", "--map-root-user", "--mount", "sh", "-c", mount, "sh", str(folder), sys.executable,
         program], capture_output=True, text=True, cwd=ROOT)
    if done.returncode in (1, 77) and "hoopwright" not in done.stderr:
        pytest.skip("a small disk may not be mounted here")
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@NEEDS_LINUX
def test_a_full_disk_gives_one_line_and_leaves_nothing(tmp_path):
    said = in_small_disk(tmp_path, "size=64k", FULL.format(count=20))
    assert said == f"{tmp_path}: cannot write: the disk is full []"


@NEEDS_LINUX
def test_a_read_only_disk_gives_one_line(tmp_path):
    said = in_small_disk(tmp_path, "ro", FULL.format(count=1))
    assert said == f"{tmp_path}: cannot write: the file system is read-only []"


@NEEDS_LINUX
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full")
def test_a_single_file_on_a_full_device_gives_one_line():
    with pytest.raises(OutputError, match=r"^/dev/full: cannot write: the disk is full$"):
        write_file(Path("/dev/full"), b"x")


@pytest.mark.parametrize(("code", "reason"), [
    (errno.ENOSPC, "the disk is full"), (errno.EACCES, "no permission"), (errno.EDQUOT, "quota"),
    (errno.EIO, "the disk reports an error"), (errno.ETIMEDOUT, os.strerror(errno.ETIMEDOUT)),
])
@pytest.mark.parametrize("call", ["fsync", "rename", "mkdir"])
def test_an_error_at_any_step_is_one_line_and_cleans_up(tmp_path, monkeypatch, call, code, reason):
    def broken(*_args, **_more):
        raise OSError(code, os.strerror(code))

    write_record(tmp_path, "job", FILES)
    monkeypatch.setattr(os, call, broken)
    with pytest.raises(OutputError) as caught:
        write_record(tmp_path, "job", FILES)
    assert reason in str(caught.value)
    assert "\n" not in str(caught.value)
    assert names(tmp_path) == ["job-001"]


@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission_gives_one_line(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputError, match="no permission"):
            write_record(tmp_path, "job", FILES)
    finally:
        tmp_path.chmod(0o700)


def test_a_place_that_cannot_be_a_folder_gives_one_line(tmp_path):
    (tmp_path / "file").write_text("x")
    for place in (tmp_path / "file", tmp_path / "file" / "deeper"):
        with pytest.raises(OutputError, match="part of the path is a file, not a folder"):
            write_record(place, "job", FILES)
    with pytest.raises(OutputError, match="the name is too long"):
        write_record(tmp_path / ("n" * 300), "job", FILES)
    assert names(tmp_path) == ["file"]


def test_an_error_about_another_place_keeps_its_traceback(tmp_path):
    def fill(_folder: Path) -> None:
        Path("/no/such/font.ttf").read_bytes()

    with pytest.raises(FileNotFoundError):
        write_record(tmp_path, "job", fill)
    assert names(tmp_path) == []


@pytest.mark.parametrize("bad", ["../out.txt", "/etc/out.txt", "a/../../b", "", "a\\b"])
def test_a_name_cannot_lead_out_of_the_record(tmp_path, bad):
    with pytest.raises(ValueError, match="inside the record"):
        write_record(tmp_path, "job", {bad: b"x"})
    with pytest.raises(ValueError, match="without files"):
        write_record(tmp_path, "job", {})
    assert names(tmp_path) == []


@pytest.mark.parametrize(("text", "name"), [
    ("Tretlagergehäuse  groß", "Tretlagergehäuse-groß"), ("кожух 73 мм", "кожух-73-мм"), ("套筒", "套筒"),
    ("../../etc/passwd", "etc-passwd"), ("a/b\\c:d*e?", "a-b-c-d-e"), ("...", "record"), ("", "record"),
    ("\u202egnp.exe", "gnp.exe"), ("x\x00y\ny", "x-y-y"), ("\ud800", "record"), ("v1.2", "v1.2"),
    ("🚲", "record"), ("e\u0301", "é"),
])
def test_any_text_gives_a_safe_name_that_keeps_its_letters(text, name):
    assert safe_name(text) == name


def test_a_very_long_name_is_cut_between_letters(tmp_path):
    name = safe_name("ж" * 500)
    assert name == "ж" * (LONGEST // 2)
    assert write_record(tmp_path / "mit Leerzeichen ü", "ж" * 500, FILES).name == name + "-001"


def test_stem_and_number_stay_apart_for_names_that_look_like_patterns(tmp_path):
    assert [write_record(tmp_path, s, FILES).name for s in ("a.c", "abc", "a.c")] == [
        "a.c-001", "abc-001", "a.c-002"]


def test_a_single_file_is_not_replaced_unless_told(tmp_path):
    path = tmp_path / "results ü.json"
    assert write_file(path, b"one") == path
    with pytest.raises(OutputError, match="there already"):
        write_file(path, b"two")
    assert path.read_bytes() == b"one"
    path.chmod(0o640)
    write_file(path, b"two", overwrite=True)
    assert path.read_bytes() == b"two"
    assert path.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == [path.name]


def test_a_single_file_in_a_bad_place_gives_one_line(tmp_path):
    with pytest.raises(OutputError, match="the folder is not there"):
        write_file(tmp_path / "no" / "a.json", b"x")
    with pytest.raises(OutputError, match="a folder, not a file"):
        write_file(tmp_path, b"x", overwrite=True)
    with pytest.raises(OutputError, match="the name is too long"):
        write_file(tmp_path / ("n" * 300), b"x")
    assert names(tmp_path) == []


def test_replacing_a_file_through_a_link_keeps_the_link(tmp_path):
    (tmp_path / "real").write_bytes(b"one")
    (tmp_path / "link").symlink_to("real")
    write_file(tmp_path / "link", b"two", overwrite=True)
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_bytes() == b"two"


def test_a_file_system_without_links_still_gets_its_file_but_no_replacement(tmp_path, monkeypatch):
    def no_links(*_args, **_more):
        raise OSError(errno.EPERM, "no links")

    monkeypatch.setattr(os, "link", no_links)
    assert write_file(tmp_path / "a", b"one").read_bytes() == b"one"
    with pytest.raises(OutputError, match="there already"):
        write_file(tmp_path / "a", b"two")
    assert names(tmp_path) == ["a"]


def test_an_interrupt_while_writing_leaves_nothing(tmp_path):
    def fill(folder: Path) -> None:
        (folder / "half").write_text("x")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_record(tmp_path, "job", fill)
    assert names(tmp_path) == []
