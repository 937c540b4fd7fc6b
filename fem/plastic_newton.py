"""Newton's method for elastoplastic bodies with unknowns fixed, tied, or in contact.

A loaded body and a press fit are the same problem: find u such that

    Tᵀ [F_int(u) − f] = 0   on the free unknowns,   u_shell − u_sleeve = δ   at the closed pairs,

where T maps the free unknowns to all unknowns. Once converged, pairs in tension are opened and pairs that
overlap are closed, and the iteration continues.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.errors import SolveError
from hoopwright.fem.linear_solver import factorise
from hoopwright.fem.plastic import History, MaterialResponse, PlasticBody

MAX_ITERATIONS = 40
RELATIVE_TOLERANCE = 1e-9


@dataclass(frozen=True)
class Step:
    """A converged load step.

    displacement: (size,), mm; residuals: relative residual of each iteration; reaction: F_int − f,
    (size,), N per radian.
    """

    displacement: np.ndarray
    response: MaterialResponse
    reaction: np.ndarray
    residuals: tuple[float, ...]

    @property
    def history(self) -> History:
        return self.response.history


@dataclass
class Constraint:
    """Linear constraint u = T q + jump on the unknowns.

    transform: T, (size, size); free_unknowns: indices of q that are solved for; jump(u): correction that
    makes u satisfy the constraint, (size,), mm; update(reaction, u): the next constraint where the
    contact set has to change, else None.
    """

    transform: csr_matrix
    free_unknowns: np.ndarray
    jump: Callable[[np.ndarray], np.ndarray]
    update: Callable[[np.ndarray, np.ndarray], Constraint | None] = field(default=lambda *_: None)


def solve_step(
    body: PlasticBody, start: np.ndarray, before: History, load: np.ndarray, constraint: Constraint
) -> Step:
    """Solve one load step from the internal variables `before` with the initial guess `start`.

    start: displacement (size,), mm; load: (size,), N per radian. Raises SolveError when Newton's method
    does not converge, as beyond the limit load.
    """
    u, residuals = start.copy(), []
    response = body.stress_update(u, before)
    for _ in range(MAX_ITERATIONS):
        inner = body.force(response)
        gap = constraint.jump(u)
        out = constraint.transform.T @ (inner - load)
        scale = max(
            body.force_scale(response),
            float(np.linalg.norm(load)),
            body.rounding_force / RELATIVE_TOLERANCE,
        )
        residuals.append(float(np.linalg.norm(out[constraint.free_unknowns])) / scale)
        closed = float(np.max(np.abs(gap), initial=0.0)) <= 1e-12 + 1e-9 * float(np.max(np.abs(u)))
        if closed and residuals[-1] <= RELATIVE_TOLERANCE:
            changed = constraint.update(inner - load, u)
            if changed is None:
                return Step(u, response, inner - load, tuple(residuals))
            constraint = changed
            continue
        if not np.isfinite(residuals[-1]):
            break
        u = u + _correction(body, response, constraint, load - inner, gap)
        response = body.stress_update(u, before)
    raise SolveError(
        f"plastic step did not converge: relative residual {residuals[-1]:.1e}; "
        "the load may exceed the limit load"
    )


def _correction(
    body: PlasticBody, response: MaterialResponse, constraint: Constraint, out: np.ndarray, gap: np.ndarray
) -> np.ndarray:
    """Newton correction T q + gap of the displacement, (size,), mm."""
    K, T, free_unknowns = body.stiffness(response.tangent), constraint.transform, constraint.free_unknowns
    rhs = (T.T @ (out - K @ gap))[free_unknowns]
    reduced = np.zeros(T.shape[1])
    if np.any(rhs):
        matrix = (T.T @ K @ T).tocsr()[free_unknowns][:, free_unknowns]
        reduced[free_unknowns] = factorise(matrix).solve(rhs)
    return T @ reduced + gap
