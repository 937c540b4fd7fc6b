"""Work done by a second process while this one goes on: a record is drawn while the press is computed.

Only Linux forks: elsewhere, and wherever the second process fails, the work is done here instead. The
result is the same either way. The work must be of one thread: threads do not follow into a fork.
"""

from __future__ import annotations

import os
import signal
import sys
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import islice
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from typing import TypeVar

T = TypeVar("T")
PATIENCE = 60.0
"""s without an answer after which the second process is given up."""


@contextmanager
def aside(make: Callable[[], Iterator[T]]) -> Iterator[Iterator[T]]:
    """The items that make() yields, in order; each is waited for when it is asked for."""
    if sys.platform != "linux" or (os.cpu_count() or 1) < 2:
        yield make()
        return
    here, there = Pipe(duplex=False)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # the other threads are those of BLAS, at rest
        child = os.fork()
    if child == 0:
        here.close()  # else this process would wait for ever to write to one that was killed
        _work(make, there)
    there.close()
    try:
        yield _answers(make, here)
    finally:
        here.close()
        with suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def _work(make: Callable[[], Iterator[T]], pipe: Connection) -> None:
    """In the second process; never returns, and leaves the files of the first one alone."""
    with suppress(BaseException):
        for item in make():
            pipe.send((True, item))
        pipe.send((False, None))
    os._exit(0)


def _answers(make: Callable[[], Iterator[T]], pipe: Connection) -> Iterator[T]:
    count = 0
    with suppress(EOFError, OSError):
        while pipe.poll(PATIENCE):
            more, item = pipe.recv()
            if not more:
                return
            count += 1
            yield item
    yield from islice(make(), count, None)
