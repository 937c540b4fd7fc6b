"""Search the window of interference in a forked worker process while this one draws, and solves the press
plan.

The worker is used on Linux with two or more CPUs only, and where this process has no other thread: threads
do not survive a fork, and the locks that they hold are never released. Elsewhere, and whenever the worker
fails, the work is done in this process, with the same result.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import islice
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from typing import TypeVar

T = TypeVar("T")
TIMEOUT_S = 60.0
"""Seconds without an item and without work after which the worker is abandoned."""


@contextmanager
def in_worker(make: Callable[[], Iterator[T]]) -> Iterator[Iterator[T]]:
    """An iterator over the items of make(), computed by a worker; it blocks until the next one is there.

    make: called in the worker, and once more here if the worker fails. Its items must be picklable. The
    worker is killed when the context ends.
    """
    if not _may_fork() or (os.cpu_count() or 1) < 2 or threading.active_count() > 1:
        yield make()
        return
    receiver, sender = Pipe(duplex=False)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # the only other threads are idle ones of BLAS
        child = os.fork()
    if child == 0:
        receiver.close()  # or the worker would block on a full pipe after its parent was killed
        _run_in_child(make, sender)
    sender.close()
    try:
        yield _receive_or_redo(make, receiver, child)
    finally:
        receiver.close()
        with suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def _may_fork() -> bool:
    return sys.platform == "linux" and hasattr(os, "fork")


def _run_in_child(make: Callable[[], Iterator[T]], pipe: Connection) -> None:
    """Send the items from the worker, then exit without flushing buffers inherited from the parent."""
    with suppress(BaseException):
        for item in make():
            pipe.send((True, item))
        pipe.send((False, None))
    os._exit(0)


def _receive_or_redo(make: Callable[[], Iterator[T]], pipe: Connection, child: int) -> Iterator[T]:
    """Items as they arrive; if the worker dies or is idle, the remaining ones are computed here."""
    count = 0
    with suppress(EOFError, OSError):
        while _arrives(pipe, child):
            more, item = pipe.recv()
            if not more:
                return
            count += 1
            yield item
    yield from islice(make(), count, None)


def _arrives(pipe: Connection, child: int) -> bool:
    """Whether something arrives before the worker has done nothing for the time it is given: a lock that
    was never released stops it, where a large mesh only takes long."""
    used = _processor_time(child)
    while not pipe.poll(TIMEOUT_S):
        before, used = used, _processor_time(child)
        if used == before:
            return False
    return True


def _processor_time(child: int) -> tuple[str, ...]:
    """What the process has used of the processor, by the kernel's own count, in user and system."""
    with open(f"/proc/{child}/stat", encoding="utf-8") as found:
        after_name = found.read().rpartition(")")[2].split()
    return tuple(after_name[11:13])
