"""Press fits with Coulomb friction, followed through what is done to them, n = 0.

Friction depends on the way a joint came to where it is. A path begins with the sleeve sliding in, the whole
seat slipping, or with a hot shell that shrinks onto it from where the two touch; what follows (the ram let
go, a change of temperature, a force at an end) is gone through in steps, each of which starts where the one
before ended.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from hoopwright.fem.condensed_seat import CondensedSeat, SeatLoad
from hoopwright.fem.coulomb import ContactSet, SeatState, Step, frictionless, sliding
from hoopwright.fem.face_load import face_load
from hoopwright.fem.interface import Interface
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import COMPONENTS
from hoopwright.fem.validation import at_pairs, check_finite, check_not_negative, check_whole

STEPS = 2
"""Steps in which a change of load is gone through. Eight times as many change ∫ p dA by at most 0.02 % and
the greatest stress by at most 0.2 % (all states of five joints, the demos among them)."""
SHRINK_STEPS = 8
"""Steps in which a shell shrinks onto its sleeve. All grows in proportion while the whole seat touches at
once, so that one would do; where a step or a taper closes pair by pair it takes these."""


@dataclass(frozen=True)
class FrictionFit:
    """A press fit with friction.

    displacement: (nodes, 3), mm; pressure: contact pressure, (pairs,), MPa, compression positive; shear:
    traction of the sleeve on the shell along +z, (pairs,), MPa; closed: (pairs,) bool, pairs in contact;
    slips: (pairs,) bool, pairs where friction is at its limit.
    """

    displacement: np.ndarray
    pressure: np.ndarray
    shear: np.ndarray
    closed: np.ndarray
    slips: np.ndarray


@dataclass(frozen=True)
class Moment:
    """One moment of a friction path: what the seat carries, and the load on the bodies. path: of what it
    went through, the same at other interferences; course: likewise, and the same with other friction."""

    state: SeatState
    load: SeatLoad
    path: int = 0
    course: int = 0

    @property
    def normal_force(self) -> float:
        """∫ p dA, N."""
        return float(2.0 * np.pi * np.sum(self.state.normal))

    @property
    def axial_force(self) -> float:
        """Friction of the sleeve on the shell along +z, N."""
        return float(2.0 * np.pi * np.sum(self.state.along))


@dataclass(frozen=True)
class Way:
    """How an axial force acts on a sleeve that slides.

    direction: 1 where the sleeve moves towards +z, -1 towards -z, ValueError for any other. pulled: the
    force acts on the sleeve's leading face, instead of pushing its trailing one. held_ahead: what holds the
    shell bears on the face that lies ahead, instead of the one behind. Force and support are even pressure
    on the whole faces, which are free to tilt.
    """

    direction: int
    pulled: bool = False
    held_ahead: bool = True

    def __post_init__(self) -> None:
        if self.direction not in (1, -1):
            raise ValueError(f"need a direction of +1 or -1, got {self.direction}")

    @property
    def faces(self) -> tuple[str, str]:
        """The loaded face of the sleeve and the supported face of the shell."""
        behind, ahead = ("left", "right") if self.direction > 0 else ("right", "left")
        return f"sleeve.{ahead if self.pulled else behind}", f"shell.{ahead if self.held_ahead else behind}"


@dataclass
class FrictionSolver:
    """Follows press fits of one model along their friction paths.

    Methods take radial interference at the pairs, (pairs,), mm, friction μ >= 0, and temperature rises in
    K, of both bodies. They raise ValueError where one of these is NaN or infinite, there is not one
    interference for each pair, or friction is negative; SlidesError, a SolveError, where a load is more
    than friction can carry.
    """

    model: Model
    interface: Interface
    _pushes: dict[Way, SeatLoad] = field(default_factory=dict)
    _warmed: dict[float, SeatLoad] = field(default_factory=dict)
    _found: dict[tuple[int, int], ContactSet] = field(default_factory=dict)

    @cached_property
    def seat(self) -> CondensedSeat:
        """Both bodies condensed to the pairs, on first use."""
        return CondensedSeat(self.model, self.interface)

    @cached_property
    def no_load(self) -> SeatLoad:
        return self.seat.load(np.zeros(self.model.size))

    @cached_property
    def _per_kelvin(self) -> SeatLoad:
        return self.seat.load(self.model.thermal_load(1.0))

    @cached_property
    def _shell_per_kelvin(self) -> SeatLoad:
        in_both = self.model.thermal_load(1.0).reshape(-1, COMPONENTS)
        in_shell = np.zeros_like(in_both)
        shell = self.model.mesh.body_nodes("shell")
        in_shell[shell] = in_both[shell]
        return self.seat.load(in_shell.ravel())

    def warmed(self, temperature_rise: float) -> SeatLoad:
        """The load of a temperature rise."""
        check_finite("temperature rise", temperature_rise, "K")
        if not temperature_rise:
            return self.no_load
        if not self.model.expansion_varies:
            return temperature_rise * self._per_kelvin
        if temperature_rise not in self._warmed:
            load = self.model.thermal_load(temperature_rise)
            self._warmed[temperature_rise] = self.seat.load(load)
        return self._warmed[temperature_rise]

    def push(self, way: Way) -> SeatLoad:
        """A force of 1 N per radian in the direction of motion, and what holds the shell against it."""
        if way not in self._pushes:
            on_sleeve, on_shell = (self._even(face) for face in way.faces)
            self._pushes[way] = self.seat.load(way.direction * (on_sleeve - on_shell))
        return self._pushes[way]

    def slide(
        self,
        radial_interference: np.ndarray,
        *,
        friction: float,
        way: Way,
        temperature_rise: float = 0.0,
        load: SeatLoad | None = None,
    ) -> Moment:
        """The fit while the whole seat slips. load: besides the temperature and the force that moves it;
        raises ValueError where it pulls along the axis itself."""
        acting = self.warmed(temperature_rise) + (load or self.no_load)
        if acting.on_sleeve:
            raise ValueError(
                f"need a load in balance, got {acting.on_sleeve:.6g} N per radian on the sleeve"
            )
        state, acting = sliding(
            self.seat,
            acting,
            self.push(way),
            self._checked(radial_interference, friction),
            friction=friction,
            direction=way.direction,
        )
        return Moment(state, acting, hash((way, friction, temperature_rise)), hash((way, temperature_rise)))

    def shrunk(
        self,
        radial_interference: np.ndarray,
        *,
        friction: float,
        temperature_rise: float = 0.0,
        steps: int = SHRINK_STEPS,
    ) -> Moment:
        """The fit once the shell, hotter than the sleeve at first, has cooled to the temperature of both
        from where the first pair touches.

        Only the expansion of the one over the other counts: a cold sleeve in a warm shell, or both, comes
        to the same.
        """
        end = self.warmed(temperature_rise)
        interference = self._checked(radial_interference, friction)
        n = self.seat.count
        opening = self._shell_per_kelvin.jump[:n]
        if np.any(opening <= 0.0):
            raise ValueError("need a shell that expands with heat")
        hotter = float(np.max((interference - end.jump[:n]) / opening, initial=0.0))
        start = end + hotter * self._shell_per_kelvin
        apart = np.zeros(n, dtype=bool)
        state = SeatState(np.zeros(2 * n), start.jump, 0.0, apart, np.zeros(n))
        return self.follow(Moment(state, start), interference, end, friction=friction, steps=steps)

    def without_friction(
        self,
        radial_interference: np.ndarray,
        *,
        temperature_rise: float = 0.0,
        load: SeatLoad | None = None,
    ) -> Moment:
        """The frictionless fit."""
        acting = self.warmed(temperature_rise) + (load or self.no_load)
        return Moment(frictionless(self.seat, acting, self._checked(radial_interference, 0.0)), acting)

    def follow(
        self,
        before: Moment,
        radial_interference: np.ndarray,
        load: SeatLoad,
        *,
        friction: float,
        steps: int = STEPS,
    ) -> Moment:
        """The fit once a load, temperature included, has taken the place of the one of the moment
        before."""
        check_whole("steps", steps, 1)
        state, radial_interference = before.state, self._checked(radial_interference, friction)
        event = steps, load.jump.tobytes()
        path, course = hash((before.path, friction, event)), hash((before.course, event))
        for k in range(1, steps + 1):
            end = _between(before.load, load, k / steps)
            # Another interference on the same path slips much alike, and so does another friction.
            likely = self._found.get((path, k), self._found.get((course, k)))
            state = Step(self.seat, state, end, radial_interference, friction, likely).solve()
            self._found[path, k] = self._found[course, k] = state.closed, state.slip
        return Moment(state, load, path, course)

    def carried_over(self, before: Moment, z: np.ndarray, load: SeatLoad) -> Moment:
        """A moment of this joint before metal was cut off one of its bodies, seen from these pairs.

        z: of the pairs it was solved on, mm; load: what acts, on the bodies as they are now. What the seat
        carries still belongs to the bodies as they were: `follow` under the same load is what the cut does
        to it. Pairs that stick keep their axial jump, which is taken as linear between the others.
        """
        order = np.argsort(z)
        nearest = order[np.argmin(np.abs(self.interface.z[:, None] - z[order]), axis=1)]
        old, here = before.state, np.concatenate([nearest, len(z) + nearest])
        jump = old.jump[here]
        jump[len(nearest) :] = np.interp(self.interface.z, z[order], old.jump_along[order])
        state = SeatState(old.force[here], jump, old.shift, old.closed[nearest], old.slip[nearest])
        return Moment(state, load)

    def fit(self, moment: Moment) -> FrictionFit:
        """Displacement and contact traction of a moment."""
        state, weight = moment.state, self.interface.weight
        return FrictionFit(
            self.seat.displacement(state.force, moment.load, state.shift),
            state.normal / weight,
            state.along / weight,
            state.closed,
            state.slip != 0,
        )

    def _even(self, face: str) -> np.ndarray:
        """Nodal load along +z, summing to 1 N per radian, of even pressure on a face."""
        load = face_load(self.model.mesh, face, np.array([0.0, 0.0, 1.0]))
        return load / load.sum()

    def _checked(self, radial_interference: np.ndarray, friction: float) -> np.ndarray:
        check_not_negative("friction", friction)
        return at_pairs("radial interference", radial_interference, len(self.interface.z))


def _between(start: SeatLoad, end: SeatLoad, share: float) -> SeatLoad:
    return end if share == 1.0 else (1.0 - share) * start + share * end
