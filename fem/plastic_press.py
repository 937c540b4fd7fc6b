"""Press fits beyond yield: frictionless contact and plasticity solved together, n = 0.

The interference is applied in steps from zero, as plastic strain depends on the load path. The bodies can
be separated again, which leaves their permanent deformation.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoopwright.fem.contact import tie
from hoopwright.fem.errors import SolveError
from hoopwright.fem.mesh_joint import MeshedJoint
from hoopwright.fem.numbering import axial_pins
from hoopwright.fem.plastic import History, MaterialResponse, PlasticBody, Yield
from hoopwright.fem.plastic_newton import Constraint, solve_step
from hoopwright.fem.strain import COMPONENTS, TH, R
from hoopwright.fem.validation import at_pairs

MAX_CHANGES = 60
TENSION_TOLERANCE = 1e-9
OVERLAP_TOLERANCE = 1e-9
MIN_STEP = 1e-3


@dataclass(frozen=True)
class PlasticFit:
    """Converged elastoplastic fit at one interference.

    displacement: (nodes, 3), mm; pressure: (pairs,), MPa; closed: (pairs,) bool, pairs in contact;
    stress: (elements, points, 4), MPa; residuals: of the last Newton iterations.
    """

    displacement: np.ndarray
    pressure: np.ndarray
    closed: np.ndarray
    response: MaterialResponse | None
    history: History
    residuals: tuple[float, ...]


class PlasticPress:
    """Presses a meshed joint together and separates it again.

    limits: yield stress and hardening by body name, "shell" and "sleeve"; MeshError where one is missing
    or belongs to no body.
    """

    def __init__(self, meshed_joint: MeshedJoint, limits: Mapping[str, Yield]) -> None:
        self.meshed_joint = meshed_joint
        self.body = PlasticBody(meshed_joint.model, limits)

    def press(self, profiles: Sequence[np.ndarray]) -> list[PlasticFit]:
        """Fits at successive profiles of radial interference, (pairs,) each, mm, in ascending order.

        A step that does not converge is halved. Raises ValueError for no profile, or one of another length
        or with NaN or infinity; SolveError when the smallest step still fails.
        """
        pairs = len(self.meshed_joint.interface.z)
        profiles = [at_pairs("radial interference", profile, pairs) for profile in profiles]
        if not profiles:
            raise ValueError("no profile of radial interference given")
        size = self.meshed_joint.model.size
        state = PlasticFit(
            np.zeros((size // COMPONENTS, COMPONENTS)),
            np.zeros(pairs),
            profiles[0] > 0.0,
            None,
            self.body.virgin,
            (),
        )
        states, last = [], np.minimum(profiles[0], 0.0)
        for profile in profiles:
            state = self._advance(state, last, profile)
            states.append(state)
            last = profile
        return states

    def disassembled(self, state: PlasticFit) -> PlasticFit:
        """The state after the bodies are separated and unloaded, reverse yielding included."""
        widest = float(np.max(np.abs(state.displacement[:, R]))) + 1.0
        no_pairs = np.zeros(len(state.closed), dtype=bool)
        return self._step(state, np.full(len(no_pairs), -widest), no_pairs)

    def _advance(self, state: PlasticFit, last: np.ndarray, target: np.ndarray) -> PlasticFit:
        """Advance from one profile to the next, halving the step where it does not converge."""
        done, step = 0.0, 1.0
        while done < 1.0:
            share = min(1.0, done + step)
            profile = last + share * (target - last)
            try:
                state = self._step(state, profile, state.closed | (profile > 0.0) & ~_touched(state))
                done, step = share, min(1.0, 2.0 * step)
            except SolveError:
                step *= 0.5
                if step < MIN_STEP:
                    raise
        return state

    def _step(self, state: PlasticFit, profile: np.ndarray, closed: np.ndarray) -> PlasticFit:
        contact = _Contact(self, profile)
        result = solve_step(
            self.body,
            state.displacement.ravel(),
            state.history,
            np.zeros(self.meshed_joint.model.size),
            contact.constraint(closed),
        )
        pairs = self.meshed_joint.interface
        force = np.where(contact.closed, result.reaction[COMPONENTS * pairs.shell + R], 0.0)
        return PlasticFit(
            result.displacement.reshape(-1, COMPONENTS),
            np.maximum(force, 0.0) / pairs.weight,
            contact.closed,
            result.response,
            result.history,
            result.residuals,
        )


def _touched(state: PlasticFit) -> np.ndarray:
    """Pairs whose contact state comes from a solve, (pairs,) bool; none before the first."""
    return np.full(len(state.closed), bool(state.residuals))


class _Contact:
    """The contact set of one step, and its update between Newton iterations."""

    def __init__(self, press: PlasticPress, profile: np.ndarray) -> None:
        self.press, self.profile = press, profile
        self.closed = np.zeros(len(profile), dtype=bool)
        self.changes = 0

    def constraint(self, closed: np.ndarray) -> Constraint:
        self.closed = closed
        model, pairs = self.press.meshed_joint.model, self.press.meshed_joint.interface
        transform = tie(model.size, pairs, {R: closed})
        fixed = np.zeros(model.size, dtype=bool)
        fixed[TH::COMPONENTS] = True
        fixed[axial_pins(pairs, tied_axially=False)] = True
        free = np.flatnonzero((transform.T @ fixed == 0) & (np.diff(transform.tocsc().indptr) > 0))
        return Constraint(transform, free, self._jump, self._update)

    def _opening(self, u: np.ndarray) -> np.ndarray:
        """Gap u_shell − u_sleeve − δ at the pairs, mm; positive where open."""
        pairs = self.press.meshed_joint.interface
        return u[COMPONENTS * pairs.shell + R] - u[COMPONENTS * pairs.sleeve + R] - self.profile

    def _jump(self, u: np.ndarray) -> np.ndarray:
        """Correction of the shell's displacement that closes the gap at each closed pair, (size,), mm."""
        jump = np.zeros_like(u)
        shell = COMPONENTS * self.press.meshed_joint.interface.shell + R
        jump[shell[self.closed]] = -self._opening(u)[self.closed]
        return jump

    def _update(self, reaction: np.ndarray, u: np.ndarray) -> Constraint | None:
        force = reaction[COMPONENTS * self.press.meshed_joint.interface.shell + R]
        largest = max(float(np.max(np.abs(force[self.closed]), initial=0.0)), 1e-300)
        pulled = self.closed & (force < -TENSION_TOLERANCE * largest)
        overlaps = ~self.closed & (self._opening(u) < -OVERLAP_TOLERANCE)
        offending = np.flatnonzero(pulled | overlaps)
        if len(offending) == 0:
            return None
        self.changes += 1
        if self.changes > MAX_CHANGES:
            raise SolveError(f"contact did not converge in {MAX_CHANGES} changes of the contact set")
        closed = self.closed.copy()
        closed[offending] ^= True
        return self.constraint(closed)
