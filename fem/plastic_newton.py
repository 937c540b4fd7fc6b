"""Newton's method for metal that yields, with unknowns held, tied, or pressed together.

Both a loaded body and a press fit are one problem: find u with

    Tᵀ [F_int(u) − f] = 0   on the unknowns kept,   u_shell − u_sleeve = δ   on the pairs that touch,

T mapping the unknowns kept to all of them. A step that leaves pairs pulling or overlapping changes
which pairs touch and goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.sparse import csr_matrix, identity

from fem.errors import SolveError
from fem.linear import factorise
from fem.plastic import History, PlasticBody, Response
from fem.strain import COMPONENTS, TH

MOST_ITERATIONS = 40
CONVERGED = 1e-9


@dataclass(frozen=True)
class Step:
    """A converged state. displacement: (size,), mm; residuals: relative, one per iteration;
    reaction: F_int − f, (size,), N per radian."""

    displacement: np.ndarray
    response: Response
    reaction: np.ndarray
    residuals: tuple[float, ...]

    @property
    def history(self) -> History:
        return self.response.history


@dataclass
class Constraint:
    """T and the jump it must make: u = T q + jump. update(reaction, u) may change what touches and
    returns whether it did."""

    join: csr_matrix
    kept: np.ndarray
    jump: Callable[[np.ndarray], np.ndarray]
    update: Callable[[np.ndarray, np.ndarray], Constraint | None] = field(default=lambda *_: None)


def held(size: int, fixed: np.ndarray) -> Constraint:
    """Nothing tied; some unknowns held where they are. u_θ is always held."""
    free = np.ones(size, dtype=bool)
    free[fixed] = False
    free[TH::COMPONENTS] = False
    return Constraint(csr_matrix(identity(size)), np.flatnonzero(free), np.zeros_like)


def solve_step(
    body: PlasticBody, start: np.ndarray, before: History, load: np.ndarray, constraint: Constraint
) -> Step:
    """The state that follows `before` under a load (size,), N per radian, from the guess `start`.

    Raises SolveError when Newton's method does not converge: the load may be past the limit load.
    """
    u, residuals = start.copy(), []
    response = body.respond(u, before)
    for _ in range(MOST_ITERATIONS):
        inner = body.force(response.stress)
        gap = constraint.jump(u)
        out = constraint.join.T @ (inner - load)
        scale = max(body.magnitude(response.stress), float(np.linalg.norm(load)), body.rounding / CONVERGED)
        residuals.append(float(np.linalg.norm(out[constraint.kept])) / scale)
        closed = float(np.max(np.abs(gap), initial=0.0)) <= 1e-12 + 1e-9 * float(np.max(np.abs(u)))
        if closed and residuals[-1] <= CONVERGED:
            changed = constraint.update(inner - load, u)
            if changed is None:
                return Step(u, response, inner - load, tuple(residuals))
            constraint = changed
            continue
        if not np.isfinite(residuals[-1]):
            break
        u = u + _correction(body, response, constraint, load - inner, gap)
        response = body.respond(u, before)
    raise SolveError(f"plastic step did not converge: relative residual {residuals[-1]:.1e}; "
                     "the load may be past what the section can carry")


def _correction(
    body: PlasticBody, response: Response, constraint: Constraint, out: np.ndarray, gap: np.ndarray
) -> np.ndarray:
    """The step Tq + gap that takes the residual out to first order."""
    K, T, kept = body.stiffness(response.tangent), constraint.join, constraint.kept
    rhs = (T.T @ (out - K @ gap))[kept]
    reduced = np.zeros(T.shape[1])
    if np.any(rhs):
        matrix = (T.T @ K @ T).tocsr()[kept][:, kept]
        reduced[kept] = factorise(matrix).solve(rhs)
    return T @ reduced + gap
