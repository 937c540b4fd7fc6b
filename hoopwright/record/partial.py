"""Hidden entries that are being written, and those that a dead process left behind."""

from __future__ import annotations

import os
import re
import shutil
import stat
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # no such locks on this system: abandoned entries go by age alone
    fcntl = None  # type: ignore[assignment]

PREFIX = ".hoopwright-partial-"
NAME = re.compile(re.escape(PREFIX) + r"[0-9a-f]{16}")
OLD = 24 * 3600.0
"""s: without locks, an entry untouched for this long is taken as abandoned."""
TRIES = 20


@contextmanager
def held(make: Callable[[Path], Path], parent: Path) -> Iterator[Path]:
    """A new hidden entry in parent, locked while in use; removed at the end if still there."""
    for _ in range(TRIES):
        path = make(parent)
        descriptor = _locked(path)
        if descriptor is not None:
            break
    else:
        raise OSError(f"cannot keep a new entry in {parent}")
    try:
        yield path
    finally:
        _remove(path)
        if descriptor >= 0:
            os.close(descriptor)


def remove_abandoned(parent: Path) -> None:
    """Remove hidden entries whose writer is gone. Never raises: it is a courtesy."""
    with suppress(OSError):
        for name in os.listdir(parent):
            if NAME.fullmatch(name):
                with suppress(OSError):
                    _remove_if_abandoned(Path(parent) / name)


def _remove_if_abandoned(path: Path) -> None:
    mode = os.lstat(path).st_mode
    if not (stat.S_ISDIR(mode) or stat.S_ISREG(mode)):
        return
    descriptor = _locked(path)
    if descriptor is None:
        return  # its writer lives, or it has just got its final name
    try:
        if descriptor >= 0 or time.time() - os.lstat(path).st_mtime > OLD:
            _remove(path)
    finally:
        if descriptor >= 0:
            os.close(descriptor)


def _locked(path: Path) -> int | None:
    """A descriptor that holds the lock; -1 where there are no locks; None if another holds it or
    the path no longer leads to what was locked."""
    if fcntl is None:
        return -1
    try:
        descriptor = os.open(path, os.O_RDONLY)
    except FileNotFoundError:
        return None
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        if os.path.samestat(os.fstat(descriptor), os.lstat(path)):
            return descriptor
    except (BlockingIOError, FileNotFoundError):
        pass
    except OSError:  # locks not supported by this file system
        os.close(descriptor)
        return -1
    os.close(descriptor)
    return None


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
    else:
        with suppress(OSError):
            path.unlink()
