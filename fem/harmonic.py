"""Non-axisymmetric loads by Fourier series in θ: one 2-D problem per harmonic, bodies tied in contact.

    u(r, θ, z) = Σ_n u_n(r, z) in two families,   K(n) u_n = F_n,   K(n) = K0 + n K1 + n² K2

Cosine family: u_r, u_z ~ cos nθ, u_θ ~ sin nθ. Sine family: u_r, u_z ~ sin nθ, u_θ ~ −cos nθ. Both have
the same K(n), which is factorised once for all load cases.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.fem.errors import MeshError
from hoopwright.fem.fourier_sum import HarmonicResponse, tail
from hoopwright.fem.harmonic_load import FAMILIES
from hoopwright.fem.harmonic_system import HarmonicSystem
from hoopwright.fem.mesh_joint import MeshedJoint
from hoopwright.fem.numbering import end_face_unknowns
from hoopwright.fem.rigid_modes import check_balance
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import COMPONENTS, TH, R, Z
from hoopwright.fem.stress import StressRecovery
from hoopwright.fem.validation import (
    check_closed,
    check_finite,
    check_load_cases,
    check_lobes,
    check_not_negative,
)
from hoopwright.loads.traction import FourierTraction

TAIL_TOLERANCE = 1e-2
"""Harmonics are added until the estimated truncation error is this fraction of the largest amplitude."""

MIN_HARMONICS = 6
"""The series is never truncated below this harmonic."""


@dataclass(frozen=True)
class ServiceSolver:
    """Solves load cases of one meshed joint; factors are cached, as K(n) does not depend on the loads.

    closed: (pairs,) bool, pairs at which shell and sleeve are tied. sliding: tie them radially only
    (frictionless), else in all three components. clamped: (from, to), z, mm, band of the shell's outside
    held rigidly; without it the loads must be in equilibrium. ends_held: u_z = 0 on all end faces (plane
    strain), for comparison with closed forms. Raises ValueError for a `closed` of another length or kind,
    and for a clamp that is not finite or ends before it starts.
    """

    meshed_joint: MeshedJoint
    closed: np.ndarray
    clamped: tuple[float, float] | None = None
    sliding: bool = False
    ends_held: bool = False

    def __post_init__(self) -> None:
        check_closed(self.closed, len(self.meshed_joint.interface.z))
        if self.clamped is not None:
            start, end = self.clamped
            check_finite("start of the clamp", start, "mm")
            check_finite("end of the clamp", end, "mm")
            if start > end:
                raise ValueError(f"need a clamp that starts before its end, got {start:g} to {end:g} mm")

    @property
    def model(self) -> Model:
        return self.meshed_joint.model

    @property
    def recovery(self) -> StressRecovery:
        return self.meshed_joint.recovery

    @cached_property
    def system(self) -> HarmonicSystem:
        tied = (R,) if self.sliding else (R, TH, Z)
        return HarmonicSystem(
            self.model, self.meshed_joint.interface, self.closed, tied, self._fixed_unknowns()
        )

    def solve(
        self, cases: Sequence[Sequence[FourierTraction]], *, tolerance: float = TAIL_TOLERANCE
    ) -> HarmonicResponse:
        """Amplitudes of displacement, stress and interface traction of every load case, by harmonic.

        cases: the tractions that act together, case by case. tolerance: harmonics are added until the
        estimated truncation error is below this fraction of the largest stress amplitude, >= 0. Raises
        ValueError for no case, or a traction or tolerance with NaN or infinity; MeshError for loads that
        lie off the mesh; SolveError for unbalanced loads on an unsupported body or a solve that misses its
        tolerance.
        """
        check_load_cases(cases)
        check_not_negative("tolerance", tolerance)
        loads = self.meshed_joint.harmonic_loads.assemble(cases)
        in_all = sum((np.abs(loads.nodal(n)).sum(axis=(1, 2, 3)) for n in loads.harmonics), np.zeros(1))
        for n in loads.harmonics:
            if n <= 1:
                modes = self.system.free_modes(n)
                check_balance(modes, loads.nodal(n), self.model.mesh, n, in_all=in_all)

        def solve(n: int) -> tuple[np.ndarray, np.ndarray]:
            columns = loads.nodal(n).reshape(len(cases) * FAMILIES, -1).T
            u = self.system.solve(n, columns)
            return u, self.system.traction(n, u, columns)

        return self._collect(loads.harmonics, solve, len(cases), tolerance)

    def out_of_round(self, lobes: Mapping[int, tuple[np.ndarray, np.ndarray]]) -> HarmonicResponse:
        """Response to out-of-round interference, as one load case.

        lobes: for each harmonic n >= 0, the cosine and sine amplitudes of radial interference at the pairs,
        (pairs,) each, mm. The pairs in `closed` stay closed, so add the axisymmetric fit and check the
        sum for separation. Raises ValueError for no lobe, an n that is not a whole number, and amplitudes
        of another length or with NaN or infinity.
        """
        amplitudes = check_lobes(lobes, len(self.closed))
        unknowns = COMPONENTS * self.meshed_joint.interface.shell[self.closed] + R

        def solve(n: int) -> tuple[np.ndarray, np.ndarray]:
            jump = np.zeros((self.model.size, FAMILIES))
            jump[unknowns] = np.stack(amplitudes[n], axis=1)[self.closed]
            none = np.zeros_like(jump)
            u = self.system.solve(n, none, jump)
            return u, self.system.traction(n, u, none)

        return self._collect(tuple(sorted(amplitudes)), solve, 1, 0.0)

    def _collect(
        self,
        wanted: tuple[int, ...],
        solve: Callable[[int], tuple[np.ndarray, np.ndarray]],
        cases: int,
        tolerance: float,
    ) -> HarmonicResponse:
        """Solve the wanted harmonics in order until they are done or the truncation error is small."""
        mesh, pairs = self.model.mesh, len(self.closed)
        shape = {
            "displacement": (mesh.nodes.shape[1], 3),
            "stress": (mesh.connectivity.shape[1], 4, 6),
            "traction": (pairs, 3),
        }
        parts: dict[str, list[np.ndarray]] = {name: [] for name in shape}
        sizes: list[np.ndarray] = []
        for n in wanted:
            u, traction = solve(n)
            columns = u.T.reshape(cases * FAMILIES, -1, 3)
            stress = self.recovery.stress_of_columns(columns, n=n)
            for name, part in (
                ("displacement", columns),
                ("stress", stress),
                ("traction", np.moveaxis(traction, -1, 0)),
            ):
                parts[name].append(part.reshape(cases, FAMILIES, *shape[name]))
            turned_worst = np.hypot(*np.moveaxis(parts["stress"][-1], 1, 0))
            sizes.append(np.max(turned_worst, axis=(1, 2, 3)))
            left = tail(wanted[: len(sizes)], np.array(sizes))
            if n >= MIN_HARMONICS and np.all(left <= tolerance * np.max(sizes, axis=0)):
                break
        whole = {
            name: np.reshape(parts[name], (len(sizes), cases, FAMILIES, *shape[name])) for name in shape
        }
        left = tail(wanted[: len(sizes)], np.reshape(sizes, (-1, cases)))
        return HarmonicResponse(wanted[: len(sizes)], tail=left, recovery=self.recovery, **whole)

    def _fixed_unknowns(self) -> np.ndarray:
        mesh = self.model.mesh
        fixed = np.empty(0, dtype=int)
        if self.clamped is not None:
            nodes = np.unique(mesh.face("shell.outside").nodes)
            z, (start, end) = mesh.nodes[1, nodes], self.clamped
            if max(np.min(np.abs(z - start)), np.min(np.abs(z - end))) > 1e-6:
                raise MeshError(f"the mesh has no line at the clamp's ends, {start:g} and {end:g} mm")
            inside = nodes[(z >= start - 1e-6) & (z <= end + 1e-6)]
            fixed = (COMPONENTS * inside[:, None] + np.arange(COMPONENTS)).ravel()
        if self.ends_held:
            fixed = np.union1d(fixed, end_face_unknowns(mesh))
        return fixed
