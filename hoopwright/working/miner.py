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
    spectrum = Spectrum(
        tuple(float(cycle.count) for cycle in cycles),
        tuple(np.array(sheet.value(name)) for name in names),
        {pair: np.array(sheet.value(name)) for pair, name in pairs.items()},
    )
    times = ""
    if strength.has_limit:
        scale = float(spectrum.scale(strength))
        said = "factor on all amplitudes at which the sum below is 1"
        sheet.agreed("f", scale, "", said, "found by halving: below the limit of the curve nothing adds")
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
    exponent = "k" if isinstance(strength.data, Endurance) else "A_2"
    alone = "S_N / f" if times else f"S_N * D**(1 / {exponent})"
    said = f"amplitude that alone does the damage of all in the cycles of {leading.name}"
    sheet.step("S_e", alone, "MPa", said)
    return "S_e"


class _Damage:
    """Lines for the damage of one cycle by its equivalent amplitude. times: factor on all amplitudes, as
    written."""

    def __init__(self, sheet: Sheet, strength: FatigueStrength, times: str) -> None:
        self.sheet, self.strength, self.times = sheet, strength, times

    def of_cycle(self, amplitude: str, number: str) -> str:
        """The symbol of what one cycle takes of the life; lines for the cycles endured, where there is an
        end to them."""
        data, stress, life = self.strength.data, f"{self.times}{amplitude}", f"N_f{number}"
        if isinstance(data, Endurance):
            expression = f"N_1 * (S_1 * k_f / ({stress}))**k" if self.sheet.value(amplitude) else ""
        else:
            above = f"{stress} * 2**A_3 / (K * k_f) - A_4"
            endless = self._value(above) <= 0.0
            expression = "" if endless else f"10**(A_1 - A_2 * log10({above}))"
        if not expression:
            said = f"one cycle of {amplitude} takes nothing: below the limit of the curve"
            self.sheet.step(f"d{number}", "0", "", said)
            return f"d{number}"
        self.sheet.step(life, expression, "", f"cycles of {stress.replace('*', '·')} endured")
        return f"1 / {life}"

    def _value(self, expression: str) -> float:
        return evaluate(expression, {line.symbol: line.value for line in self.sheet.lines})
