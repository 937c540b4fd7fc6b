"""Locked temporary entries for atomic output, and removal of those that a dead process left behind."""

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
except ImportError:  # no flock on this system: abandoned entries are recognised by age alone
    fcntl = None  # type: ignore[assignment]

PREFIX = ".hoopwright-partial-"
NAME = re.compile(re.escape(PREFIX) + r"[0-9a-f]{16}")
ABANDONED_AFTER_S = 24 * 3600.0
"""Seconds: where locks are not available, an entry untouched for this long counts as abandoned."""
MAX_ATTEMPTS = 20


@contextmanager
def locked_partial(make: Callable[[Path], Path], parent: Path) -> Iterator[Path]:
    """A new hidden entry in parent, locked while in use, and removed at the end unless it was renamed.

    make: creates an empty file or folder in the folder it is given. Raises OSError where no entry could be
    locked in MAX_ATTEMPTS attempts.
    """
    for _ in range(MAX_ATTEMPTS):
        path = make(parent)
        descriptor = _lock(path)
        if descriptor is not None:
            break
    else:
        raise OSError(f"cannot lock a new entry in {parent}")
    try:
        yield path
    finally:
        _remove(path)
        if descriptor >= 0:
            os.close(descriptor)


def remove_abandoned(parent: Path) -> None:
    """Remove hidden entries whose writer has died. Never raises OSError: this is housekeeping only."""
    with suppress(OSError):
        for name in os.listdir(parent):
            if NAME.fullmatch(name):
                with suppress(OSError):
                    _remove_if_abandoned(Path(parent) / name)


def _remove_if_abandoned(path: Path) -> None:
    mode = os.lstat(path).st_mode
    if not (stat.S_ISDIR(mode) or stat.S_ISREG(mode)):
        return
    descriptor = _lock(path)
    if descriptor is None:
        return  # its writer is alive, or has just renamed it
    try:
        if descriptor >= 0 or time.time() - os.lstat(path).st_mtime > ABANDONED_AFTER_S:
            _remove(path)
    finally:
        if descriptor >= 0:
            os.close(descriptor)


def _lock(path: Path) -> int | None:
    """Lock the path and return the descriptor that holds the lock.

    -1 where locks are not supported; None where another process holds it or renamed the path.
    """
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
