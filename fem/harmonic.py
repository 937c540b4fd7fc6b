"""Loads that are not round: one plane problem per harmonic, shell and sleeve joined where they touch.

    u(r, θ, z) = Σ_n u_n(r, z) in two families,   K(n) u_n = F_n,   K(n) = K0 + n K1 + n² K2

Cosine family: u_r, u_z ~ cos nθ, u_θ ~ sin nθ. Sine family: u_r, u_z ~ sin nθ, u_θ ~ −cos nθ. Both have
the same K(n), which is factorised once for all load cases.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fem.draw import Assembly
from fem.errors import MeshError
from fem.harmonic_load import FAMILIES, HarmonicLoads
from fem.harmonic_rigid import check_balance
from fem.harmonic_system import HarmonicSystem
from fem.round import Response, tail
from fem.stiffness import Model
from fem.strain import COMPONENTS, TH, R, Z
from fem.stress import Recovery
from loads.traction import FourierTraction

TAIL_TOLERANCE = 1e-2
"""Harmonics are added until the estimate of the rest is below this share of the largest amplitude."""

FEWEST_SOLVED = 6
"""Harmonics up to this are never left out."""


@dataclass(frozen=True)
class ServiceSolver:
    """Solves load cases of one assembly; keeps the factors, which depend only on what is joined and held.

    closed: (pairs,) bool, where shell and sleeve are joined. sliding: joined radially only, else in all
    three components. clamped: (from, to), mm, the shell's outside is held still there; without it loads
    must be in balance. ends_held: u_z = 0 on all end faces (plane strain), for comparison with closed
    forms.
    """

    assembly: Assembly
    closed: np.ndarray
    clamped: tuple[float, float] | None = None
    sliding: bool = False
    ends_held: bool = False

    @property
    def model(self) -> Model:
        return self.assembly.model

    @cached_property
    def recovery(self) -> Recovery:
        return Recovery(self.model)

    @cached_property
    def system(self) -> HarmonicSystem:
        tied = (R,) if self.sliding else (R, TH, Z)
        return HarmonicSystem(self.model, self.assembly.interface, self.closed, tied, self._held())

    @cached_property
    def _loads(self) -> HarmonicLoads:
        return HarmonicLoads(self.model.mesh)

    def respond(
        self, cases: Sequence[Sequence[FourierTraction]], *, tolerance: float = TAIL_TOLERANCE
    ) -> Response:
        """Displacement, stress and interface traction of every load case, harmonic by harmonic.

        tolerance: stop adding harmonics when the rest is estimated below this share of the largest
        stress amplitude. Raises MeshError for loads off the mesh, SolveError for loads out of balance
        on something nothing holds, or a system that was not solved.
        """
        loads = self._loads.of(cases)
        for n in loads.harmonics:
            if n <= 1:
                check_balance(self.system.free_modes(n), loads.nodal(n), self.model.mesh, n)

        def solve(n: int) -> tuple[np.ndarray, np.ndarray]:
            columns = loads.nodal(n).reshape(len(cases) * FAMILIES, -1).T
            u = self.system.solve(n, columns)
            return u, self.system.traction(n, u, columns)

        return self._collect(loads.harmonics, solve, len(cases), tolerance)

    def out_of_round(self, lobes: Mapping[int, tuple[np.ndarray, np.ndarray]]) -> Response:
        """Answer, as one case, to radial interference that varies round the joint.

        lobes: n to its cosine and sine parts at the pairs, (pairs,) each, mm radial. The joint is taken
        as closed wherever `closed` says so: add the mean fit and look at the sum for lifting.
        """
        unknowns = COMPONENTS * self.assembly.interface.shell[self.closed] + R

        def solve(n: int) -> tuple[np.ndarray, np.ndarray]:
            jump = np.zeros((self.model.size, FAMILIES))
            jump[unknowns] = np.stack(lobes[n], axis=1)[self.closed]
            none = np.zeros_like(jump)
            u = self.system.solve(n, none, jump)
            return u, self.system.traction(n, u, none)

        return self._collect(tuple(sorted(lobes)), solve, 1, 0.0)

    def _collect(
        self, wanted: tuple[int, ...], solve: Callable[[int], tuple[np.ndarray, np.ndarray]],
        cases: int, tolerance: float,
    ) -> Response:
        """Solve harmonic after harmonic until none is wanted or the tail is small."""
        mesh, pairs = self.model.mesh, len(self.closed)
        shape = {"displacement": (mesh.nodes.shape[1], 3), "stress": (mesh.connectivity.shape[1], 4, 6),
                 "traction": (pairs, 3)}
        parts: dict[str, list[np.ndarray]] = {name: [] for name in shape}
        sizes: list[np.ndarray] = []
        for n in wanted:
            u, traction = solve(n)
            columns = u.T.reshape(cases * FAMILIES, -1, 3)
            stress = self.recovery.stress_of_columns(columns, n=n)
            for name, part in (("displacement", columns), ("stress", stress),
                               ("traction", np.moveaxis(traction, -1, 0))):
                parts[name].append(part.reshape(cases, FAMILIES, *shape[name]))
            turned_worst = np.hypot(*np.moveaxis(parts["stress"][-1], 1, 0))
            sizes.append(np.max(turned_worst, axis=(1, 2, 3)))
            left = tail(wanted[:len(sizes)], np.array(sizes))
            if n >= FEWEST_SOLVED and np.all(left <= tolerance * np.max(sizes, axis=0)):
                break
        whole = {name: np.reshape(parts[name], (len(sizes), cases, FAMILIES, *shape[name]))
                 for name in shape}
        left = tail(wanted[:len(sizes)], np.reshape(sizes, (-1, cases)))
        return Response(wanted[:len(sizes)], tail=left, recovery=self.recovery, **whole)

    def _held(self) -> np.ndarray:
        mesh = self.model.mesh
        held = np.empty(0, dtype=int)
        if self.clamped is not None:
            nodes = np.unique(mesh.face("shell.outside").nodes)
            z, (start, end) = mesh.nodes[1, nodes], self.clamped
            if max(np.min(np.abs(z - start)), np.min(np.abs(z - end))) > 1e-6:
                raise MeshError(f"the mesh has no line at the clamp's ends, {start:g} and {end:g} mm")
            inside = nodes[(z >= start - 1e-6) & (z <= end + 1e-6)]
            held = (COMPONENTS * inside[:, None] + np.arange(COMPONENTS)).ravel()
        if self.ends_held:
            ends = [f.nodes.ravel() for name, f in mesh.faces.items() if name.endswith(("left", "right"))]
            held = np.union1d(held, COMPONENTS * np.concatenate(ends) + Z)
        return held
