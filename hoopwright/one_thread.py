"""One thread of the matrix library while something is solved.

The matrices here are small: several threads wait for each other longer than they work. Libraries differ in
whom a limit holds for. One whose threads serve the whole process is limited when the first of all callers
begins, and set free when the last is done, so that none lifts the limit from under another; one that counts
for each calling thread is limited by each for itself.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

Limits = list[tuple[Any, int]]
"""Libraries, each with the number of threads that it had."""

_lock = threading.Lock()
_callers = 0
_for_all: Limits = []
_here = threading.local()


@contextmanager
def one_thread() -> Iterator[None]:
    """Limit the matrix library to one thread; also a decorator."""
    if getattr(_here, "inside", False):
        yield
        return
    own = _begin()
    _here.inside = True
    try:
        yield
    finally:
        _here.inside = False
        _end(own)


def _begin() -> Limits:
    """Limit the libraries; those that are limited for this thread alone are returned."""
    global _callers
    import scipy.linalg  # noqa: F401 - a library that is loaded later would not be limited
    from threadpoolctl import ThreadpoolController

    with _lock:
        found = ThreadpoolController().select(user_api="blas").lib_controllers
        own = [(one, one.get_num_threads()) for one in found if not _serves_all(one)]
        if not _callers:
            _for_all[:] = [(one, one.get_num_threads()) for one in found if _serves_all(one)]
        for library, _ in (*own, *_for_all):
            _set(library, 1)
        _callers += 1
    return own


def _end(own: Limits) -> None:
    global _callers
    with _lock:
        _callers -= 1
        for library, count in (*own, *(() if _callers else _for_all)):
            _set(library, count)


def _serves_all(library: Any) -> bool:
    """Whether the library has one number of threads for the whole process."""
    return library.internal_api == "openblas" and library.threading_layer != "openmp"


def _set(library: Any, count: int) -> None:
    """Set the number of threads, whichever thread asks. By its usual way threadpoolctl ignores, without a
    word, all threads but the one that was first to set it in this process."""
    getattr(library, "_real_set_num_threads", library.set_num_threads)(count)
