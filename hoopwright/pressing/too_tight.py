"""Too tight: what the extra interference buys once metal yields, and what it leaves behind."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fem.plastic import Yield
from fem.plastic_press import PlasticFit, PlasticPress
from fem.strain import R
from hoopwright.fit import Discretisation
from hoopwright.study import CaseStudy

YIELD_CHECKS = ("shell_yields_pressed", "sleeve_yields_pressed")
STEPS = 4
BUYS = 0.5
"""A further micrometre that brings less than this share of what it brings elastically is said to buy
little grip; the tool's own choice."""
NOTICED = 0.02
"""Share of the force by which yielding must lower it to be told."""


@dataclass(frozen=True)
class Yielded:
    """The press fit at one interference, metal yielding where it must. Diametral values, mm.

    interference: averaged along the seats. normal, elastic_normal: ∫ p dA, N, so and without yield.
    equivalent: greatest equivalent plastic strain, by body. remaining: the interference that would
    press as hard if nothing had yielded. outside_growth: permanent, of the shell's outside when the
    sleeve is out again, at its greatest. bore_growth: the same of the shell's bore along the seats;
    sleeve_shrink: permanent, of the sleeve's outside. bore_closure: of the sleeve's bore while it
    sits, at its greatest; buys: grip gained per interference since the step before, as a share of the
    elastic gain.
    """

    interference: float
    normal: float
    elastic_normal: float
    equivalent: dict[str, float]
    remaining: float
    outside_growth: float
    bore_growth: float
    sleeve_shrink: float
    bore_closure: float
    buys: float


@dataclass(frozen=True)
class TooTight:
    """A rising series, ending at the greatest interference."""

    steps: tuple[Yielded, ...]
    yields: dict[str, float]

    @property
    def last(self) -> Yielded:
        return self.steps[-1]

    @property
    def lowered(self) -> float:
        """Share of the elastic grip that yielding takes at the greatest interference."""
        last = self.last
        return 1.0 - last.normal / last.elastic_normal if last.elastic_normal > 0.0 else 0.0

    @property
    def plastic(self) -> bool:
        return max(self.last.equivalent.values()) > 0.0


def too_tight(study: CaseStudy, *, greatest: float) -> TooTight:
    """Elastic–plastic pressing of the case up to a shift `greatest` of the diametral interference, mm.

    Perfectly plastic at the yield strength of the table, frictionless, on the coarse mesh. Raises
    fem.SolveError when the wall cannot be pressed so far.
    """
    mesh, case = study.coarse, study.case
    limits = {"shell": case.shell_material.yield_strength, "sleeve": case.sleeve_material.yield_strength}
    press = PlasticPress(mesh.assembly, {name: Yield(value) for name, value in limits.items()})
    start = -0.5 * study.nominal_interference
    shifts = np.linspace(start, greatest, STEPS + 1)
    states = press.press([mesh.profile + 0.5 * shift for shift in shifts])
    rows: list[Yielded] = []
    for shift, state in zip(shifts, states, strict=True):
        rows.append(_read(study, press, mesh, float(shift), state, rows))
    return TooTight(tuple(rows[1:]), limits)


def _read(study: CaseStudy, press: PlasticPress, mesh: Discretisation, shift: float, state: PlasticFit,
          before: list[Yielded]) -> Yielded:
    pairs = mesh.assembly.interface
    interference = study.nominal_interference + shift
    normal = float(2.0 * np.pi * state.pressure @ pairs.weight)
    linear = mesh.solver.press(mesh.profile + 0.5 * shift, stuck=False)
    elastic = float(2.0 * np.pi * linear.pressure @ pairs.weight)
    equivalent = {name: float(state.history.equivalent[body.elements].max())
                  for name, body in mesh.assembly.model.mesh.bodies.items()}
    left = press.taken_out(state).displacement[:, R] if max(equivalent.values()) > 0.0 else (
        np.zeros(mesh.assembly.model.size // 3))
    buys = 1.0
    if before and elastic > before[-1].elastic_normal:
        buys = (normal - before[-1].normal) / (elastic - before[-1].elastic_normal)
    closure = -2.0 * float(state.displacement[mesh.face("sleeve.bore"), R].min())
    return Yielded(
        interference, normal, elastic, equivalent, interference * normal / elastic if elastic else 0.0,
        2.0 * float(left[mesh.face("shell.outside")].max()), 2.0 * float(left[pairs.shell].mean()),
        -2.0 * float(left[pairs.sleeve].mean()), closure, float(buys))
