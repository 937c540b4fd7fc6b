"""Pressing in so tight that metal yields: contact and plastic flow together, n = 0, frictionless.

The interference grows in steps from none, since what yields depends on the way there. The sleeve may
be taken out again: what the bodies keep is their permanent growth.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from fem.contact import tie
from fem.draw import Assembly
from fem.errors import SolveError
from fem.plastic import History, PlasticBody, Yield
from fem.plastic_newton import Constraint, solve_step
from fem.strain import COMPONENTS, TH, R, Z

MOST_CHANGES = 60
PULLS = 1e-9
OVERLAPS = 1e-9
LEAST_STEP = 1e-3


@dataclass(frozen=True)
class PlasticFit:
    """State at one interference. displacement: (nodes, 3), mm; pressure: (pairs,), MPa; stress:
    (elements, points, 4), MPa; residuals: of the last Newton run."""

    displacement: np.ndarray
    pressure: np.ndarray
    closed: np.ndarray
    stress: np.ndarray
    history: History
    residuals: tuple[float, ...]


class PlasticPress:
    """Presses an assembly together and takes it apart again. limits: yield per body name."""

    def __init__(self, assembly: Assembly, limits: Mapping[str, Yield], *, ends_held: bool = False) -> None:
        self.assembly, self.ends_held = assembly, ends_held
        self.body = PlasticBody(assembly.model, limits)

    def press(self, profiles: Sequence[np.ndarray]) -> list[PlasticFit]:
        """States at a rising series of profiles of radial interference (pairs,), mm; each step is cut
        where Newton's method asks for it. Raises SolveError when no small step converges."""
        size = self.assembly.model.size
        state = PlasticFit(np.zeros((size // COMPONENTS, COMPONENTS)), np.zeros(len(profiles[0])),
                           profiles[0] > 0.0, np.empty(0), self.body.fresh, ())
        states, last = [], np.minimum(profiles[0], 0.0)
        for profile in profiles:
            state = self._advance(state, last, profile)
            states.append(state)
            last = profile
        return states

    def taken_out(self, state: PlasticFit) -> PlasticFit:
        """The same bodies apart, unloaded; metal may yield backwards on the way."""
        widest = float(np.max(np.abs(state.displacement[:, R]))) + 1.0
        nowhere = np.zeros(len(state.closed), dtype=bool)
        return self._step(state, np.full(len(nowhere), -widest), nowhere)

    def _advance(self, state: PlasticFit, last: np.ndarray, target: np.ndarray) -> PlasticFit:
        """From one profile to the next, halving the way where a step does not converge."""
        done, step = 0.0, 1.0
        while done < 1.0:
            share = min(1.0, done + step)
            profile = last + share * (target - last)
            try:
                state = self._step(state, profile, state.closed | (profile > 0.0) & ~_touched(state))
                done, step = share, min(1.0, 2.0 * step)
            except SolveError:
                step *= 0.5
                if step < LEAST_STEP:
                    raise
        return state

    def _step(self, state: PlasticFit, profile: np.ndarray, closed: np.ndarray) -> PlasticFit:
        contact = _Contact(self, profile)
        result = solve_step(self.body, state.displacement.ravel(), state.history,
                            np.zeros(self.assembly.model.size), contact.constraint(closed))
        pairs = self.assembly.interface
        force = np.where(contact.closed, result.reaction[COMPONENTS * pairs.shell + R], 0.0)
        return PlasticFit(result.displacement.reshape(-1, COMPONENTS),
                          np.maximum(force, 0.0) / pairs.weight, contact.closed,
                          result.response.stress, result.history, result.residuals)


def _touched(state: PlasticFit) -> np.ndarray:
    """Pairs whose state is known from a solve; before the first, none."""
    return np.full(len(state.closed), bool(state.residuals))


class _Contact:
    """Which pairs touch, and the rule by which that changes between Newton runs."""

    def __init__(self, press: PlasticPress, profile: np.ndarray) -> None:
        self.press, self.profile = press, profile
        self.closed = np.zeros(len(profile), dtype=bool)
        self.changes = 0

    def constraint(self, closed: np.ndarray) -> Constraint:
        self.closed = closed
        model, pairs = self.press.assembly.model, self.press.assembly.interface
        join = tie(model.size, pairs, {R: closed})
        fixed = np.zeros(model.size, dtype=bool)
        fixed[TH::COMPONENTS] = True
        fixed[self._axial_stops()] = True
        kept = np.flatnonzero((join.T @ fixed == 0) & (np.diff(join.tocsc().indptr) > 0))
        return Constraint(join, kept, self._jump, self._update)

    def _axial_stops(self) -> np.ndarray:
        mesh, pairs = self.press.assembly.model.mesh, self.press.assembly.interface
        if self.press.ends_held:
            ends = [f.nodes for name, f in mesh.faces.items() if name.endswith(("left", "right"))]
            return COMPONENTS * np.unique(np.concatenate([e.ravel() for e in ends])) + Z
        middle = len(self.closed) // 2
        return COMPONENTS * np.array([pairs.shell[middle], pairs.sleeve[middle]]) + Z

    def _opening(self, u: np.ndarray) -> np.ndarray:
        """u_shell − u_sleeve − δ at the pairs, mm: above 0 where there is a gap."""
        pairs = self.press.assembly.interface
        return u[COMPONENTS * pairs.shell + R] - u[COMPONENTS * pairs.sleeve + R] - self.profile

    def _jump(self, u: np.ndarray) -> np.ndarray:
        """What still has to be added to the shell's side of each closed pair."""
        jump = np.zeros_like(u)
        shell = COMPONENTS * self.press.assembly.interface.shell + R
        jump[shell[self.closed]] = -self._opening(u)[self.closed]
        return jump

    def _update(self, reaction: np.ndarray, u: np.ndarray) -> Constraint | None:
        force = reaction[COMPONENTS * self.press.assembly.interface.shell + R]
        largest = max(float(np.max(np.abs(force[self.closed]), initial=0.0)), 1e-300)
        pulled = self.closed & (force < -PULLS * largest)
        overlaps = ~self.closed & (self._opening(u) < -OVERLAPS)
        offending = np.flatnonzero(pulled | overlaps)
        if len(offending) == 0:
            return None
        self.changes += 1
        if self.changes > MOST_CHANGES:
            raise SolveError(f"contact did not settle in {MOST_CHANGES} changes")
        closed = self.closed.copy()
        closed[offending] ^= True
        return self.constraint(closed)
