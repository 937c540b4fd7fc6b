"""Simulated presses: what the tool says of logs whose truth is known.

    python -m tests.studies.presses [logs [seed]]        prints the table of DEVELOPERS.md

Each world is a press with one thing wrong, or none. The normal force along the travel is that of the finite
elements, so that only what is being asked about differs; everything that turns it into a log is the world's
own: friction that scatters from reading to reading and from stretch to stretch (an autoregression), falls,
or jumps; metal that gives way; the ram, the zero of the gauge, its rounding, and the place travel is
counted from. "Our own model" alone is what the tool takes for true: white scatter, errors as stated.

The truth is the force to slide the sleeve at home, less the scatter of friction, which is drawn anew when
it next slides. "does not fit": share of logs said not to fit the case. "covers": share of the others whose
95 % interval holds the truth. "ratio": their median width over that of an observer who knows every error of
that world: its course of friction, its zero, which readings are restarts and, but for "one size off", its
ram. That a ram is one size off shows in no log: there the observer knows that it may be, and by how much,
not whether.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

if __name__ == "__main__":  # run as a module, from the root of the repository
    sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

import numpy as np
from press_cases import press_case

from hoopwright.case.model import Case
from hoopwright.fem import Resolution
from hoopwright.pressing.force_travel import ForceTravel, case_force_travel
from hoopwright.pressing.inference import Agreement, agreement, readings_along
from hoopwright.study import CaseStudy

LOGS, SEED = 100, 29
RAM, BAR = 50.0, 0.1
DIVISION, GAUGE_95, SCATTER = 2.0 * BAR, 0.016, 0.05
"""Of the gauge, MPa; its error and the scatter of friction as shares, as the case states them."""
SIZES = 0.004
"""Half width of each of the two sizes, mm, rectangular."""
FRICTIONS = (0.1, 0.2)
STATIONS = np.append(np.arange(1.0, 72.0, 4.0), 73.0)
"""Travel at which the gauge is read, mm."""
RAMS = (45.0, 50.0, 55.0)
NORMAL_95 = 1.96

Course = Callable[[np.ndarray], np.ndarray]
"""Friction, or what is left of the force, along the share of the travel; 1 is as the case has it."""


def steady(x: np.ndarray) -> np.ndarray:
    return np.ones_like(x)


def yielding(x: np.ndarray) -> np.ndarray:
    """From half way on, the metal that is still to come bears 40 %."""
    return np.minimum(1.0, (0.3 + 0.4 * x) / x)


@dataclass(frozen=True)
class World:
    """A press. course: of the force. ram: true diameter, mm, taken for 50. zero: of the gauge, MPa. stick:
    share by which restarts lie above the force of sliding. own: our own model. acceptance: how the world is
    to be met: "said" not to fit, "covered", or, where nothing is wrong or all that is wrong is "set aside",
    not said not to fit."""

    name: str
    acceptance: str
    course: Course = steady
    ram: float = RAM
    zero: float = 0.0
    stick: float = 0.0
    own: bool = False


WORLDS = (
    World("our own model", "sound", own=True),
    World("sound, friction in stretches", "sound"),
    World("friction falls by 30 %", "said", course=lambda x: 1.0 - 0.3 * x),
    World("friction rises by 30 %", "said", course=lambda x: 1.0 + 0.3 * x),
    World("ram of 45 mm taken for 50", "covered", ram=45.0),
    World("ram of 55 mm taken for 50", "covered", ram=55.0),
    World("zero 2 bar high", "said", zero=2.0 * BAR),
    World("zero 2 bar low", "said", zero=-2.0 * BAR),
    World("metal yields from half way", "said", course=yielding),
    World("galls: up by 30 % at 60 %", "said", course=lambda x: np.where(x < 0.6, 1.0, 1.3)),
    World("lets go: down by 30 % at 60 %", "said", course=lambda x: np.where(x < 0.6, 1.0, 0.7)),
    World("two restarts", "set aside", stick=0.25),
)


@dataclass(frozen=True)
class Log:
    """travel, mm, and force, N, as a person would put them down; truth: force to slide it, N; observer:
    width of the 95 % interval of the observer, N."""

    travel: np.ndarray
    force: np.ndarray
    truth: float
    observer: float


@dataclass(frozen=True)
class Line:
    """What became of one world."""

    world: World
    calibrated: bool
    logs: int
    unfit: float
    covers: float
    ratio: float

    @property
    def unfit_text(self) -> str:
        return _share(self.unfit, self.logs)

    @property
    def covers_text(self) -> str:
        return _share(self.covers, self.logs * (1.0 - self.unfit))


def _share(share: float, count: float) -> str:
    """A share in per cent with its binomial standard error, that of two more of each kind, so that none and
    all have one too (Agresti and Coull, 1998; from memory)."""
    if count < 0.5:
        return "–"
    middle = (share * count + 2.0) / (count + 4.0)
    return f"{100 * share:.0f} ± {100 * np.sqrt(middle * (1.0 - middle) / (count + 4.0)):.1f}"


@cache
def case_of(calibrated: bool) -> Case:
    how = '\ncalibration = "in this study"' if calibrated else ""
    return press_case(press=f'ram_diameter = "{RAM} mm"\ngauge_division = "2 bar"{how}')


@cache
def bench() -> tuple[CaseStudy, ForceTravel]:
    study = CaseStudy(case_of(False), Resolution(elements_through_wall=2))
    return study, case_force_travel(study)


def normal_force(curve: ForceTravel, travel: np.ndarray, shift: float, friction: float) -> np.ndarray:
    """∫ p dA of the finite elements on the way in, N."""
    at_shift = np.array([np.interp(shift, curve.shifts, p.frictionless) for p in curve.positions])
    gain = np.array([1.0 + p.push_gain * friction for p in curve.positions])
    return np.asarray(np.interp(travel, curve.travel, at_shift * gain))


def stretches(rng: np.random.Generator, travel: np.ndarray) -> np.ndarray:
    """Scatter of friction: a third of its variance in stretches of 5 mm, the rest from reading to
    reading."""
    white, slow = rng.standard_normal((2, len(travel)))
    for k in range(1, len(travel)):
        keep = np.exp(-(travel[k] - travel[k - 1]) / 5.0)
        slow[k] = keep * slow[k - 1] + np.sqrt(1.0 - keep**2) * slow[k]
    return np.asarray(SCATTER * (np.sqrt(2.0 / 3.0) * white + np.sqrt(1.0 / 3.0) * slow))


def log_of(world: World, rng: np.random.Generator) -> Log:
    _, curve = bench()
    home = float(curve.travel[-1])
    shift = float(rng.uniform(-SIZES, SIZES) + rng.uniform(-SIZES, SIZES))
    friction = float(np.exp(rng.uniform(*np.log(FRICTIONS))))
    smooth = friction * world.course(STATIONS / home) * normal_force(curve, STATIONS, shift, friction)
    scatter = SCATTER * rng.standard_normal(len(smooth)) if world.own else stretches(rng, STATIONS)
    single = np.full(len(smooth), False)
    if world.stick:
        single[rng.choice(np.arange(3, len(smooth) - 1), 2, replace=False)] = True
    acts = smooth * (1.0 + scatter) * np.where(single, 1.0 + world.stick, 1.0)
    scale = 1.0 + 0.5 * GAUGE_95 * rng.standard_normal()
    gauge = scale * acts / (np.pi / 4.0 * world.ram**2) + world.zero
    if world.own:
        gauge, travel = gauge + DIVISION / np.sqrt(12.0) * rng.standard_normal(len(gauge)), STATIONS
    else:
        gauge = np.round(gauge / (0.5 * DIVISION)) * 0.5 * DIVISION
        travel = np.clip(STATIONS + 0.2 * rng.standard_normal(), 0.0, home)
    force = np.maximum(gauge, 0.0) * np.pi / 4.0 * RAM**2
    truth = float(smooth[-1])
    return Log(travel, force, truth, _observer(world, smooth, single))


def _observer(world: World, smooth: np.ndarray, single: np.ndarray) -> float:
    """Width of the interval of an observer who fits the level of a force of known course, N."""
    reading = DIVISION / np.sqrt(12.0) * np.pi / 4.0 * RAM**2
    level = 1.0 / np.sqrt(np.sum((smooth**2 / (reading**2 + (SCATTER * smooth) ** 2))[~single]))
    half = NORMAL_95 * np.hypot(level, 0.5 * GAUGE_95)
    if world.ram == RAM:
        return float(2.0 * half * smooth[-1])
    read = smooth[-1] * (RAM / world.ram) ** 2  # what the ram of the case makes of the gauge
    least, most = ((ram / RAM) ** 2 for ram in (RAMS[0], RAMS[-1]))
    return float(read * (most * (1.0 + half) - least * (1.0 - half)))


def judged(log: Log, calibrated: bool) -> Agreement:
    study, curve = bench()
    case = case_of(calibrated)
    return agreement(case, curve, study.interference.errors, readings_along(case, log.travel, log.force))


def line_of(world: World, *, calibrated: bool, logs: int = LOGS, seed: int = SEED) -> Line:
    rng = np.random.default_rng(seed)
    unfit, hits, ratios = 0, 0, []
    for _ in range(logs):
        log = log_of(world, rng)
        found = judged(log, calibrated).sliding_force
        if found is None:
            unfit += 1
            continue
        hits += found.low <= log.truth <= found.high
        ratios.append((found.high - found.low) / log.observer)
    kept = logs - unfit
    return Line(
        world,
        calibrated,
        logs,
        unfit / logs,
        hits / kept if kept else float("nan"),
        float(np.median(ratios)) if ratios else float("nan"),
    )


def table(lines: list[Line]) -> str:
    head = (
        "| world | gauge and ram | logs | does not fit, % | covers, % | ratio |\n|---|---|---|---|---|---|"
    )
    rows = [
        f"| {k.world.name} | {'calibrated' if k.calibrated else 'not calibrated'} | {k.logs} "
        f"| {k.unfit_text} | {k.covers_text} | {f'{k.ratio:.2f}' if k.ratio > 0.0 else '–'} |"
        for k in lines
    ]
    return "\n".join([head, *rows])


def study(logs: int = LOGS, seed: int = SEED) -> list[Line]:
    """Every world with the press as it is unless told; calibrated, those that are as the case has them."""
    lines = [line_of(world, calibrated=False, logs=logs, seed=seed) for world in WORLDS]
    as_stated = (w for w in WORLDS if w.acceptance == "sound" or w.stick)
    return [*lines, *(line_of(world, calibrated=True, logs=logs, seed=seed) for world in as_stated)]


if __name__ == "__main__":
    print(table(study(*(int(argument) for argument in sys.argv[1:]))))
