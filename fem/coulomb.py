"""Unilateral contact with Coulomb friction along the axis, on the condensed seat, n = 0.

At every pair, with jump d = u_shell − u_sleeve, radial interference δ and force (F_r, F_z) on the shell:

    open:   F = 0,                     d_r > δ
    stuck:  d_r = δ, F_r >= 0,         d_z as before, |F_z| <= μ F_r
    slips:  d_r = δ, F_r >= 0,         F_z = μ F_r against the slip of the shell over the sleeve

A step follows a small change of load from a known state (backward Euler: the slip of the step is that
between its ends). The open, stuck and slipping pairs are found by changing all pairs that violate their
conditions at once, a semismooth Newton method. Source: Alart & Curnier, Computer Methods in Applied
Mechanics and Engineering 92 (1991) (from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from hoopwright.fem.complementarity import complementary, contact_force
from hoopwright.fem.condensed_seat import CondensedSeat, SeatLoad
from hoopwright.fem.errors import SolveError

MAX_NEWTON_STEPS = 15
"""A guess that takes more goes round in circles; pivoting then ends in one or two."""
SPRING = 1e5
"""Times the compliance of the softest pair: that of a spring for the free axial motion while pivoting. A
softer one costs digits; a stiffer one carries enough to change the contact set."""
TOLERANCE = 1e-9
"""Of the greatest force or interference; a violation below it is rounding."""
LOOSE = 1e-6
"""The same where a violation comes and goes on both sides of it: two seats alike that slip apart as wholes
leave one pair exactly at its limit."""
UNBALANCED = 1e-6
"""Share of the friction by which bodies in equilibrium may be out of balance along the axis."""


ContactSet = tuple[np.ndarray, np.ndarray]
"""Which pairs are closed, (pairs,) bool, and in which sense they slip, (pairs,)."""


class SlidesError(SolveError):
    """The whole seat would slip: the load along the axis asks for more than friction can carry."""


@dataclass(frozen=True)
class SeatState:
    """What the seat carries, and where it is: one moment on a friction path.

    force: on the shell at the pairs, (2 · pairs,), N per radian, radial components first; jump: (2 ·
    pairs,), mm; shift: axial motion of the shell as a whole against the sleeve, mm; closed: (pairs,) bool;
    slip: sense of the friction on the shell where the pair slips, ±1, else 0, (pairs,).
    """

    force: np.ndarray
    jump: np.ndarray
    shift: float
    closed: np.ndarray
    slip: np.ndarray

    @property
    def normal(self) -> np.ndarray:
        """Radial forces, (pairs,), N per radian, >= 0."""
        return self.force[: len(self.closed)]

    @property
    def along(self) -> np.ndarray:
        """Friction on the shell along +z, (pairs,), N per radian."""
        return self.force[len(self.closed) :]

    @property
    def jump_along(self) -> np.ndarray:
        """Axial jump, (pairs,), mm."""
        return self.jump[len(self.closed) :]

    @property
    def stuck(self) -> np.ndarray:
        """Pairs that are closed and do not slip, (pairs,) bool."""
        return self.closed & (self.slip == 0)


@dataclass(frozen=True)
class Step:
    """One step of a friction path.

    before: state it starts from; load: at its end; radial_interference: (pairs,), mm; friction: μ >= 0.
    tolerance: of the greatest force or interference, below which a violation is rounding. likely: contact
    and slip to try first, of a step much like this one.
    """

    seat: CondensedSeat
    before: SeatState
    load: SeatLoad
    radial_interference: np.ndarray
    friction: float
    likely: ContactSet | None = None
    tolerance: float = TOLERANCE

    def solve(self) -> SeatState:
        """The state at the end of the step.

        Raises SlidesError where the whole seat slips, SolveError where no state is found.
        """
        for step in (self, replace(self, tolerance=LOOSE)):
            for closed, slip in step._guesses():
                state = step._newton(closed, slip)
                if state is not None:
                    return self._balanced(replace(state, slip=np.where(state.closed, state.slip, 0.0)))
        raise SolveError("friction and contact pressure did not converge")

    def _guesses(self) -> Iterator[ContactSet]:
        """Contact and slip to begin with: as is likely, as before, all stuck, and by pivoting."""
        if self.likely is not None:
            yield self.likely
        yield self.before.closed, self.before.slip
        yield self.before.closed, np.zeros(self.seat.count)
        found = self._pivoted()
        if found is not None:
            yield found

    def _newton(self, closed: np.ndarray, slip: np.ndarray) -> SeatState | None:
        """The solution from a first guess of the contact set, or None where a set comes up again."""
        tried: set[bytes] = set()
        for _ in range(MAX_NEWTON_STEPS):
            state = self._equilibrium(closed, slip)
            closed, slip, offence = self._judged(state)
            if not np.any(offence):
                return state
            slip = self._one_stuck(state, closed, slip)
            guess = closed.tobytes() + slip.tobytes()
            if guess in tried:
                return None
            tried.add(guess)
        return None

    def _pivoted(self) -> ContactSet | None:
        """Contact and slip by Lemke's method, which is slower than Newton's but is not caught in a cycle.

        With the gap g = d_r − δ and the slip v⁺ − v⁻ of the shell over the sleeve the conditions are

            0 <= g ⊥ F_r >= 0,   0 <= v⁺ ⊥ μ F_r + F_z >= 0,   0 <= μ F_r − F_z ⊥ v⁻ >= 0,

        all linear in F_r, s = μ F_r + F_z and v⁻. The method could end without a solution only on a ray on
        which F · C F <= −θ Σ F_r (c_g − μ c_v). C is positive definite, so c_g > μ c_v leaves no such ray.
        """
        n, mu, softest = self.seat.count, self.friction, float(np.max(np.diag(self.seat.compliance)))
        C = self.seat.compliance / softest
        C[n:, n:] += SPRING
        length = float(np.max(np.abs(self.radial_interference), initial=1e-6))
        gap = self.load.jump[:n] - self.radial_interference
        slip = self.load.jump[n:] - self.before.jump_along - SPRING * softest * self.load.on_sleeve
        same, none = np.eye(n), np.zeros((n, n))
        by_force = np.hstack([C[:, :n] - mu * C[:, n:], C[:, n:]])
        M = np.block([[by_force, np.vstack([none, same])], [2.0 * mu * same, -same, none]])
        cover = np.outer([1.0, 0.5 / max(mu, 0.5), 1.0], np.linspace(0.7, 1.0, n)).ravel()
        found = complementary(M, np.concatenate([gap, slip, np.zeros(n)]) / length, cover)
        if found is None:
            return None
        (normal, _, back), (_, forth, _) = (np.split(x, 3) for x in found)
        closed, slid = normal > 0.0, back - forth
        sense = np.where(closed, np.sign(slid), 0.0)
        if not np.any(closed & (slid == 0.0)):  # the spring alone holds the bodies in place
            sense[np.argmin(np.where(closed, np.abs(slid), np.inf))] = 0.0
        return closed, sense

    def _equilibrium(self, closed: np.ndarray, slip: np.ndarray) -> SeatState:
        """Equilibrium for one set of open, stuck and slipping pairs.

        Unknowns are F_r of the closed pairs, F_z of the stuck ones, and w; F_z of slipping pairs follows
        F_r.
        """
        n, C = self.seat.count, self.seat.compliance
        pressed, stuck = np.flatnonzero(closed), np.flatnonzero(closed & (slip == 0))
        rows, count = np.concatenate([pressed, n + stuck]), len(pressed)
        drag = self.friction * slip[pressed]
        M = np.zeros((len(rows) + 1, len(rows) + 1))
        of_rows = C.take(rows, axis=0)  # several times faster than np.ix_
        M[:-1, :-1] = of_rows.take(rows, axis=1)
        M[count:-1, -1] = M[-1, count:-1] = 1.0
        M[-1, -1] = -1.0 / self.seat.restraint
        if np.any(drag):
            M[:-1, :count] += of_rows.take(n + pressed, axis=1) * drag
            M[-1, :count] = drag
        known = np.concatenate([self.radial_interference[pressed], self.before.jump_along[stuck]])
        x = np.linalg.solve(M, np.append(known - self.load.jump[rows], self.load.on_sleeve))
        force = np.zeros(2 * n)
        force[pressed] = x[:count]
        force[n + pressed] = drag * x[:count]
        force[n + stuck] = x[count:-1]
        jump = C @ force + self.load.jump
        jump[n:] += x[-1]
        return SeatState(force, jump, float(x[-1]), closed, slip)

    def _judged(self, state: SeatState) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Contact and slip as they should be by what the state violates, and which pairs violate
        anything."""
        forces, lengths = self._rounding
        pulled = state.closed & (state.normal < -forces)
        overlaps = ~state.closed & (state.jump[: self.seat.count] < self.radial_interference - lengths)
        limit = self.friction * np.maximum(state.normal, 0.0)
        beyond = state.stuck & (np.abs(state.along) > limit + forces)
        slid = state.slip * (state.jump_along - self.before.jump_along)
        backwards = state.closed & (slid > lengths)
        closed = np.where(state.closed, ~pulled, overlaps)
        slip = np.where(beyond, np.sign(state.along), np.where(backwards | ~closed, 0.0, state.slip))
        return closed, slip, pulled | overlaps | beyond | backwards

    def _one_stuck(self, state: SeatState, closed: np.ndarray, slip: np.ndarray) -> np.ndarray:
        """Slip with one pair left stuck where all would slip now: of several that stuck, the one least
        beyond its limit; instead of the only one, the nearest that slips the other way.

        Without it nothing holds the bodies in place, and the next guess is far off.
        """
        stuck = np.flatnonzero(state.stuck & closed)
        if np.any(closed & (slip == 0)) or len(stuck) == 0:
            return slip
        keep = int(stuck[np.argmin((np.abs(state.along) - self.friction * state.normal)[stuck])])
        if len(stuck) == 1:
            others = np.flatnonzero(closed & (slip == -slip[keep]))
            if len(others) == 0:
                return slip
            keep = int(others[np.argmin(np.abs(others - keep))])
        slip = slip.copy()
        slip[keep] = 0.0
        return slip

    @cached_property
    def _rounding(self) -> tuple[float, float]:
        """Force, N per radian, and length, mm, below which a violation is rounding."""
        length, force = (
            self.tolerance / TOLERANCE * x for x in _rounding(self.seat, self.radial_interference)
        )
        return max(force, self.tolerance * float(np.max(self.before.normal, initial=0.0))), length

    def _balanced(self, state: SeatState) -> SeatState:
        """The state, once it is known to carry the axial load on the sleeve."""
        missing = abs(float(np.sum(state.along)) - self.load.on_sleeve)
        # the spring that stands for free motion carries a trace of what went before, and that may be all
        normal = max(float(np.sum(one.normal)) for one in (state, self.before))
        carried = self.friction * normal + abs(self.load.on_sleeve)
        if missing > UNBALANCED * carried + self.seat.count * self._rounding[0]:
            raise SlidesError(
                f"an axial load of {2.0 * np.pi * abs(self.load.on_sleeve):.4g} N on the sleeve is more "
                "than friction on the seat can carry"
            )
        return state


def _rounding(seat: CondensedSeat, radial_interference: np.ndarray) -> tuple[float, float]:
    """Length, mm, and force, N per radian, below which a violation is rounding."""
    length = max(float(np.max(np.abs(radial_interference), initial=0.0)), 1e-6)
    return TOLERANCE * length, TOLERANCE * length / float(np.max(np.diag(seat.compliance)))


def frictionless(seat: CondensedSeat, load: SeatLoad, radial_interference: np.ndarray) -> SeatState:
    """The seat without friction. Raises SlidesError where the load has an axial force on the sleeve."""
    n = seat.count
    normal = contact_force(seat.compliance[:n, :n], radial_interference - load.jump[:n])
    scale = float(np.sum(normal)) + abs(load.on_shell)
    if abs(load.on_sleeve) > UNBALANCED * scale:
        raise SlidesError(
            f"an axial load of {2.0 * np.pi * abs(load.on_sleeve):.4g} N on the sleeve, and no friction "
            "to carry it"
        )
    force = np.concatenate([normal, np.zeros(n)])
    return SeatState(force, seat.compliance @ force + load.jump, 0.0, normal > 0.0, np.zeros(n))


def sliding(
    seat: CondensedSeat,
    load: SeatLoad,
    push: SeatLoad,
    radial_interference: np.ndarray,
    *,
    friction: float,
    direction: int,
) -> tuple[SeatState, SeatLoad]:
    """The seat while the sleeve slides towards +z (direction 1) or −z (−1), and the load on the bodies
    then.

    push: what moves the sleeve and what holds the shell, for a force of 1 N per radian; it acts as strongly
    as friction resists.
    """
    n, drag = seat.count, direction * friction
    C = seat.compliance
    M = C[:n, :n] + drag * C[:n, n:] + friction * push.jump[:n, None]
    normal = contact_force(M, radial_interference - load.jump[:n])
    acting = load + push * (friction * float(np.sum(normal)))
    force = np.concatenate([normal, drag * normal])
    closed = normal > 0.0
    return SeatState(force, C @ force + acting.jump, 0.0, closed, np.where(closed, direction, 0.0)), acting
