"""Simulated shops: lands with errors of form, gauges with errors, temperatures, and what is read of them.

Nothing here knows how readings are evaluated: it is drawn from what may happen in a shop, not from what
the tool assumes of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

LENGTH = 40.0
"""Of every land, mm, from z = 0."""
SIZE = 41.0
"""Mean diameter of every land at 20 °C, mm."""
EXPANSION_OFF = 0.1
"""Greatest relative difference of a metal's expansion from its tabulated value."""


@dataclass(frozen=True)
class FormErrors:
    """Greatest errors of form that are drawn, mm on diameter; each is drawn evenly up to it."""

    ovality: float = 0.0
    taper: float = 0.0
    bell_mouth: float = 0.0


BORED = FormErrors(0.010, 0.010, 0.020)
TURNED = FormErrors(0.005, 0.010, 0.005)
TRUE = FormErrors()


@dataclass(frozen=True)
class TrueLand:
    """A land as it is at 20 °C: its mean over the length is `mean`."""

    mean: float
    ovality: float
    toward: float
    taper: float
    bell_mouth: float
    exponent: float

    def diameter(self, z: np.ndarray | float, angle: np.ndarray | float) -> np.ndarray:
        """Between two opposite points at z, mm, and a clock angle, radians."""
        along = 2.0 * np.asarray(z, float) / LENGTH - 1.0
        bell = np.abs(along) ** self.exponent - 1.0 / (self.exponent + 1.0)
        return (
            self.mean
            + 0.5 * self.taper * along
            + self.bell_mouth * bell
            + 0.5 * self.ovality * np.cos(2.0 * (np.asarray(angle) - self.toward))
        )


def land(rng: np.random.Generator, form: FormErrors) -> TrueLand:
    """A land with errors of form up to some size: bell-mouthed or barrelled, over a long or a short way."""
    return TrueLand(
        mean=SIZE + rng.uniform(-0.01, 0.01),
        ovality=form.ovality * rng.uniform(),
        toward=rng.uniform(0.0, np.pi),
        taper=form.taper * rng.uniform(-1.0, 1.0),
        bell_mouth=form.bell_mouth * rng.uniform(-1.0, 1.0),
        exponent=rng.uniform(2.0, 6.0),
    )


@dataclass(frozen=True)
class Instrument:
    """A gauge as it is made: limits of its error and zero, mm, and the scatter of one reading."""

    error: float
    zero: float
    scatter: float
    step: float = 0.001
    expansion: float = 11.5e-6


@dataclass(frozen=True)
class Climate:
    """Temperatures, K above 20 °C: of the shop as its thermometer has it, how far that may be off, and how
    far the gauge may be from the shop. shared: gauge and part are equally warm, whatever that is."""

    shop: float = 0.0
    thermometer_off: float = 0.0
    gauge_off: float = 0.0
    shared: bool = False


@dataclass(frozen=True)
class Shop:
    """One visit to a shop: the errors that all its readings share."""

    part: float
    gauge: float
    part_expansion: float
    gauge_expansion: float

    def shown(self, diameter: np.ndarray) -> np.ndarray:
        """What an instrument without error shows of diameters at 20 °C."""
        return diameter * (1.0 + self.part_expansion * self.part - self.gauge_expansion * self.gauge)


def shop(rng: np.random.Generator, climate: Climate, expansion: float, instrument: Instrument) -> Shop:
    part = climate.shop + climate.thermometer_off * rng.uniform(-1.0, 1.0)
    gauge = part if climate.shared else climate.shop + climate.gauge_off * rng.uniform(-1.0, 1.0)
    own, steel = (
        e * (1.0 + EXPANSION_OFF * rng.uniform(-1.0, 1.0)) for e in (expansion, instrument.expansion)
    )
    return Shop(part, gauge, own, steel)


def offset(rng: np.random.Generator, instrument: Instrument) -> float:
    """The error that all readings with one gauge share, mm."""
    return instrument.error * rng.uniform(-1.0, 1.0) + instrument.zero * rng.uniform(-1.0, 1.0)


def read(
    rng: np.random.Generator,
    true: TrueLand,
    at: Sequence[float],
    angles: Sequence[float],
    instrument: Instrument,
    visit: Shop,
    off: float,
) -> np.ndarray:
    """Readings at stations z, mm, and clock angles, degrees: (stations, angles), in steps of the gauge."""
    z, phi = np.meshgrid(at, np.radians(angles), indexing="ij")
    shown = visit.shown(true.diameter(z, phi)) + off
    shown = shown + instrument.scatter * rng.standard_normal(shown.shape)
    return np.round(shown / instrument.step) * instrument.step
