"""Atomic output: one new folder per run, or one file, complete or absent.

Everything is first written under a hidden name next to its target, flushed to disk, and then renamed.
The writer holds a lock on the hidden entry; the kernel releases it when the process ends, however it
ends. A later run can therefore recognise what a dead process left behind, and removes it.
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

from hoopwright.errors import OutputError
from hoopwright.record.file_names import safe_name
from hoopwright.record.partial_output import PREFIX, locked_partial, remove_abandoned

Writer = Callable[[Path], None]
"""Writes its files into the folder it is given."""

MAX_NUMBER = 99_999
"""Highest number of a record: more of one name in one folder come from a runaway loop."""

_FSYNC_FLAGS = os.O_RDWR if os.name == "nt" else os.O_RDONLY

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
    errno.ENOENT: "the folder does not exist",
    errno.ELOOP: "a symbolic link in the path points back to itself",
    errno.EIO: "the disk reports an error",
}


def write_record(parent: Path, stem: str, files: Mapping[str, bytes] | Writer) -> Path:
    """Write one new folder `<stem>-001`, `-002`, ... in parent and return its path.

    files: contents by path relative to the record, with "/" as separator; or a function that fills the
    folder it is given. stem: any text; turned into a safe file name. parent is created if need be. An
    existing record is never touched. Raises OutputError and then leaves nothing behind in parent.
    Raises ValueError for no files at all or a path that leads out of the record.
    """
    parent = Path(parent)
    with _as_output_error(parent):
        if parent.exists() and not parent.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, "not a folder", str(parent))
        parent.mkdir(parents=True, exist_ok=True)
        remove_abandoned(parent)
        with locked_partial(_make_folder, parent) as partial:
            _fill(partial, files)
            final = _rename_to_next(partial, parent, safe_name(stem))
        _flush_folder(parent)
    return final


def write_file(
    path: Path, data: bytes, *, overwrite: bool = False, last_look: Callable[[], None] | None = None
) -> Path:
    """Write one file atomically and return its path.

    A device or a pipe is written to directly. last_look: called when all is on the disk, just before it
    takes the place of the file; what it raises leaves the file as it is. Raises OutputError, also where the
    file exists and overwrite is False.
    """
    path = Path(path)
    with _as_output_error(path):
        if _is_stream(path):
            path.write_bytes(data)
            return path
        target = Path(os.path.realpath(path)) if overwrite else path
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, "a folder", str(target))
        remove_abandoned(target.parent)
        with locked_partial(_make_file, target.parent) as partial:
            _write(partial, data)
            if overwrite and target.exists():
                shutil.copymode(target, partial)
            if last_look is not None:
                last_look()
            (os.replace if overwrite else _link_or_rename)(partial, target)
        _flush_folder(target.parent)
    return path


def write_files(files: Mapping[Path, bytes]) -> None:
    """Write several files that belong together, each atomically, into a folder that is created if need be.

    Raises OutputError, also where one of them exists, and then leaves none of them behind.
    """
    written: list[Path] = []
    try:
        for path in files:
            with _as_output_error(path.parent):
                path.parent.mkdir(parents=True, exist_ok=True)
            if os.path.lexists(path) and not _is_stream(path):
                raise OutputError.at(path, "already exists and was left unchanged", "use another folder")
        for path, data in files.items():
            written.append(write_file(path, data))
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise


@contextmanager
def _as_output_error(place: Path) -> Iterator[None]:
    """Turn file-system errors about `place` into OutputError; any other is a bug and passes through."""
    try:
        yield
    except FileExistsError:
        raise OutputError.at(
            place, "already exists and was left unchanged", "choose another name"
        ) from None
    except OSError as error:
        if error.filename is not None and not _is_about(Path(os.fsdecode(error.filename)), place):
            raise
        reason = REASONS.get(error.errno or 0) or error.strerror or str(error)
        raise OutputError.at(place, f"cannot write: {reason}") from None


def _is_about(named: Path, place: Path) -> bool:
    """Whether `named` is `place`, one of its parents, or anything below its parent."""
    named, place = Path(os.path.abspath(named)), Path(os.path.abspath(place))
    return named == place or named in place.parents or place.parent in named.parents


def _fill(folder: Path, files: Mapping[str, bytes] | Writer) -> None:
    """Write the files, then flush them and every folder of the record to disk."""
    if isinstance(files, Mapping):
        for name, data in files.items():
            target = folder / _checked_name(name)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
    else:
        files(folder)
    if not any(folder.iterdir()):
        raise ValueError("a record without files")
    for root, _, names in os.walk(folder, topdown=False):
        for name in names:
            descriptor = os.open(os.path.join(root, name), _FSYNC_FLAGS)
            try:
                _flush(descriptor)
            finally:
                os.close(descriptor)
        _flush_folder(Path(root))


def _checked_name(name: str) -> PurePosixPath:
    """The name as a relative path. Raises ValueError where it leads out of the record."""
    relative = PurePosixPath(name)
    if relative.is_absolute() or ".." in relative.parts or not relative.parts or "\\" in name:
        raise ValueError(f"{name!r} is not the name of a file inside the record")
    return relative


def _rename_to_next(partial: Path, parent: Path, stem: str) -> Path:
    """Rename the finished folder to the next free number, also when other processes compete for it."""
    numbered = re.compile(re.escape(stem.casefold()) + r"-(\d{3,5})")
    taken = [int(m[1]) for m in map(numbered.fullmatch, (n.casefold() for n in os.listdir(parent))) if m]
    for number in range(max(taken, default=0) + 1, MAX_NUMBER + 1):
        final = parent / f"{stem}-{number:03d}"
        if os.path.lexists(final):
            continue
        try:
            os.rename(partial, final)
        except OSError as error:
            # A folder that is not empty cannot be replaced: another process took the number meanwhile.
            if error.errno not in (errno.EEXIST, errno.ENOTEMPTY, errno.ENOTDIR):
                raise
            continue
        return final
    raise OutputError.at(parent, f"{MAX_NUMBER} records named {stem}", "use another folder")


def _link_or_rename(partial: Path, target: Path) -> None:
    """Give the finished file its name. Raises FileExistsError where the name is taken."""
    try:
        os.link(partial, target)
    except FileExistsError:
        raise FileExistsError(errno.EEXIST, "exists", str(target)) from None
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK):
            raise
        if os.path.lexists(target):  # no hard links here: FAT, some network shares
            raise FileExistsError(errno.EEXIST, "exists", str(target)) from None
        os.rename(partial, target)
    else:
        os.unlink(partial)


def _make_folder(parent: Path) -> Path:
    path = _partial_path(parent)
    path.mkdir()
    return path


def _make_file(parent: Path) -> Path:
    path = _partial_path(parent)
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666))
    return path


def _partial_path(parent: Path) -> Path:
    return parent / f"{PREFIX}{secrets.token_hex(8)}"


def _write(path: Path, data: bytes) -> None:
    with open(path, "wb") as file:
        file.write(data)
        file.flush()
        _flush(file.fileno())


def _flush(descriptor: int) -> None:
    """fsync, ignored where the file system does not support it."""
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.EOPNOTSUPP, errno.ENOSYS):
            raise


def _flush_folder(folder: Path) -> None:
    """Make a rename in the folder survive a power cut; ignored where a folder cannot be opened."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _is_stream(path: Path) -> bool:
    """Whether the path is a device, a pipe or a socket."""
    try:
        mode = os.stat(path).st_mode
    except OSError:
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))
