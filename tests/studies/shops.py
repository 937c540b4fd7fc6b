"""Simulated shops against the tool: how often a stated 95 % is 95 %, and how wide the ± is.

    python -m tests.studies.shops          prints the table of DEVELOPERS.md

"covers": share of the trials in which the mean of a land lies in its 95 % interval, or a fit turned to an
end of its band lies in the window. "width": median half-width, or what is held back of the window, over
that of an observer who knows how the errors are distributed: within which 95 % of them lie.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import sqrt
from pathlib import Path
from types import SimpleNamespace
from typing import Any

if __name__ == "__main__":  # run as a module, from the root of the repository
    sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

import numpy as np
from scipy import special
from studies.shop_world import (
    BORED,
    LENGTH,
    SIZE,
    TRUE,
    TURNED,
    Climate,
    FormErrors,
    Instrument,
    TrueLand,
    land,
    offset,
    read,
    shop,
)

from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.geometry.joint import joint
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.interference import effective_interference
from hoopwright.measured.measured_land import MeasuredLand, measured_land
from hoopwright.sizing.turn_to import decide, turn_to
from hoopwright.sizing.window import End, Window

TRIALS, MANY, SEED = 1200, 20_000, 29
ALUMINIUM, STEEL = 23.1e-6, 11.7e-6
EVENLY = (0.0, 45.0, 90.0, 135.0)
PLACES = (3.0, 20.0, 37.0)
BORE_GAUGE = Instrument(error=0.002, zero=0.001, scatter=0.0007)
WINDOW = 0.0275
"""Width of the window, mm, of the trike demo."""
FIT = 0.034
LOW, HIGH = FIT - 0.5 * WINDOW, FIT + 0.5 * WINDOW
COOL = Climate()


@dataclass(frozen=True)
class Result:
    """One line of the table. covers: share of the trials; width: None where none is compared. trials."""

    name: str
    covers: float
    width: float | None
    trials: int

    @property
    def binomial_error(self) -> float:
        """Standard error of a share of 93 % over the trials."""
        return sqrt(0.93 * 0.07 / self.trials)


def as_gauge(made: Instrument, *, known: bool = True, name: str = "gauge", **more: Any) -> Gauge:
    """What a case says of an instrument. known: with its repeatability."""
    return Gauge(
        name,
        made.step,
        made.error,
        made.zero,
        repeatability=made.scatter if known else None,
        **more,
    )


def stations(
    places: Sequence[float], angles: tuple[float, ...], shown: np.ndarray, gauge: Gauge, *warm: float
) -> list[Station]:
    """Readings as a case has them. warm: temperature of the part, K above 20 °C, and its ±."""
    return [
        Station(z, angles, tuple(map(float, v)), gauge, *warm) for z, v in zip(places, shown, strict=True)
    ]


def evaluated(
    found: Sequence[Station], expansion: float = ALUMINIUM, process: str = "bored"
) -> MeasuredLand:
    what = {"part": "shell", "surface": "bore", "index": 0, "process": process}
    return measured_land(LandReadings(0.0, LENGTH, tuple(found)), expansion=expansion, **what)


# ---- readings: is the mean of a land in its interval? ------------------------------------------


@dataclass(frozen=True)
class Read:
    """How a land is read. places: stations, mm; angles: degrees. unnoted: without writing down angles."""

    places: tuple[float, ...] = PLACES
    angles: tuple[float, ...] = EVENLY
    form: FormErrors = BORED
    climate: Climate = COOL
    made: Instrument = BORE_GAUGE
    known: bool = True
    unnoted: bool = False
    comparator: bool = False
    process: str = "bored"

    def trial(self, rng: np.random.Generator, true: TrueLand | None = None) -> tuple[float, float]:
        """Error of the mean, and its half-width, mm."""
        true = land(rng, self.form) if true is None else true
        visit = shop(rng, self.climate, ALUMINIUM, self.made)
        shown = read(rng, true, self.places, self.angles, self.made, visit, offset(rng, self.made))
        gauge = as_gauge(self.made, known=self.known, comparator=self.comparator)
        warm = self.climate.shop, self.climate.thermometer_off
        angles = () if self.unnoted else self.angles
        found = evaluated(stations(self.places, angles, shown, gauge, *warm), process=self.process)
        return found.diameter - true.mean, found.plus_minus


def of_readings(name: str, how: Read, truth: Callable[[Any], TrueLand] | None = None) -> Result:
    rng = np.random.default_rng(SEED)
    pairs = [how.trial(rng, None if truth is None else truth(rng)) for _ in range(TRIALS)]
    off, half = (np.array(column) for column in zip(*pairs, strict=True))
    known = float(np.quantile(np.abs(off), 0.95))
    return Result(name, float(np.mean(np.abs(off) <= half)), float(np.median(half)) / known, TRIALS)


def always_oval(rng: np.random.Generator) -> TrueLand:
    """Greatest ovality in every land, nothing else."""
    return replace(land(rng, TRUE), ovality=BORED.ovality)


def two_readings(name: str) -> Result:
    """Two readings of a true land with scatter of 4 µm, nothing known of it. The observer uses Student's t
    at one degree of freedom on both readings, and knows the limits of the gauge."""
    rng = np.random.default_rng(SEED)
    made = Instrument(error=0.0005, zero=0.0, scatter=0.004, step=1e-4)
    inside, widths, gauge = 0, [], as_gauge(made, known=False, contacts=3)
    for _ in range(TRIALS):
        true, visit = land(rng, TRUE), shop(rng, Climate(), ALUMINIUM, made)
        shown = read(rng, true, (20.0,), (0.0, 90.0), made, visit, offset(rng, made))[0]
        gauged = stations((20.0,), (0.0, 90.0), shown[None], gauge)
        found = evaluated(gauged, process="ground")
        inside += abs(found.diameter - true.mean) <= found.plus_minus
        usual = float(special.stdtrit(1, 0.975)) * abs(shown[0] - shown[1]) / 2.0
        widths.append(found.plus_minus / max(usual, made.error))
    return Result(name, inside / TRIALS, float(np.median(widths)), TRIALS)


def two_gauges(name: str, *, first: Instrument, second: Instrument) -> Result:
    """One land read with two gauges, each of its own zero and scatter and of one accuracy."""
    rng, off, half = np.random.default_rng(SEED), [], []
    made = {"one": first, "other": second}
    for _ in range(TRIALS):
        true, visit = land(rng, TRUE), shop(rng, Climate(), ALUMINIUM, first)
        both = []
        for (called, one), places in zip(made.items(), ((3.0, 14.0), (26.0, 37.0)), strict=True):
            shown = read(rng, true, places, EVENLY, one, visit, offset(rng, one))
            both += stations(places, EVENLY, shown, as_gauge(one, name=called))
        found = evaluated(both, process="ground")
        off.append(abs(found.diameter - true.mean))
        half.append(found.plus_minus)
    covers = float(np.mean(np.array(off) <= np.array(half)))
    return Result(name, covers, float(np.median(half) / np.quantile(off, 0.95)), TRIALS)


# ---- cutting: is a fit turned to the band in the window? ---------------------------------------

PAIR = f"""
title = "simulated shop, invented"
invented = true
[shell]
material = "6061-T6"
width = "{LENGTH} mm"
outside_diameter = "50 mm"
bore_diameter = "{SIZE} mm"
bore_plus_minus = "1 um"
[sleeve]
material = "E355 steel"
length = "{LENGTH} mm"
outside_diameter = "{SIZE + FIT} mm"
outside_plus_minus = "1 um"
bore_diameter = "36 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
"""
STATED = 0.001


@cache
def pair() -> Case:
    return parse_case(PAIR)


def study_of(case: Case) -> Any:
    """What sizing asks of a study, without any solve."""
    fitted = joint(case.shell, case.sleeve)
    interference = effective_interference(case, fitted)
    return SimpleNamespace(
        joint=fitted,
        interference=interference,
        interference_half_width=interference.errors.half_width(),
        nominal_interference=FIT,
    )


def window_of(half: float) -> Window:
    return Window(FIT, End(-half, None), End(half, None))


@dataclass(frozen=True)
class Cut:
    """How a part is cut to its band and read meanwhile. count: readings averaged, evenly spread."""

    climate: Climate = COOL
    made: Instrument = BORE_GAUGE
    known: bool = True
    count: int = 3
    cut: str = "sleeve"
    form: FormErrors = TURNED

    @property
    def case(self) -> Case:
        case = pair()
        size = replace(
            case.size,
            gauge=as_gauge(self.made, known=self.known),
            readings=self.count,
            shop_rise_K=self.climate.shop,
            shop_plus_minus_K=self.climate.thermometer_off,
        )
        return replace(case, size=size)

    def error(self, rng: np.random.Generator, expansion: float) -> float:
        """True mean at 20 °C less what the shop takes it for, which is as the reading at its temperatures
        in the book."""
        true, visit = land(rng, self.form), shop(rng, self.climate, expansion, self.made)
        k = np.arange(self.count)
        z, phi = LENGTH * (k + 0.5) / self.count, np.pi * k / self.count
        shown = visit.shown(true.diameter(z, phi)) + offset(rng, self.made)
        shown = shown + self.made.scatter * rng.standard_normal(self.count)
        return true.mean - float(np.round(shown / self.made.step).mean() * self.made.step)


def cut_to_the_band(name: str, how: Cut, *, trials: int = TRIALS * 5) -> Result:
    """Fits cut until the gauge shows an end of the band, the worst that a person may do."""
    rng, case = np.random.default_rng(SEED), how.case
    (band,) = turn_to(case, study_of(case), window_of(0.5 * WINDOW), cut=how.cut).bands
    expansion = (case.sleeve_material if how.cut == "sleeve" else case.shell_material).expansion
    inside, off = 0, []
    for k in range(trials):
        wrong = how.error(rng, expansion)
        other = STATED * rng.uniform(-1.0, 1.0)
        size = (band.shop_low, band.shop_high)[k % 2] + wrong
        fit = size - SIZE + other if how.cut == "sleeve" else SIZE + FIT - size + other
        inside += LOW <= fit <= HIGH
        off.append(wrong + other)
    # the reading that the shop aims at is corrected by the tool for its temperatures: so is the observer's
    held_back = float(np.quantile(np.abs(np.array(off) - np.median(off)), 0.95))
    return Result(name, inside / trials, band.guard / held_back, trials)


def tapered_land(name: str, *, taper: float = 0.020) -> Result:
    """A bore that runs from one end to the other by so much, read well, and a sleeve planned to follow it:
    cut until the gauge shows a limit of the band of each end, is the fit in the window at both?"""
    rng, how, inside, off, guards = np.random.default_rng(SEED), Cut(), 0, [], []
    for k in range(TRIALS):
        true = replace(land(rng, TRUE), mean=SIZE, taper=taper)
        found = _read_well(rng, true)
        ends = {"diameter_start": found.diameter_start, "diameter_end": found.diameter_end}
        case = how.case
        bore = replace(case.shell.bore[0], **ends)
        outside = replace(case.sleeve.outside[0], **{end: d + FIT for end, d in ends.items()})
        measured = replace(
            case,
            shell=replace(case.shell, bore=(bore,)),
            sleeve=replace(case.sleeve, outside=(outside,)),
            shell_measured=(found,),
        )
        (band,) = turn_to(measured, study_of(measured), window_of(0.5 * WINDOW)).bands
        bored = true.diameter(np.array([end.z for end in band.ends]), np.zeros(2))
        wrong = how.error(rng, STEEL)
        fit = np.array([(end.shop_low, end.shop_high)[k % 2] for end in band.ends]) + wrong - bored
        inside += bool(np.all((fit >= LOW) & (fit <= HIGH)))
        off.append(float(np.abs(wrong + np.array(list(ends.values())) - bored).max()))
        guards.append(band.guard)
    return Result(name, inside / TRIALS, float(np.median(guards) / np.quantile(off, 0.95)), TRIALS)


def _read_well(rng: np.random.Generator, true: TrueLand) -> MeasuredLand:
    made = BORE_GAUGE
    visit = shop(rng, Climate(), ALUMINIUM, made)
    shown = read(rng, true, PLACES, EVENLY, made, visit, offset(rng, made))
    return evaluated(stations(PLACES, EVENLY, shown, as_gauge(made)))


def joint_chance(name: str) -> Result:
    """Two seats whose sizes err independently: the window in which the tool says 95 %, over what it is."""
    lands = "".join(
        f'[[{part}]]\nfrom = "{a} mm"\nto = "{b} mm"\ndiameter = "{size} mm"\nplus_minus = "{pm} um"\n'
        for part, size, pm in (("shell.bore", SIZE, 6), ("sleeve.outside", SIZE + FIT, 1))
        for a, b in ((0, 20), (20, LENGTH))
    )
    text = PAIR.replace(f'bore_diameter = "{SIZE} mm"\nbore_plus_minus = "1 um"\n', "")
    text = text.replace(f'outside_diameter = "{SIZE + FIT} mm"\noutside_plus_minus = "1 um"\n', "")
    case = parse_case(text + lands)
    study = study_of(case)
    low, high = 0.0, 0.010
    for _ in range(30):
        middle = 0.5 * (low + high)
        enough = decide(case, study, window_of(middle)).likely_enough
        low, high = (low, middle) if enough else (middle, high)
    rng = np.random.default_rng(SEED)
    errors = 0.006 * rng.uniform(-1, 1, (MANY, 2)) + 0.001 * rng.uniform(-1, 1, (MANY, 2))
    worst = np.abs(errors).max(axis=1)
    return Result(name, float(np.mean(worst <= high)), high / float(np.quantile(worst, 0.95)), MANY)


def not_makeable(name: str) -> Result:
    """Sound shops: bores read at three stations in four directions, a micrometer that suits. "covers" is
    the share that is told a size to turn to."""
    rng, told, trials = np.random.default_rng(SEED), 0, TRIALS // 2
    for _ in range(trials):
        true, climate = land(rng, BORED), Climate(rng.uniform(-4.0, 10.0), 1.0, 1.0)
        visit, off = shop(rng, climate, ALUMINIUM, BORE_GAUGE), offset(rng, BORE_GAUGE)
        shown = read(rng, true, PLACES, EVENLY, BORE_GAUGE, visit, off)
        gauge = as_gauge(BORE_GAUGE, known=bool(rng.integers(2)))
        found = evaluated(stations(PLACES, EVENLY, shown, gauge, climate.shop, 1.0))
        case = replace(Cut(climate).case, shell_measured=(found,))
        told += turn_to(case, study_of(case), window_of(0.5 * WINDOW)).makeable
    return Result(name, told / trials, None, trials)


WARM = {rise: Climate(rise - 20.0, 1.0, 1.0) for rise in (20.0, 30.0, 38.0)}
FINE = Instrument(error=0.002, zero=0.0, scatter=0.0005)
POOR = Instrument(error=0.002, zero=0.019, scatter=0.002)
SCATTERING = Instrument(error=0.002, zero=0.001, scatter=0.004, step=0.001)
LINES: dict[str, Callable[[str], Result]] = {
    "readings as they should be": lambda n: of_readings(n, Read()),
    "ovality read in one direction": lambda n: of_readings(n, Read(angles=(20.0,) * 2)),
    "the same, without noted angles": lambda n: of_readings(n, Read(angles=(20.0,) * 2, unnoted=True)),
    "the same, 10 µm in every land": lambda n: of_readings(n, Read(angles=(20.0,) * 2), always_oval),
    "ovality read at 0 and 60°": lambda n: of_readings(n, Read(angles=(0.0, 60.0))),
    "taper, one station near an end": lambda n: of_readings(n, Read(places=(4.0,))),
    "bell-mouth, two stations at the ends": lambda n: of_readings(n, Read(places=(3.0, 37.0))),
    "bell-mouth, three stations": lambda n: of_readings(n, Read(places=(8.0, 20.0, 32.0))),
    "read at 30 °C": lambda n: of_readings(n, Read(climate=WARM[30.0])),
    "read at 38 °C": lambda n: of_readings(n, Read(climate=WARM[38.0])),
    "set in a ring, shop known to 3 K": lambda n: of_readings(
        n, Read(climate=Climate(10.0, 3.0, shared=True), comparator=True)
    ),
    "sleeve turned at 30 °C": lambda n: cut_to_the_band(n, Cut(WARM[30.0])),
    "sleeve turned at 38 °C": lambda n: cut_to_the_band(n, Cut(WARM[38.0])),
    "shell bored at 30 °C": lambda n: cut_to_the_band(n, Cut(WARM[30.0], cut="shell", form=BORED)),
    "shell bored at 38 °C": lambda n: cut_to_the_band(n, Cut(WARM[38.0], cut="shell", form=BORED)),
    "sleeve read once": lambda n: cut_to_the_band(n, Cut(count=1)),
    "a reading to come without repeatability": lambda n: cut_to_the_band(
        n, Cut(made=SCATTERING, known=False, count=1)
    ),
    "two readings": two_readings,
    "two gauges": lambda n: two_gauges(n, first=FINE, second=POOR),
    "joint chance of two seats": joint_chance,
    "tapered land": tapered_land,
    "sound shops are told a size": not_makeable,
}
"""Lines of the table by name."""


def table(lines: Sequence[Result]) -> str:
    """Return the lines as a Markdown table."""
    head = ["| shop | trials | covers, % | width |", "|---|---|---|---|"]
    return "\n".join(
        head
        + [
            f"| {k.name} | {k.trials} | {100 * k.covers:.1f} ± "
            f"{100 * sqrt(k.covers * (1 - k.covers) / k.trials):.1f} | "
            f"{'–' if k.width is None else format(k.width, '.2f')} |"
            for k in lines
        ]
    )


if __name__ == "__main__":
    print(table([line(name) for name, line in LINES.items()]))
