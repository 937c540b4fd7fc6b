"""Solve with the matrix library limited, and with what a user can cause told as such."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from hoopwright.errors import CaseError, NotSolvedError
from hoopwright.one_thread import one_thread


@contextmanager
def solving(file: str) -> Iterator[None]:
    """Raise CaseError where a body cannot be meshed, NotSolvedError where a solve fails.

    file: of the case, for the fault.
    """
    from hoopwright.fem.errors import MeshError, SolveError

    with one_thread():
        try:
            yield
        except MeshError as error:
            raise CaseError.at(file, str(error)) from error
        except SolveError as error:
            raise NotSolvedError.at(file, f"not solved: {error}") from error
