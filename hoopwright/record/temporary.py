"""A temporary folder, or one line why there is none."""

from __future__ import annotations

import errno
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hoopwright.errors import OutputError


def no_temporary_folder(error: OSError) -> OutputError:
    """The error to raise where temporary files cannot be written."""
    reason = "none can be written to" if error.errno in (None, errno.ENOENT) else error.strerror
    problem = f"output not written: no temporary folder with room ({reason})"
    return OutputError.at("", problem, "set TMPDIR to one")


@contextmanager
def temporary_folder() -> Iterator[Path]:
    """A new folder, removed at the end. Raises OutputError where it or a file in it cannot be written."""
    try:
        with tempfile.TemporaryDirectory() as folder:
            yield Path(folder)
    except OSError as error:
        raise no_temporary_folder(error) from None
