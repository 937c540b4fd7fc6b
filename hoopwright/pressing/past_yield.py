"""Pressing past yield: the grip that further interference gains, and the permanent deformation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.discretisation import Discretisation
from hoopwright.fem import PlasticFit, PlasticPress
from hoopwright.fem.strain import R
from hoopwright.pressing.yielding import limits, on_bench, plastic_press
from hoopwright.study import CaseStudy

STEPS = 4
LOW_GAIN_SHARE = 0.5
"""Share of the elastic gain of grip below which further interference is said to gain little; the tool's own
choice."""


@dataclass(frozen=True)
class YieldedFit:
    """Elastic–plastic press fit at one interference. Lengths are diametral, mm.

    interference: averaged along the seats. normal, elastic_normal: ∫ p dA with yielding and without, N.
    equivalent: greatest equivalent plastic strain, by body. remaining: the interference that would give the
    same ∫ p dA elastically. outside_growth: greatest permanent growth of the shell's outside, sleeve taken
    out. bore_growth, sleeve_shrink: permanent growth of the shell's bore and shrinkage of the sleeve's
    outside, mean along the seats. bore_closure: greatest closure of the sleeve's bore while pressed in.
    gain_share: gain of ∫ p dA since the previous step, as a share of the elastic gain.
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
    gain_share: float


@dataclass(frozen=True)
class PastYield:
    """A series of rising interference that ends at the greatest. yields: yield strength by body, MPa."""

    steps: tuple[YieldedFit, ...]
    yields: dict[str, float]

    @property
    def last(self) -> YieldedFit:
        """The fit at the greatest interference."""
        return self.steps[-1]

    @property
    def plastic(self) -> bool:
        """Whether any metal yields at the greatest interference."""
        return max(self.last.equivalent.values()) > 0.0


def solve_past_yield(study: CaseStudy, *, greatest: float) -> PastYield:
    """Solve the elastic–plastic fit up to a shift `greatest` of the diametral interference, mm.

    The metals are perfectly plastic at the yield strength of the table; frictionless, on the coarse mesh.
    Raises fem.SolveError when the walls cannot carry that interference.
    """
    mesh, case = study.blank_meshes[1], study.case
    press = plastic_press(case, mesh)
    start = -0.5 * study.nominal_interference
    shifts = np.linspace(start, greatest, STEPS + 1)
    solutions = press.press([on_bench(case, mesh, float(shift)) for shift in shifts])
    rows: list[YieldedFit] = []
    for shift, solution in zip(shifts, solutions, strict=True):
        rows.append(_read(study, press, mesh, float(shift), solution, rows))
    return PastYield(tuple(rows[1:]), limits(case))


def _read(
    study: CaseStudy,
    press: PlasticPress,
    mesh: Discretisation,
    shift: float,
    state: PlasticFit,
    before: list[YieldedFit],
) -> YieldedFit:
    pairs = mesh.meshed_joint.interface
    interference = study.nominal_interference + shift
    normal = float(2.0 * np.pi * state.pressure @ pairs.weight)
    elastic_fit = mesh.solver.press(on_bench(study.case, mesh, shift), stuck=False)
    elastic_normal = float(2.0 * np.pi * elastic_fit.pressure @ pairs.weight)
    equivalent = {
        name: float(state.history.equivalent[body.elements].max())
        for name, body in mesh.meshed_joint.model.mesh.bodies.items()
    }
    permanent = (
        press.disassembled(state).displacement[:, R]
        if max(equivalent.values()) > 0.0
        else (np.zeros(mesh.meshed_joint.model.size // 3))
    )
    gain_share = 1.0
    if before and elastic_normal > before[-1].elastic_normal:
        gain_share = (normal - before[-1].normal) / (elastic_normal - before[-1].elastic_normal)
    closure = -2.0 * float(state.displacement[mesh.face("sleeve.bore"), R].min())
    return YieldedFit(
        interference,
        normal,
        elastic_normal,
        equivalent,
        interference * normal / elastic_normal if elastic_normal else 0.0,
        2.0 * float(permanent[mesh.face("shell.outside")].max()),
        2.0 * float(permanent[pairs.shell].mean()),
        -2.0 * float(permanent[pairs.sleeve].mean()),
        closure,
        float(gain_share),
    )
