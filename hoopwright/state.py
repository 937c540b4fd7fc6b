"""States: single moments in the life of a joint, which is all that a fit is asked for by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from typing import NamedTuple

from hoopwright.case.heat_capacity import warms_tight
from hoopwright.case.model import Case


class Clamping(NamedTuple):
    """Tightened cups. temperature_rise: K above 20 °C; tension: pull in the sleeve between them, N."""

    temperature_rise: float
    tension: float


@dataclass(frozen=True)
class FrictionPath:
    """What was done to a joint from the sleeve sliding home on, with Coulomb friction.

    friction: μ from the time on that the ram is let go. pushed_with: μ while it slides in. slipped_in: a
    hot shell shrank onto the sleeve from where they touch, instead of the sleeve being pushed. pressed_at:
    temperature that it was pushed at, or shrank to, K above 20 °C. let_go: the ram is taken away, as it is
    from the start where there is none. warmed: temperatures gone through since, in order, K above 20 °C.
    clamped: what was gone through then with the cups tightened; the last is that of the state.
    """

    friction: float
    pushed_with: float
    slipped_in: bool
    pressed_at: float
    let_go: bool
    warmed: tuple[float, ...]
    clamped: tuple[Clamping, ...]

    @property
    def temperature_rise(self) -> float:
        """Temperature at the end of the path, K above 20 °C."""
        if self.clamped:
            return self.clamped[-1].temperature_rise
        return self.warmed[-1] if self.warmed else self.pressed_at

    @property
    def tension(self) -> float:
        """Pull in the sleeve between the cups at the end of the path, N."""
        return self.clamped[-1].tension if self.clamped else 0.0


@dataclass(frozen=True)
class State:
    """One moment in the life of a joint: the only argument of a fit.

    shift: of every diametral interference from its likely value, mm. temperature_rise: K above 20 °C. path:
    None without friction, which is what vibration and small slips relax a joint to. blank: the sleeve is
    still the blank that is finished once it is pressed in; False where it is finished before.
    """

    shift: float
    temperature_rise: float
    tension: float
    path: FrictionPath | None
    blank: bool

    def __post_init__(self) -> None:
        object.__setattr__(self, "shift", round(self.shift, 9))  # so that equal states compare equal

    @property
    def history(self) -> tuple[float, float, FrictionPath | None, bool]:
        """What tells the state from others at the same interference."""
        return self.temperature_rise, self.tension, self.path, self.blank

    @property
    def friction_text(self) -> str:
        """How friction acts, in words, and on what, where the sleeve is not finished yet."""
        return f"still a blank, {self._friction}" if self.blank else self._friction

    @property
    def _friction(self) -> str:
        if self.path is None:
            return "frictionless"
        pushed = "" if self.path.let_go else "being pushed, "
        slipped = "slipped in, " if self.path.slipped_in else ""
        other = self.path.pushed_with != self.path.friction
        sliding = f"pressed at μ = {self.path.pushed_with:.3g}, " if other else ""
        return f"{pushed}{slipped}{sliding}μ = {self.path.friction:.3g}"


def frictionless(
    shift: float, temperature_rise: float, tension: float = 0.0, *, blank: bool = False
) -> State:
    """The joint without friction."""
    return State(shift, temperature_rise, tension, None, blank)


def being_pushed(case: Case, shift: float, friction: float) -> State:
    """The sleeve, or its blank, sliding in, on the bench."""
    bench = case.press.temperature_rise_K
    path = FrictionPath(
        friction, friction, slipped_in=False, pressed_at=bench, let_go=False, warmed=(), clamped=()
    )
    return _after(shift, path, blank=case.sleeve.finished_later)


def pushing_frictions(case: Case) -> tuple[float, ...]:
    """Friction with which a sleeve may be pushed: low, and high as it is to restart it after a rest."""
    low, high = case.pressing_friction
    return low, case.press.restart_ratio * high


def let_go(case: Case, shift: float, *, blank: bool = False) -> tuple[State, ...]:
    """The assembled joint at rest on the bench: without friction, and at low and high friction let go, or
    cooled from where the parts touch."""
    return (
        frictionless(shift, case.press.temperature_rise_K, blank=blank),
        *(_after(shift, path, blank=blank) for path in paths_to_rest(case)),
    )


def pressed(case: Case, shift: float) -> tuple[State, ...]:
    """The joint at rest on the bench: pressed and, where the sleeve is finished afterwards, both before and
    after that."""
    before = let_go(case, shift, blank=True) if case.sleeve.finished_later else ()
    return *before, *let_go(case, shift)


def while_cooling(case: Case, shift: float) -> tuple[State, ...]:
    """A sleeve that slipped in and expands more than its shell, as warm as that: it is tighter then than
    once both are cold. None of another."""
    shared, blank = warms_tight(case), case.sleeve.finished_later
    if shared is None:
        return ()
    paths = (replace(path, warmed=(shared,)) for path in paths_to_rest(case))
    return (
        frictionless(shift, shared, blank=blank),
        *(_after(shift, path, blank=blank) for path in paths),
    )


def warmed(
    case: Case, shift: float, temperatures: tuple[float, ...], *, first: tuple[float, ...] = ()
) -> tuple[State, ...]:
    """The joint at every temperature, K above 20 °C, without friction, and with friction as it gets there:
    from one to the next and back to the bench, then to each of them from the bench. first: gone through
    before."""
    if not temperatures and not first:
        return ()
    bench = case.press.temperature_rise_K
    order = _twice(temperatures, bench)
    states = {frictionless(shift, rise): None for rise in order}
    for path in paths_to_rest(case):
        start = replace(path, warmed=(*path.warmed, *first))
        states |= {_after(shift, p): None for p in _gone_through(start, order)}
    return tuple(states)


def _twice(temperatures: tuple[float, ...], bench: float) -> tuple[float, ...]:
    """Two rounds through temperatures: from one to the next and back to the bench, and each from the bench;
    the last return would only repeat the first."""
    again = [rise for one in temperatures for rise in (one, bench)]
    return (*temperatures, bench, *again[:-1])


def clamped(case: Case, shift: float, tensions: Mapping[float, float]) -> tuple[State, ...]:
    """The joint with its cups tightened, without friction and with: on the bench, and twice through the
    temperatures of use. tensions: N, by temperature, K above 20 °C.

    A single cup that draws the sleeve has no equilibrium without friction: what vibration leaves is the
    joint without its pull. Two cups are judged tight together: stress and pressure with one of them tight
    lie between those with none and with both.
    """
    bench = case.press.temperature_rise_K
    others = tuple(rise for rise in tensions if rise != bench)
    order = [Clamping(rise, tensions[rise]) for rise in (bench, *_twice(others, bench))]
    free = [one._replace(tension=0.0) for one in order] if case.draws_sleeve else order
    states = {frictionless(shift, *clamping): None for clamping in free}
    for path in paths_to_rest(case):
        for clamping in order:
            path = replace(path, clamped=(*path.clamped, clamping))
            states[_after(shift, path)] = None
    return tuple(states)


def as_pressed(case: Case, state: State) -> State:
    """The state at the same interference and friction before anything was done to the joint on the
    bench, of a sleeve finished by then as this one is."""
    if state.path is None:
        return frictionless(state.shift, case.press.temperature_rise_K, blank=state.blank)
    same = state.path.friction, state.path.pushed_with
    before = next(path for path in paths_to_rest(case) if (path.friction, path.pushed_with) == same)
    return _after(state.shift, before, blank=state.blank)


def _gone_through(path: FrictionPath, temperatures: tuple[float, ...]) -> Iterator[FrictionPath]:
    for rise in temperatures:
        path = replace(path, warmed=(*path.warmed, rise))
        yield path


def paths_to_rest(case: Case) -> tuple[FrictionPath, ...]:
    """Home and let go, pushed or slipped in, at low friction and at high friction; where the friction of
    pressing is another, each of holding after each of pressing."""
    bench, shared = case.press.temperature_rise_K, warms_tight(case)
    holding, pressing = (case.fit.friction_low, case.fit.friction_high), case.pressing_friction
    apart = holding != pressing and not case.press.slips_in
    pairs = product(holding, pressing) if apart else zip(holding, holding, strict=True)
    return tuple(
        FrictionPath(
            friction,
            pushed_with,
            slipped_in=case.press.slips_in,
            pressed_at=bench,
            let_go=True,
            warmed=() if shared is None else (shared, bench),
            clamped=(),
        )
        for friction, pushed_with in dict.fromkeys(pairs)
    )


def _after(shift: float, path: FrictionPath, *, blank: bool = False) -> State:
    return State(shift, path.temperature_rise, path.tension, path, blank)
