"""Output that is there whole or not at all: one new folder per run, or one file.

Everything is first written under a hidden name beside its place, flushed to the disk, and then
renamed. The writer holds a lock on the hidden entry while it works; the kernel drops the lock when
the process dies, however it dies. So a later run can tell what was left behind, and removes it.
"""

from __future__ import annotations

import errno
import os
import re
import secrets
import shutil
import stat
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath

from hoopwright.record.names import safe_name
from hoopwright.record.partial import PREFIX, held, remove_abandoned

Writer = Callable[[Path], None]
"""Fills the folder it is given."""

LAST_NUMBER = 99_999
"""Tries stop here: a folder with that many records of one name is a slip in a loop."""

_TO_FLUSH = os.O_RDWR if os.name == "nt" else os.O_RDONLY

REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EFBIG: "the file is larger than the system allows",
    errno.EROFS: "the file system is read-only",
    errno.EACCES: "no permission to write there",
    errno.EPERM: "no permission to write there",
    errno.ENOTDIR: "part of the path is a file, not a folder",
    errno.EISDIR: "that is a folder, not a file",
    errno.ENAMETOOLONG: "the name is too long; write to a shorter path",
    errno.ENOENT: "the folder is not there",
    errno.ELOOP: "a link in the path leads back to itself",
    errno.EIO: "the disk reports an error",
}


class OutputError(Exception):
    """The output could not be written: one line, with the place and the reason."""


def write_record(parent: Path, stem: str, files: Mapping[str, bytes] | Writer) -> Path:
    """Write one new folder `<stem>-001`, `-002`, ... in parent and return its path.

    files: contents by name, "/" between folders of the record; or a function that fills the folder
    it is given. stem: any text; made a safe file name. parent is made if it is not there.
    An older record is never touched. Raises OutputError; then nothing new is left in parent.
    Raises ValueError for no files at all or a name that leads out of the record.
    """
    parent = Path(parent)
    with _one_line(parent):
        if parent.exists() and not parent.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, "not a folder", str(parent))
        parent.mkdir(parents=True, exist_ok=True)
        remove_abandoned(parent)
        with held(_make_folder, parent) as partial:
            _fill(partial, files)
            final = _rename_to_next(partial, parent, safe_name(stem))
        _flush_folder(parent)
    return final


def write_file(path: Path, data: bytes, *, overwrite: bool = False) -> Path:
    """Write one file whole or not at all and return its path.

    A device or a pipe is written straight into. Raises OutputError, also where the file is there
    already and overwrite is False.
    """
    path = Path(path)
    with _one_line(path):
        if _is_stream(path):
            path.write_bytes(data)
            return path
        target = Path(os.path.realpath(path)) if overwrite else path
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, "a folder", str(target))
        remove_abandoned(target.parent)
        with held(_make_file, target.parent) as partial:
            _write(partial, data)
            if overwrite and target.exists():
                shutil.copymode(target, partial)
            (os.replace if overwrite else _place_new)(partial, target)
        _flush_folder(target.parent)
    return path


@contextmanager
def _one_line(place: Path) -> Iterator[None]:
    """Turn an error of the file system into one line; an error about another place is a bug."""
    try:
        yield
    except FileExistsError:
        raise OutputError(f"{place}: it is there already and is left as it is; "
                          "choose another name") from None
    except OSError as error:
        if error.filename is not None and not _concerns(Path(os.fsdecode(error.filename)), place):
            raise
        reason = REASONS.get(error.errno or 0) or error.strerror or str(error)
        raise OutputError(f"{place}: cannot write: {reason}") from None


def _concerns(named: Path, place: Path) -> bool:
    """Whether the path an error names is the place, above it, beside it or inside it."""
    named, place = Path(os.path.abspath(named)), Path(os.path.abspath(place))
    return named == place or named in place.parents or place.parent in named.parents


def _fill(folder: Path, files: Mapping[str, bytes] | Writer) -> None:
    """Write the files and flush them and every folder of the record to the disk."""
    if isinstance(files, Mapping):
        for name, data in files.items():
            target = folder / _inside(name)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
    else:
        files(folder)
    if not any(folder.iterdir()):
        raise ValueError("a record without files")
    for root, _, names in os.walk(folder, topdown=False):
        for name in names:
            descriptor = os.open(os.path.join(root, name), _TO_FLUSH)
            try:
                _flush(descriptor)
            finally:
                os.close(descriptor)
        _flush_folder(Path(root))


def _inside(name: str) -> PurePosixPath:
    relative = PurePosixPath(name)
    if relative.is_absolute() or ".." in relative.parts or not relative.parts or "\\" in name:
        raise ValueError(f"{name!r} is not the name of a file inside the record")
    return relative


def _rename_to_next(partial: Path, parent: Path, stem: str) -> Path:
    """Give the finished folder the next free number; another process may take it first."""
    numbered = re.compile(re.escape(stem.casefold()) + r"-(\d{3,5})")
    taken = [int(m[1]) for m in map(numbered.fullmatch, (n.casefold() for n in os.listdir(parent))) if m]
    for number in range(max(taken, default=0) + 1, LAST_NUMBER + 1):
        final = parent / f"{stem}-{number:03d}"
        if os.path.lexists(final):
            continue
        try:
            os.rename(partial, final)
        except OSError as error:
            # A folder with something in it refuses to be replaced: the number was taken meanwhile.
            if error.errno not in (errno.EEXIST, errno.ENOTEMPTY, errno.ENOTDIR):
                raise
            continue
        return final
    raise OutputError(f"{parent}: {LAST_NUMBER} records named {stem}; use another folder")


def _place_new(partial: Path, target: Path) -> None:
    """Give the finished file its name unless the name is taken."""
    try:
        os.link(partial, target)
    except FileExistsError:
        raise FileExistsError(errno.EEXIST, "exists", str(target)) from None
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK):
            raise
        if os.path.lexists(target):  # a file system without links: FAT, some shares
            raise FileExistsError(errno.EEXIST, "exists", str(target)) from None
        os.rename(partial, target)
    else:
        os.unlink(partial)


def _make_folder(parent: Path) -> Path:
    path = _unused(parent)
    path.mkdir()
    return path


def _make_file(parent: Path) -> Path:
    path = _unused(parent)
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666))
    return path


def _unused(parent: Path) -> Path:
    return parent / f"{PREFIX}{secrets.token_hex(8)}"


def _write(path: Path, data: bytes) -> None:
    with open(path, "wb") as file:
        file.write(data)
        file.flush()
        _flush(file.fileno())


def _flush(descriptor: int) -> None:
    """fsync, where the file system knows it."""
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.EOPNOTSUPP, errno.ENOSYS):
            raise


def _flush_folder(folder: Path) -> None:
    """Make a rename in the folder last through a power cut; not every system can open a folder."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _is_stream(path: Path) -> bool:
    try:
        mode = os.stat(path).st_mode
    except OSError:
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))
