"""A thin ring loaded on a band, by hand: hoop stress of radial forces that the shear of a beam carries
away, and of the flanks of a cup's thread.

A radial force W, outwards, is balanced in a ring of the length L by shear as sin ψ. With c_0 the share of
an even pressure in it and M the bending moment,

    N = W / L (c_0 + cos ψ / π) - M / R.

A tube bent by less than its whole length is a beam on an elastic foundation: hoops that stretch, or rings
that go out of round (n = 2) while the wall between them bends along the axis. Either gives the length of an
even ring that would be stressed as the tube is at the place.
"""

from __future__ import annotations

from math import atan2, hypot, radians
from typing import Literal, NamedTuple

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.cup_load import HALF_THREAD_ANGLE_DEG, engagement_ends
from hoopwright.loads.traction import resultant
from hoopwright.working.section import STATICS, Acting, Point, add_radii, young_of
from hoopwright.working.sheet import Sheet

TITLE, WEDGE = "a thin ring loaded on a band", "a thin ring under the flanks of the cup's thread"
TIMOSHENKO = "Timoshenko, Strength of Materials (from memory, not seen)"
FOUNDATION = "Timoshenko, a tube as a beam on an elastic foundation (from memory, not seen)"
VLASOV = "Vlasov's theory of a tube that bends without stretching round, n = 2 (from memory, not seen)"
DIES = 1.0
"""Distance from a band, by 1/β, up to which it counts: there e^-1 cos 1 = 0.2 is left of it."""
REASON = (
    "one thin tube with one free end stands for both bodies; shear carries each force away evenly, a frame "
    "tube pushes and turns on all its footprint and bends a thin wall more sharply than an oval, and bands "
    "farther off are not in it"
)
WEDGE_REASON = (
    "one thin tube with one free end stands for both bodies; the pull along the axis, which makes the "
    "sleeve thinner, and the seat, which passes on a part alone, are not in it"
)
PULLED = {
    "half cosine": "(2 / π**2 + cos({ψ}) / π)",
    "pinched": "(1 / (2 * π) + cos({ψ}) / π)",
    "cosine": "cos({ψ}) / π",
}
"""Force in the ring over W / L without what bending makes of it, by the spread of the force."""
BENT = {
    "half cosine": "4 / π**2 * {W} * R / {H} "
    "* (cos(2 * {ψ}) / 9 - cos(4 * {ψ}) / 225 + cos(6 * {ψ}) / 1225)",
    "pinched": "{W} * R / (2 * π * {H}) * (1 + cos({ψ}) / 2 - (π - {ψ}) * sin({ψ}))",
}
"""Moment by length in the ring, by the spread of the force. A clamped cup, which pushes one half as much as
it pulls the other, bends none."""
HELD = PULLED | {"half cosine": "2 / π * max(cos({ψ}), 0)"}
"""Force in a ring that a clamp beside it holds round, over W / L: pressure there times radius."""
Spread = Literal["half cosine", "pinched", "cosine"]


class Band(NamedTuple):
    """A radial force on a band. force: outwards, N; towards: rad; start, end: z, mm; name: what acts."""

    force: float
    towards: float
    start: float
    end: float
    spread: Spread
    name: str


def bands_of(acting: Acting) -> list[Band]:
    """The bands of a load case. The tubes are left out under a load that goes round: of them only the sum
    is known."""
    found = []
    case, angle = acting.case, acting.angle
    for load in case.loads:
        radial = [t for t in load.tractions if not t.on_end_face and any((*t.radial_cos, *t.radial_sin))]
        force, _ = resultant(radial)
        size = hypot(force[0], force[1])
        if size:
            one_sided = any(np.any((*t.radial_cos[2:], *t.radial_sin[2:])) for t in radial)
            towards = atan2(force[1], force[0]) if angle is None else angle
            start, end = min(t.start for t in radial), max(t.end for t in radial)
            spread: Spread = "half cosine" if one_sided else "cosine"
            found.append(Band(size, towards, start, end, spread, load.name))
    for reaction in case.reactions if angle is None else ():
        force, _ = resultant(reaction.tractions)
        towards = radians(reaction.tube.angle)
        outwards = float(force[0] * np.cos(towards) + force[1] * np.sin(towards))
        start, end = min(t.start for t in reaction.tractions), max(t.end for t in reaction.tractions)
        found.append(Band(outwards, towards, start, end, "pinched", reaction.name))
    return found


class Ring:
    """The lines of a ring at a point, written load by load. stuck: both walls bend as one; else each about
    its own middle."""

    def __init__(self, sheet: Sheet, evidence: Evidence, point: Point, *, stuck: bool) -> None:
        self.sheet, self.point, self.width = sheet, point, evidence.case.shell.width
        self.to_left = point.z <= 0.5 * self.width
        self.x = point.z if self.to_left else self.width - point.z
        self._lengths: dict[tuple[str, str], str] = {}
        self._numbers: dict[str, int] = {}
        add_radii(sheet, evidence, point.z)
        sheet.step("R", "(r_1 + r_3) / 2", "mm", "mean radius of the wall")
        sheet.step("C", "E_s * (r_2 - r_1) + E_h * (r_3 - r_2)", "N/mm", "stiffness of the wall by length")
        if stuck:
            middle = "(E_s * (r_2**2 - r_1**2) + E_h * (r_3**2 - r_2**2)) / (2 * C)"
            bent = "E_s * ((r_2 - r_n)**3 - (r_1 - r_n)**3) + E_h * ((r_3 - r_n)**3 - (r_2 - r_n)**3)"
            stiffness = f"({bent}) / 3"
        else:
            middle = "(r_2 + r_3) / 2" if point.body == "shell" else "(r_1 + r_2) / 2"
            stiffness = "(E_s * (r_2 - r_1)**3 + E_h * (r_3 - r_2)**3) / 12"
        sheet.step("r_n", middle, "mm", "radius at which bending is nil")
        sheet.step("B", stiffness, "N*mm", "bending stiffness of the wall by length")
        said = "how fast a load on the hoop dies out along the tube"
        sheet.step("β", "(C / (4 * R**2 * B))**(1 / 4)", "1/mm", said, FOUNDATION)
        sheet.step("β_2", "(36 * B / (C * R**6))**(1 / 4)", "1/mm", "how fast it gets round again", VLASOV)
        end = "left" if self.to_left else "right"
        sheet.agreed("x", self.x, "mm", f"place from the {end} end of the shell", "as above")

    def counts(self, band: Band, decay: str) -> bool:
        """Whether the place is on a band, or so near that a part of it is left there."""
        begin, end = self._ends(band)
        reach = DIES / self.sheet.value(decay)
        return begin - reach <= self.x <= end + reach

    def add_stress(self, acting: Acting, symbol: str, number: str) -> bool:
        """Lines for the hoop stress under one load; whether there is one."""
        held, bands = self._held_by_clamp(acting), bands_of(acting)
        pulling = [k for k, band in enumerate(bands) if self.counts(band, "β")]
        bending = [k for k, band in enumerate(bands) if band.spread in BENT and self.counts(band, "β_2")]
        most = max(bending, key=lambda k: self._bends_by(bands[k]), default=None) if not held else None
        forces, moments = [], []
        for k, band in enumerate(bands):
            if k not in pulling and k != most:
                continue
            own = {name: _name(name, number, k + 1) for name in ("W", "ψ", "M")}
            said = f"radial force outwards, {band.name}, {acting.name}"
            self.sheet.case(own["W"], band.force, "N", said, STATICS)
            self.sheet.case(
                own["ψ"],
                self._angle_from(band),
                "rad",
                "angle from it to the place that governs",
                "[service]",
            )
            if k == most:
                own["H"] = self.add_length(band, "β_2", "H", VLASOV)
                bent = BENT[band.spread].format(**own)
                self.sheet.step(own["M"], bent, "N", f"its moment by length, {band.spread}", TIMOSHENKO)
                moments.append(own["M"])
            if k in pulling:
                own["L"] = self.add_length(band, "β", "L", FOUNDATION)
                share = (HELD if held else PULLED)[band.spread].format(**own)
                forces.append(f"{own['W']} / {own['L']} * {share}")
        if not forces and not moments:
            return False
        total, bent = _name("N", number), _name("M", number)
        self.sheet.step(bent, " + ".join(moments) or "0", "N", "moment in the ring by length")
        force = f"{' + '.join(forces) or '0'} - {bent} / R"
        self.sheet.step(total, force, "N/mm", "force in the ring by length")
        stress = f"{young_of(self.point.body)} * ({total} / C + {bent} * (r - r_n) / B)"
        self.sheet.step(symbol, stress, "MPa", f"hoop stress of the ring, {acting.name}")
        return True

    def _angle_from(self, band: Band) -> float:
        """Angle between a force and the place, rad, 0 to π."""
        return abs(float((self.point.theta - band.towards + np.pi) % (2.0 * np.pi) - np.pi))

    def _bends_by(self, band: Band) -> float:
        """About how much a force bends the ring at the place, to tell which of several does most."""
        psi, (begin, end) = self._angle_from(band), self._ends(band)
        away = max(begin - self.x, self.x - end, 0.0) * self.sheet.value("β_2")
        shape = 1.0 + 0.5 * np.cos(psi) - (np.pi - psi) * np.sin(psi)
        return float(abs(band.force * shape) * np.exp(-away))

    def _held_by_clamp(self, acting: Acting) -> bool:
        """Whether a clamp is so near that the wall cannot go out of round."""
        clamp, z, reach = acting.case.clamped, self.point.z, DIES / self.sheet.value("β_2")
        return clamp is not None and clamp.z_start - reach <= z <= clamp.z_end + reach

    def add_length(self, band: Band, decay: str, name: str, source: str) -> str:
        """Lines for the length of an even ring stressed as the tube is at the place; the symbol of the
        last. Loads on the same band share it."""
        if (name, band.name) in self._lengths:
            return self._lengths[name, band.name]
        k = self._numbers.setdefault(band.name, len(self._numbers) + 1)
        b, e, share, length = f"b_{k}", f"e_{k}", f"k_{name}{k}", f"{name}_{k}"
        begin, end = self._ends(band)
        if b not in self.sheet:
            self.sheet.case(b, begin, "mm", f"band of {band.name} from that end", "[service] or [cups]")
            self.sheet.case(e, end, "mm", "where it ends", "[service] or [cups]")
        self._add_share(share, b, e, decay, source)
        self.sheet.step(length, f"({e} - {b}) / {share}", "mm", _MEANING[name])
        self._lengths[name, band.name] = length
        return length

    def _add_share(self, symbol: str, b: str, e: str, decay: str, source: str) -> None:
        """Lines for the share of the pressure on a band that the ring at x carries: at a free end, far from
        one, or between."""
        add, x = self.sheet.step, self.x
        free = f"{_wave(b, decay, _DIES)} - {_wave(e, decay, _DIES)}"
        said = "share of the pressure on the band that this ring carries"
        if x * self.sheet.value(decay) <= AT_THE_END:
            add(symbol, free, "", f"{said}, at a free end", source)
            return
        near, far = (_wave(f"abs(x - {at})", decay, "cos({u})") for at in (b, e))
        inside = self.sheet.value(b) <= x <= self.sheet.value(e)
        endless = f"1 - ({near} + {far}) / 2" if inside else f"abs({near} - {far}) / 2"
        if x * self.sheet.value(decay) >= FAR_FROM_IT:
            add(symbol, endless, "", f"{said}, far from an end", source)
            return
        index = symbol.removeprefix("k_")
        add(f"i_{index}", endless, "", f"{said}, far from an end", source)
        add(f"f_{index}", free, "", "what the free end adds to it at the end, by moving")
        add(
            f"g_{index}", f"{_wave(e, decay, 'sin({u})')} - {_wave(b, decay, 'sin({u})')}", "", "by turning"
        )
        moved = f"cos({decay} * x) * f_{index} + (cos({decay} * x) - sin({decay} * x)) * g_{index}"
        add(symbol, f"i_{index} + exp(-{decay} * x) * ({moved}) / 2", "", said)

    def _ends(self, band: Band) -> tuple[float, float]:
        """Begin and end of a band from the nearer end of the shell, mm."""
        if self.to_left:
            return band.start, band.end
        return self.width - band.end, self.width - band.start


_MEANING = {
    "L": "length of an even ring whose hoop is stressed as here",
    "H": "length of an even ring bent as here",
}


_DIES = "(cos({u}) - sin({u}))"
AT_THE_END, FAR_FROM_IT = 0.1, 3.0
"""Distance from the free end, by 1/β, up to which a place is at it, and from which the end is not felt."""


def _wave(at: str, decay: str, of: str) -> str:
    """A function of the distance `at`, dying out as it goes."""
    u = f"{decay} * {at}"
    return f"exp(-{u}) * {of.format(u=u)}"


def _name(symbol: str, *numbers: str | int) -> str:
    """A symbol with the numbers of a load and a band, where it has any."""
    return "_".join([symbol, *(str(number) for number in numbers if number != "")])


def add_wedge(sheet: Sheet, evidence: Evidence, point: Point, pull: float) -> bool:
    """Lines for the hoop stress under the flanks of a cup's thread; whether there is one here."""
    ring, ends = Ring(sheet, evidence, point, stuck=False), engagement_ends(evidence.case)
    threads = [
        Band(0.0, 0.0, start, end, "cosine", "the cup's thread")
        for start, end in zip(ends[::2], ends[1::2], strict=True)
    ]
    band = next((one for one in threads if ring.counts(one, "β")), None)
    if band is None:
        return False
    length = ring.add_length(band, "β", "L", FOUNDATION)
    sheet.case("F", pull, "N", "pull of the cups, as tightened", "[cups] torques and friction")
    angle = radians(HALF_THREAD_ANGLE_DEG)
    sheet.table("α", angle, "rad", "half the angle of the thread", "ISO 68-1, from memory, not seen")
    sheet.step("N", f"F * tan(α) / (2 * π * {length})", "N/mm", "force in the ring by length")
    sheet.step("hand", f"{young_of(point.body)} * N / C", "MPa", "hoop stress of the ring")
    return True
