"""Several loads that repeat, summed by Miner, load by load."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

import numpy as np

from hoopwright.case.service_model import Endurance
from hoopwright.checks.fatigue import Repeated
from hoopwright.loads.cases import Cycle
from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.miner import Spectrum
from hoopwright.working.sheet import Sheet, evaluate

MINER = "Palmgren 1924, Miner 1945 (from memory, not seen)"
COUNTS = "[[service.bearing]] or [service] cycles"
AMPLITUDE = Callable[[tuple[Cycle, ...], str], str]
"""Writes the lines for the equivalent amplitude of loads in turn; its symbol."""
NEXT_TO_NOTHING = 1e-200
"""Damage of a cycle below which no number of cycles endured is written: it would pass all bounds."""


def add_miner(
    sheet: Sheet, repeated: Repeated, names: Sequence[str], leading: Cycle, add_amplitude: AMPLITUDE
) -> str:
    """Lines for the damage of every load and the amplitude that does all of it in the cycles of the leading
    one; its symbol. names: symbols of the amplitudes of the loads by themselves."""
    cycles, strength = repeated.cycles, repeated.strength
    pairs = {
        (i, j): add_amplitude((cycles[i], cycles[j]), f"{i + 1}{j + 1}")
        for i, j in combinations(range(len(cycles)), 2)
    }
    amplitudes, times = [*names, *pairs.values()], ""
    if not strength.line.is_straight:
        scale = _scale(sheet, repeated, names, pairs)
        said = "greatest factor on all amplitudes by which the sum below is no more than 1"
        how = "found by halving: the line is not straight, so that lives do not scale"
        sheet.agreed("f", scale, "", said, how)
        times = "f * "
    damage = _Damage(sheet, strength, times)
    own = [damage.of_cycle(name, str(k)) for k, name in enumerate(names, start=1)]
    both = {(i, j): damage.of_cycle(name, f"{i + 1}{j + 1}") for (i, j), name in pairs.items()}
    for i, cycle in enumerate(cycles):
        k = i + 1
        sheet.case(f"n_{k}", float(cycle.count), "", f"cycles of {cycle.name}", COUNTS)
        met = [f"{both[i, j]} - {own[j]}" for j in range(k, len(cycles))]
        once = f"max({', '.join([own[i], *met])})" if met else own[i]
        said = f"damage of {cycle.name}" + (", each cycle in the worst order" if met else "")
        sheet.step(f"D_{k}", f"n_{k} * {once}", "", said, MINER)
    sheet.step("D", " + ".join(f"D_{k}" for k in range(1, len(cycles) + 1)), "", "Miner's sum")
    said = f"amplitude that alone does the damage of all in the cycles of {leading.name}"
    sheet.step("S_e", "S_N / f" if times else _alone(sheet, strength, amplitudes), "MPa", said)
    return "S_e"


def _scale(
    sheet: Sheet, repeated: Repeated, names: Sequence[str], pairs: dict[tuple[int, int], str]
) -> float:
    """The factor on all amplitudes at which Miner's sum is 1."""
    left = sheet.value("k_r") if "k_r" in sheet else 1.0

    def over_share(name: str) -> np.ndarray:
        return np.array(sheet.value(name) / left)

    spectrum = Spectrum(
        tuple(float(cycle.count) for cycle in repeated.cycles),
        tuple(map(over_share, names)),
        {pair: over_share(name) for pair, name in pairs.items()},
    )
    return float(spectrum.scale(repeated.strength))


def _alone(sheet: Sheet, strength: FatigueStrength, amplitudes: Sequence[str]) -> str:
    """The amplitude that alone does the damage of all by a straight line, as an expression; a line for the
    greatest amplitude that is told a life, towards which none may pass."""
    local = " * k_r" if "k_r" in sheet else ""
    said = "greatest amplitude that any life is told for"
    if isinstance(strength.data, Endurance):
        exponent, greatest = "k", f"F_y{local}"
    else:
        a, divisor = ("B", "") if strength.has_two_equations else ("A", " / 2**A_3")
        exponent = f"{a}_2"
        greatest = f"min(K * 10**(({a}_1 - log10(N_a)) / {a}_2){divisor} * k_f, F_y){local}"
    sheet.step("S_g", greatest, "MPa", said, "at the least life of the data, and no more than yield")
    return f"S_N * max(D**(1 / {exponent}), max({', '.join(amplitudes)}) / S_g)"


class _Damage:
    """Lines for the damage of one cycle by its equivalent amplitude. times: factor on all amplitudes, as
    written."""

    def __init__(self, sheet: Sheet, strength: FatigueStrength, times: str) -> None:
        self.sheet, self.strength, self.times = sheet, strength, times
        self.local = "k_f * k_r" if "k_r" in sheet else "k_f"
        self.curve = "B" if strength.has_two_equations else "A"

    def of_cycle(self, amplitude: str, number: str) -> str:
        """The symbol of what one cycle takes of the life; lines for the cycles endured, where there is an
        end to them."""
        stress, life = f"{self.times}{amplitude}", f"N_f{number}"
        if self._taken(stress) <= NEXT_TO_NOTHING:
            below = ": below the limit of the curve" if self.strength.line.limit else ""
            self.sheet.step(f"d{number}", "0", "", f"one cycle of {amplitude} takes nothing{below}")
            return f"d{number}"
        endured, how = self._endured(stress)
        shift = " / 10**(z * s)" if self.strength.scatter else ""
        said = f"cycles of {stress.replace('*', '·')} endured{how}"
        self.sheet.step(life, f"{endured}{shift}", "", said)
        return f"1 / {life}"

    def _taken(self, stress: str) -> float:
        """Share of the life that one cycle takes."""
        smooth = np.asarray(self._value(f"{stress} * k_f / ({self.local})"))
        of_line = self.strength.straight_damage if not self.times else self.strength.damage
        return float(of_line(smooth))

    def _endured(self, stress: str) -> tuple[str, str]:
        """The cycles that the tests' mean endures, as an expression, and how they are read."""
        if isinstance(self.strength.data, Endurance):
            return f"N_1 * (S_1 * {self.local} / ({stress}))**k", ""
        a, power = self.curve, "" if self.curve == "B" else " * 2**A_3"
        least = "" if self.strength.line.is_straight else f" - {a}_4"
        if least and self._value(f"{stress} / ({self.local})") < self._end():
            if "k_b" not in self.sheet:
                said = "slope of log N over log s there"
                self.sheet.step("k_b", f"{a}_2 * (1 + {a}_4 / u_b)", "", said, "tangent")
            return f"N_b * (S_b * {self.local} / ({stress}))**k_b", ", along the tangent beyond N_b"
        return f"10**({a}_1 - {a}_2 * log10({stress}{power} / (K * {self.local}){least}))", ""

    def _end(self) -> float:
        """The amplitude at the greatest life of the data; its lines, once."""
        a, divisor = self.curve, "" if self.curve == "B" else " / 2**A_3"
        if "S_b" not in self.sheet:
            above = f"10**(({a}_1 - log10(N_b)) / {a}_2)"
            self.sheet.step("u_b", above, "ksi", "S_eq above its least at N_b")
            said = "amplitude endured for N_b by the tests' mean"
            self.sheet.step("S_b", f"K * ({a}_4 + u_b){divisor}", "MPa", said)
        return self.sheet.value("S_b")

    def _value(self, expression: str) -> float:
        return evaluate(expression, {line.symbol: line.value for line in self.sheet.lines})
