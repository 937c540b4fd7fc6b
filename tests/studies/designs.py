"""Seeded random repairs as case texts for the study of error bars. Invented throughout.

Sizes, materials, shapes and loads are sampled independently over the range of repairs that a small shop
meets, so most of them are odder than a real one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

LIGHT = ("6061-T6", "7075-T6", "6082-T6")
HEAVY = ("E355 steel", "304 stainless", "4130 steel")
OTHER = ("Ti-6Al-4V", "C93200 bronze")
PAIRS = ((HEAVY, LIGHT), (LIGHT, HEAVY), (LIGHT, LIGHT), (HEAVY, HEAVY), (OTHER, LIGHT))
MODULUS = {m: 70e3 for m in LIGHT} | {m: 200e3 for m in HEAVY} | {m: 110e3 for m in OTHER}
"""MPa, approximate: they only scale the loads to suit the fit."""
SHAPES = ("flush", "short", "stepped", "chamfered", "shoulder", "relief", "threaded", "outside profile")
LOADS = ("fit alone", "warm and cold", "bearing", "pedal", "out of round")
FATIGUE = "".join(
    f'[fatigue.{body}]\namplitude = "100 MPa"\nat_cycles = 1000000\nslope = 8\nsource = "invented"\n'
    for body in ("shell", "sleeve")
)
MIN_RADIUS, MAX_RADIUS = 8.0, 60.0
MIN_WALL, MAX_WALL = 0.8, 8.0


@dataclass(frozen=True)
class Design:
    """A sampled repair.

    text: a whole case file. shape, load: of SHAPES and LOADS. warm: K above 20 °C, cold likewise.
    travel: share of the travel at which the press force is evaluated. interference: diametral, mm."""

    seed: int
    shape: str
    load: str
    text: str
    warm: float
    cold: float
    travel: float
    interference: float


def design(seed: int) -> Design:
    """Return the repair of a seed. Shapes and loads are taken in turn, everything else is sampled."""
    rng = np.random.default_rng(seed)
    shape, load = SHAPES[seed % len(SHAPES)], LOADS[(seed // len(SHAPES)) % len(LOADS)]
    size = _sizes(rng, shape)
    parts = [f'title = "repair {seed}: {shape}, {load}"\ninvented = true\n', _shell(rng, size, shape)]
    if load == "out of round":
        parts.append(_out_of_round(rng, size))
    parts += [_sleeve(rng, size, shape), "[fit]\nfriction_low = 0.1\nfriction_high = 0.2\n"]
    if load == "bearing":
        parts.append(_bearing(rng, size))
    if load == "pedal":
        parts.append(_pedal(rng, size))
    return Design(
        seed,
        shape,
        load,
        "\n".join(parts),
        warm=rng.uniform(15.0, 60.0),
        cold=-rng.uniform(10.0, 40.0),
        travel=rng.uniform(0.3, 0.9),
        interference=size.interference,
    )


@dataclass(frozen=True)
class _Sizes:
    """Sizes of a repair, mm.

    bore: diameter of the joint. start, end: of the sleeve. cut: positions between them where its lands
    or zones change. interference: diametral. pressure: of thin rings, MPa, to scale the loads."""

    bore: float
    shell_wall: float
    sleeve_wall: float
    width: float
    start: float
    end: float
    cut: tuple[float, float]
    interference: float
    shell_metal: str
    sleeve_metal: str

    @property
    def pressure(self) -> float:
        give = sum(
            0.5 * self.bore / (MODULUS[metal] * wall)
            for metal, wall in ((self.shell_metal, self.shell_wall), (self.sleeve_metal, self.sleeve_wall))
        )
        return self.interference / self.bore / give


def _sizes(rng: np.random.Generator, shape: str) -> _Sizes:
    radius = _between(rng, MIN_RADIUS, MAX_RADIUS)
    max_wall = min(MAX_WALL, 0.4 * radius)
    width = radius * rng.uniform(1.0, 4.0)
    start, end = 0.0, width
    if shape == "short":
        start, end = width * rng.uniform(0.0, 0.3), width * rng.uniform(0.6, 0.95)
    if shape == "shoulder":
        end = width * rng.uniform(0.5, 0.9)
    cut = (start + (end - start) * rng.uniform(0.2, 0.4), start + (end - start) * rng.uniform(0.6, 0.8))
    inner, outer = PAIRS[rng.choice(len(PAIRS), p=[0.4, 0.25, 0.15, 0.1, 0.1])]
    return _Sizes(
        bore=2.0 * radius,
        shell_wall=_between(rng, MIN_WALL, max_wall),
        sleeve_wall=_between(rng, MIN_WALL, max_wall),
        width=width,
        start=start,
        end=end,
        cut=cut,
        interference=2.0 * radius * rng.uniform(0.4e-3, 1.5e-3),
        shell_metal=str(rng.choice(outer)),
        sleeve_metal=str(rng.choice(inner)),
    )


def _between(rng: np.random.Generator, low: float, high: float) -> float:
    """Sample uniformly in the logarithm."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def _length(key: str, value: float) -> str:
    return f'{key} = "{value:.6f} mm"\n'


def _land(heading: str, a: float, b: float, diameter: float) -> str:
    return f"[[{heading}]]\n" + _length("from", a) + _length("to", b) + _length("diameter", diameter)


def _shell(rng: np.random.Generator, s: _Sizes, shape: str) -> str:
    text = f'[shell]\nmaterial = "{s.shell_metal}"\n' + _length("width", s.width)
    outside, (a, b), lands = s.bore + 2.0 * s.shell_wall, s.cut, ""
    if shape == "outside profile":
        thick = outside + 2.0 * s.shell_wall * rng.uniform(0.3, 1.0)
        lands += "".join(
            _land("shell.outside", *x) for x in ((0.0, a, thick), (a, b, outside), (b, s.width, thick))
        )
    else:
        text += _length("outside_diameter", outside)
    if shape == "shoulder":
        lip = s.bore - 2.0 * s.sleeve_wall * rng.uniform(0.3, 1.0)
        lands += _land("shell.bore", 0.0, s.end, s.bore) + _land("shell.bore", s.end, s.width, lip)
    elif shape == "relief":
        deep = s.bore + 2.0 * s.shell_wall * rng.uniform(0.2, 0.5)
        lands += "".join(
            _land("shell.bore", *x) for x in ((0.0, a, s.bore), (a, b, deep), (b, s.width, s.bore))
        )
    else:
        text += _length("bore_diameter", s.bore)
    return text + lands


def _out_of_round(rng: np.random.Generator, s: _Sizes) -> str:
    return (
        "[shell.out_of_round]\n"
        + _length("ovality", s.interference * rng.uniform(0.1, 0.4))
        + f'angle = "{rng.uniform(0, 180):.1f} deg"\n'
    )


def _sleeve(rng: np.random.Generator, s: _Sizes, shape: str) -> str:
    text = (
        f'[sleeve]\nmaterial = "{s.sleeve_metal}"\n'
        + _length("start", s.start)
        + _length("length", s.end - s.start)
    )
    outside, bore, (a, b), lands = s.bore + s.interference, s.bore - 2.0 * s.sleeve_wall, s.cut, ""
    if shape == "chamfered":
        reach = min(0.1 * (s.end - s.start), s.sleeve_wall)
        text += _length("chamfer_right", reach * rng.uniform(0.4, 1.0))
    if shape == "stepped":
        middle = s.bore + rng.choice([0.3 * s.interference, -rng.uniform(0.0, 0.1)])
        lands += "".join(
            _land("sleeve.outside", *x)
            for x in (
                (0.0, a, outside),
                (a, b, middle),
                (b, s.end, s.bore + s.interference * rng.uniform(0.5, 1.0)),
            )
        )
    else:
        text += _length("outside_diameter", outside)
    if shape == "threaded":
        root = bore + s.sleeve_wall * rng.uniform(0.2, 0.8)
        lands += "".join(
            _land("sleeve.bore", *x) for x in ((s.start, a, root), (a, b, bore), (b, s.end, root))
        )
    else:
        text += _length("bore_diameter", bore)
    return text + lands


def _support(rng: np.random.Generator, s: _Sizes) -> str:
    if rng.random() < 0.3:
        return (
            "[service.clamped]\n"
            + _length("from", s.width * rng.uniform(0.6, 0.75))
            + _length("to", s.width)
        )
    tubes = (
        (20, rng.uniform(0.6, 1.2), 0.5),
        (105, rng.uniform(0.4, 1.0), 0.5),
        (185, 0.5, 0.25),
        (185, 0.5, 0.75),
    )
    return "".join(
        f'[[service.tube]]\nangle = "{angle} deg"\n'
        + _length("outside_diameter", s.bore * share)
        + _length("z", s.width * at)
        for angle, share, at in tubes
    )


def _bearing(rng: np.random.Generator, s: _Sizes) -> str:
    """A bearing near the right end, in the zone behind the last change of bore."""
    a, b = s.cut[1], s.end
    area = s.bore * (b - a)
    radial, axial = (area * s.pressure * rng.uniform(0.1, 0.5), area * s.pressure * rng.uniform(0.0, 0.1))
    return (
        FATIGUE + '[service]\ncycles = 1000000\n[[service.bearing]]\nname = "wheel"\n'
        f'radial = "{radial:.3f} N"\nangle = "{rng.uniform(-180, 180):.1f} deg"\n'
        f'axial = "{axial:.3f} N"\n'
        + _length("z", a + (b - a) * rng.uniform(0.3, 0.7))
        + _length("from", a)
        + _length("to", b)
        + f'hold = "{rng.choice(["pressed", "clamped"])}"\n'
        + _support(rng, s)
    )


def _pedal(rng: np.random.Generator, s: _Sizes) -> str:
    """A force on the crank, carried by a cup near either end; lengths scale with the width of the shell."""
    a, b = s.cut
    force = 0.1 * s.bore * min(a - s.start, s.end - b) * s.pressure * rng.uniform(0.3, 1.0)
    text = (
        f'[service]\nstanding_start = "{force:.3f} N"\n'
        + _length("crank_length", 2.3 * s.width)
        + _length("chainring_radius", 1.1 * s.width)
        + _length("pedal_offset", 1.9 * s.width)
        + _length("chain_line", 0.6 * s.width)
    )
    for side, start, end in (("left", s.start, a), ("right", b, s.end)):
        text += (
            f"[service.{side}_cup]\n"
            + _length("bearing", 0.5 * (start + end))
            + _length("from", start)
            + _length("to", end)
            + 'hold = "clamped"\n'
        )
    return text + _support(rng, s)
