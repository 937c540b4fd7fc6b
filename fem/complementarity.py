"""Linear complementarity problems by pivoting.

    z >= 0,   w = M z + q >= 0,   z · w = 0

`contact_force` exchanges violators by block pivoting, which is quick and, with M positive definite, finite.
`complementary` is Lemke's method, slower and less choosy. It adds a vector θ c to q, with c > 0 and θ so
great that z = 0 solves the problem; pivoting then lets θ fall to zero. In each step the partner of the
variable that has left the basis enters it, and the variable that falls to zero first leaves. Source: Lemke,
Management Science 11 (1965) (from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from scipy.linalg.blas import dger

from hoopwright.fem.errors import SolveError

Solved = TypeVar("Solved")
MAX_PIVOTS = 20
"""For every variable; one to two are usual."""
MAX_BLOCK_PIVOTS = 300
MAX_STALLED_STEPS = 3
"""Block pivoting steps allowed without a decrease in the number of violations."""
TOLERANCE = 1e-9
"""Of the greatest force or target; a violation below it is rounding."""
SMALLEST_PIVOT = 1e-11
SOLVED = 1e-9
"""θ, with M, q and c of the order of one, below which it is rounding."""


def complementary(M: np.ndarray, q: np.ndarray, cover: np.ndarray) -> tuple[np.ndarray, np.ndarray] | None:
    """z and w, (N,) each, of which one is exactly zero in every place; None where no pivot is left.

    M: (N, N); q: (N,); cover: c, (N,), > 0; all of the order of one. Entries of c that are all different
    keep two variables from falling to zero at once.
    """
    size = len(q)
    theta = 2 * size  # w are numbered from 0, z from `size`
    table = np.asfortranarray(np.column_stack([-M, -cover, q]))  # basic variables = q + M z + θ c
    basic, others = np.arange(size), np.arange(size, theta + 1)
    row, column = int(np.argmin(q / cover)), size
    if q[row] >= 0.0:
        return np.zeros(size), q
    for _ in range(MAX_PIVOTS * size):
        left = basic[row]
        _exchange(table, row, column)
        basic[row], others[column] = others[column], left
        of_theta = np.flatnonzero(basic == theta)
        if len(of_theta) == 0 or table[of_theta[0], -1] < SOLVED:
            value = np.zeros(theta + 1)
            value[basic] = np.maximum(table[:, -1], 0.0)
            return value[size:theta], value[:size]
        column = int(np.flatnonzero(others == (left + size) % theta)[0])
        falling = table[:, column] > SMALLEST_PIVOT
        if not np.any(falling):
            return None
        reach = np.full(size, np.inf)
        reach[falling] = np.maximum(table[falling, -1], 0.0) / table[falling, column]
        row = int(np.argmin(reach))
    return None


def _exchange(table: np.ndarray, row: int, column: int) -> None:
    """Exchange the basic variable of a row for the variable of a column, in place."""
    pivot, entering = table[row, column], table[:, column].copy()
    leaving = table[row] / pivot
    leaving[column] = 1.0 / pivot
    entering[row], table[:, column] = 0.0, 0.0
    dger(-1.0, entering, leaving, a=table, overwrite_a=True)
    table[row] = leaving


def contact_force(M: np.ndarray, target: np.ndarray) -> np.ndarray:
    """Forces f >= 0 with M f >= target, and equal where f > 0, (pairs,), by block principal pivoting.

    Raises SolveError where it does not end; with M positive definite it does.
    """
    tolerance = TOLERANCE * max(float(np.max(np.abs(target), initial=0.0)), 1e-6)

    def solve(closed: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        pressed = np.flatnonzero(closed)
        force = np.zeros(len(target))
        between = M.take(pressed, axis=0).take(pressed, axis=1)  # several times faster than np.ix_
        force[pressed] = np.linalg.solve(between, target[pressed])
        pulled = closed & (force < -TOLERANCE * np.max(np.abs(force), initial=0.0))
        return force, np.flatnonzero(pulled | (~closed & (M @ force < target - tolerance)))

    force, _, _ = block_pivoting(target > 0.0, solve)
    return np.maximum(force, 0.0)


def block_pivoting(
    closed: np.ndarray, solve: Callable[[np.ndarray], tuple[Solved, np.ndarray]]
) -> tuple[Solved, np.ndarray, int]:
    """What `solve` finds once no pair violates its condition, the pairs closed then, and the steps taken.

    closed: (pairs,) bool, to start from; solve: from the closed pairs to what it finds with them and the
    numbers of the pairs that violate their condition. All of them change state at once. When that stops
    making progress, pairs change one at a time, which terminates where the compliance matrix of the pairs
    is positive definite. Raises SolveError where it takes more than MAX_BLOCK_PIVOTS steps.
    Source: Júdice & Pires, Computers & Operations Research 21 (1994) (from memory, not seen).
    """
    fewest, patience = len(closed) + 1, MAX_STALLED_STEPS
    for step in range(1, MAX_BLOCK_PIVOTS + 1):
        found, offending = solve(closed)
        if len(offending) == 0:
            return found, closed, step
        if len(offending) < fewest:
            fewest, patience = len(offending), MAX_STALLED_STEPS
        else:
            patience -= 1
        closed = closed.copy()
        closed[offending if patience >= 0 else offending[-1:]] ^= True
    raise SolveError(f"contact did not converge in {MAX_BLOCK_PIVOTS} steps")
