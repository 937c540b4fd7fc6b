"""Yield of shell and sleeve while and after pressing: von Mises, membrane + bending, greatest interference.

On the way in, the end of a partly engaged sleeve bends both walls, and friction squeezes both along the
axis.
"""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.fit import FitSolution
from hoopwright.materials import Material


def shell_yields(evidence: Evidence) -> Margin:
    return _yields(evidence, "shell", evidence.case.shell_material)


def sleeve_yields(evidence: Evidence) -> Margin:
    return _yields(evidence, "sleeve", evidence.case.sleeve_material)


@dataclass(frozen=True)
class PressedStress:
    """The greatest von Mises stress of a body until it is pressed, MPa, where it is, and when, in words."""

    demand: Estimate
    where: Location
    when: str


def greatest_pressed_stress(evidence: Evidence, body: str) -> PressedStress:
    """The greatest stress over the way in and at rest, at greatest interference."""

    def read(solution: FitSolution) -> float:
        return solution.equivalent_peak(body).value

    demand, solution = evidence.tightest.greatest(f"{body} at rest", read)
    when = f"at rest, {solution.state.description}"
    entering = evidence.study.way_in.greatest_stress(body, evidence.greatest)
    if entering is not None and entering.value.value > demand.value:
        when = f"{Units().both(entering.travel, 'mm')} in, {entering.state.description}"
        return PressedStress(entering.value, Location.of(entering.peak), when)
    return PressedStress(demand, Location.of(solution.equivalent_peak(body)), when)


def _yields(evidence: Evidence, body: str, material: Material) -> Margin:
    worst = greatest_pressed_stress(evidence, body)
    source = material.source_of("yield_strength")
    limit = f"yield of {material.name} ({material.condition})"
    return Margin(
        id=f"{body}_yields_pressed",
        title=f"{body} yields, pressed",
        demand=worst.demand,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=evidence.case.factors.yielding,
        where=worst.where,
        basis="von Mises, membrane + bending, greatest interference, worst of the whole way in and of "
        f"rest with and without friction: {worst.when}; {limit}"
        + (f": {source.basis}, {source.source}" if source else ""),
    )
