"""Yield of shell and sleeve after pressing: von Mises, membrane + bending, at greatest interference."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.estimate import Estimate
from hoopwright.materials import Material


def shell_yields(evidence: Evidence) -> Margin:
    return _yields(evidence, "shell", evidence.case.shell_material)


def sleeve_yields(evidence: Evidence) -> Margin:
    return _yields(evidence, "sleeve", evidence.case.sleeve_material)


def _yields(evidence: Evidence, body: str, material: Material) -> Margin:
    demand, solution = evidence.tightest.greatest(lambda s: s.equivalent_peak(body).value)
    source = material.source_of("yield_strength")
    limit = f"yield of {material.name} ({material.condition})"
    return Margin(
        id=f"{body}_yields_pressed",
        title=f"{body} yields, pressed",
        demand=demand,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=evidence.case.factors.yielding,
        where=Location.of(solution.equivalent_peak(body)),
        basis="von Mises, membrane + bending, greatest interference, worse of frictionless and stuck; "
        + limit
        + (f": {source.basis}, {source.source}" if source else ""),
    )
