"""The instants of the service loads: one for a load that stands, a whole turn for one that goes round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property

import numpy as np

from hoopwright.fem.fourier_sum import HarmonicResponse, turned
from hoopwright.loads.cases import LoadCase


@dataclass(frozen=True)
class Instant:
    """A load case at one moment. case: its index, None without load; angle: of a load that goes round,
    rad, else None. name: in words."""

    case: int | None
    angle: float | None
    name: str


@dataclass(frozen=True)
class Instants:
    """The instants of all load cases, in order, and the one without load at the end.

    steps: number of angles at which a load that goes round is taken, evenly spaced. More than twice its
    harmonics describe the turn exactly (`upsampled`).
    """

    cases: tuple[LoadCase, ...]
    steps: int

    @property
    def turn(self) -> np.ndarray:
        """Angles of a load that goes round, rad."""
        return np.linspace(0.0, 2.0 * np.pi, self.steps, endpoint=False)

    @cached_property
    def all(self) -> tuple[Instant, ...]:
        found: list[Instant] = []
        for k, case in enumerate(self.cases):
            if case.turning is None:
                found.append(Instant(k, None, case.name))
            else:
                found += [Instant(k, float(a), f"{case.name} at {np.degrees(a):.0f}°") for a in self.turn]
        return (*found, Instant(None, None, "no load"))

    @cached_property
    def blocks(self) -> tuple[range, ...]:
        """Indices of the instants of every load case."""
        sizes = [1 if case.turning is None else self.steps for case in self.cases]
        ends = np.cumsum([0, *sizes])
        return tuple(range(int(a), int(b)) for a, b in zip(ends[:-1], ends[1:], strict=True))

    @property
    def no_load(self) -> range:
        """Index of the instant without load, as a block."""
        return range(len(self.all) - 1, len(self.all))

    def nearest(self, to: Instant) -> int:
        """Index of the instant of the same load case whose angle lies nearest; the angles of another mesh
        are not the same."""
        if to.case is None:
            return self.no_load.start
        block = self.blocks[to.case]
        if to.angle is None:
            return block.start
        return block.start + round(to.angle * self.steps / (2.0 * np.pi)) % self.steps

    def amplitudes(self, harmonics: Sequence[int], solved: np.ndarray) -> np.ndarray:
        """Fourier amplitudes at every instant with a load, (harmonics, instants, families, ...).

        solved: those of the parts of the load cases, (harmonics, parts, families, ...).
        """
        return self._put_together(harmonics, solved, [self.turn] * len(self.cases))

    def as_shown(self, solved: HarmonicResponse) -> HarmonicResponse:
        """The response of every load case, one that goes round at the angle at which it is shown."""
        if all(case.turning is None for case in self.cases):
            return solved
        shown = [np.array([case.shown_angle]) for case in self.cases]

        def put_together(amplitude: np.ndarray) -> np.ndarray:
            return self._put_together(solved.harmonics, amplitude, shown)

        return replace(
            solved,
            displacement=put_together(solved.displacement),
            stress=put_together(solved.stress),
            traction=put_together(solved.traction),
            tail=np.array([solved.tail[part].sum() for part in self._parts]),
        )

    @cached_property
    def _parts(self) -> tuple[slice, ...]:
        ends = np.cumsum([0, *(len(case.parts) for case in self.cases)])
        return tuple(slice(int(a), int(b)) for a, b in zip(ends[:-1], ends[1:], strict=True))

    def _put_together(
        self, harmonics: Sequence[int], solved: np.ndarray, angles: Sequence[np.ndarray]
    ) -> np.ndarray:
        found = [
            solved[:, parts] if case.turning is None else _at_angles(harmonics, solved[:, parts], phi)
            for case, parts, phi in zip(self.cases, self._parts, angles, strict=True)
        ]
        return np.concatenate(found, axis=1) if found else solved[:, :0]


def _at_angles(harmonics: Sequence[int], parts: np.ndarray, phi: np.ndarray) -> np.ndarray:
    """Amplitudes of a load that goes round at the angles phi, rad, from those of its four parts."""
    seat, along_x, along_y, standing = np.moveaxis(parts, 1, 0)[:, :, None]
    shape = (1, len(phi), *(1,) * (parts.ndim - 2))
    c, s = np.cos(phi).reshape(shape), np.sin(phi).reshape(shape)
    return turned(harmonics, seat[:, 0], phi) + c * along_x + s * along_y + standing


def upsampled(turn: np.ndarray) -> np.ndarray:
    """A turn's history with twice as many instants, by its own Fourier series in the load's angle.

    turn: (instants, ...), one whole turn in even steps.
    """
    between = _halfway(len(turn)) @ turn.reshape(len(turn), -1)
    return np.stack([turn, between.reshape(turn.shape)], axis=1).reshape(-1, *turn.shape[1:])


@cache
def _halfway(count: int) -> np.ndarray:
    """Matrix from the values at even steps to those half a step on, (count, count)."""
    wave = np.fft.rfft(np.eye(count), axis=0)
    shift = np.exp(1j * np.pi * np.arange(len(wave)) / count)
    return np.fft.irfft(wave * shift[:, None], n=count, axis=0)
