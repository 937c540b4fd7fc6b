"""A command where memory may be refused: one line and an exit status, whoever is refused it.

Python raises MemoryError, an import fails, and native libraries end the process they run in. Where the
address space is limited (ulimit -v) the command runs in a child, so that its parent can say what happened.
"""

from __future__ import annotations

import errno
import mmap
import os
import select
import signal
import sys
from collections.abc import Callable, Iterator
from typing import NoReturn

from hoopwright import status

try:
    import resource
except ImportError:  # no such limits on this system
    resource = None  # type: ignore[assignment]

REFUSALS = (
    "failed to map segment",
    "cannot allocate memory",
    "out of memory",
    "unable to allocate",
    "memory allocation",
    "can't start new thread",
    "resource temporarily unavailable",
)
"""Words of what is no MemoryError but comes of memory refused: from the loader, threads and libraries."""
LEAST = 300 * 1024**2
"""Bytes that the smallest case takes more than; with less a matrix library may try for ever to start."""
ASKED_TO_END = (signal.SIGINT, signal.SIGTERM)


def limit() -> int | None:
    """The least limit on this process's memory, bytes; None where there is none."""
    if resource is None:
        return None
    found = (resource.getrlimit(kind)[0] for kind in (resource.RLIMIT_AS, resource.RLIMIT_DATA))
    return min((one for one in found if one != resource.RLIM_INFINITY), default=None)


def require_least() -> None:
    """Ask for what the smallest case takes, and give it back. Raises OSError where it is refused."""
    if limit() is not None:
        mmap.mmap(-1, LEAST).close()


def refused(error: BaseException) -> bool:
    """Whether an error comes of memory that was refused."""
    return any(
        isinstance(one, MemoryError)
        or (isinstance(one, OSError) and one.errno == errno.ENOMEM)
        or (
            (isinstance(one, ImportError | OSError | RuntimeError) or _is_panic(one))
            and any(words in str(one).lower() for words in REFUSALS)
        )
        for one in _chain(error)
    )


def message() -> str:
    """What to say, in one line."""
    most = limit()
    given = "" if most is None else f" within the limit of {most / 1e6:.0f} MB (see ulimit -v)"
    return f"not solved: not enough memory{given}; no file was written"


def guarded(run: Callable[[], int]) -> int:
    """Run a command in a child process and return its exit status; one line where memory ended it."""
    errors, errors_in = os.pipe()
    result, result_in = os.pipe()
    child = os.fork()
    if child == 0:
        _run_in_child(run, errors_in, result_in)
    os.close(errors_in)
    os.close(result_in)
    for asked in ASKED_TO_END:
        signal.signal(asked, lambda number, _frame: os.kill(child, number))
    said, ended_by = _wait(child, errors)
    code = os.read(result, 1)
    if code:
        sys.stderr.flush()
        os.write(2, said)
        return code[0]
    if ended_by in ASKED_TO_END:
        return 128 + ended_by
    print(message(), file=sys.stderr)
    return status.NOT_SOLVED


def _run_in_child(run: Callable[[], int], errors: int, result: int) -> NoReturn:
    """Run, and report the exit status by a pipe of its own: a library that ends the process does not."""
    os.dup2(errors, 2)
    code = 1
    try:
        code = run()
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else 1
    except BaseException as error:
        if not refused(error):
            sys.excepthook(type(error), error, error.__traceback__)
        else:
            print(message(), file=sys.stderr)
            code = status.NOT_SOLVED
    sys.stderr.flush()
    os.write(result, bytes([code]))
    os._exit(code)


def _wait(child: int, errors: int) -> tuple[bytes, int]:
    """What a child said on stderr, and the signal that ended it, 0 if none.

    Its own children may outlive it and hold the pipe open.
    """
    said, open_still = bytearray(), True
    while True:
        ready = select.select([errors] if open_still else [], [], [], 0.02)[0]
        if ready:
            part = os.read(errors, 65_536)
            said += part
            open_still = bool(part)
            continue
        done, how = os.waitpid(child, os.WNOHANG)
        if done:
            return bytes(said), os.WTERMSIG(how) if os.WIFSIGNALED(how) else 0


def _chain(error: BaseException) -> Iterator[BaseException]:
    """The error and those it came of."""
    seen: list[BaseException] = []
    one: BaseException | None = error
    while one is not None and one not in seen:
        seen.append(one)
        one = one.__cause__ or one.__context__
    return iter(seen)


def _is_panic(error: BaseException) -> bool:
    """Whether a library in another language gave up; such an error is no Exception."""
    return type(error).__name__ == "PanicException"
