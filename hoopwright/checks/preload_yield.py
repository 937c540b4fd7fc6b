"""Yield of shell and sleeve with the cups tightened: preload as a load of the fit, at all temperatures of
use.

The pull in the sleeve's threads and the flanges' hold stretch the sleeve and squeeze what the flanges bear
on, which changes the fit by Poisson's ratio; the wedge of the thread's flanks pushes outwards.
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.checks.service_rows import state_text
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.fit import FitSolution


def shell_yields_clamped(evidence: Evidence) -> Margin:
    """Yield of the shell with the greatest preload."""
    return _yields(evidence, "shell")


def sleeve_yields_clamped(evidence: Evidence) -> Margin:
    """Yield of the sleeve with the greatest preload."""
    return _yields(evidence, "sleeve")


def _yields(evidence: Evidence, body: str) -> Margin:
    case, id_, title = evidence.case, f"{body}_yields_clamped", f"{body} yields, clamped"
    factor, fits = case.factors.yielding, evidence.clamped(evidence.greatest)
    if not fits.fits:
        return Margin(
            id_, title, None, None, "MPa", factor, Location(body), "cups tightened", applies=False
        )

    def read(solution: FitSolution) -> float:
        return solution.equivalent_peak(body).value

    demand, solution = fits.greatest(f"{body} clamped", read)
    material = case.sleeve_material if body == "sleeve" else case.shell_material
    return Margin(
        id=id_,
        title=title,
        demand=demand,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=factor,
        where=Location.of(solution.equivalent_peak(body)),
        basis="von Mises, membrane + bending, greatest interference, with the pull, the flanges and "
        f"the wedge of the thread flanks of {Units().both(solution.state.tension, 'N')} of preload, "
        f"{state_text(solution.state)}; {PRELOAD_SOURCE}; yield of {material.name} "
        f"({material.condition})",
    )
