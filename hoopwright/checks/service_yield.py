"""Shell or sleeve yields in service: fit + worst load case, von Mises, membrane + bending, over (z, θ)."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.service_rows import (
    both_ends,
    grips,
    grips_said,
    instant,
    resting_on_the_joint,
    unserved,
    where_of,
)
from hoopwright.estimate import Estimate
from hoopwright.fit import FitState
from hoopwright.materials import Material
from hoopwright.service.study import ServiceState, Spot, fit_surfaces, spot_of


def shell_yields_in_service(evidence: Evidence) -> Margin:
    return _yields(evidence, "shell", evidence.case.shell_material)


def sleeve_yields_in_service(evidence: Evidence) -> Margin:
    return _yields(evidence, "sleeve", evidence.case.sleeve_material)


def greatest_stress(evidence: Evidence, body: str) -> tuple[Estimate, Spot]:
    """von Mises stress of a body, fit + service, and where. Needs a service study."""
    service = evidence.study.service
    assert service is not None

    def read(fit: FitState, state: ServiceState) -> Spot:
        return spot_of(state.walls[body].von_mises(fit_surfaces(fit, body)), body, state)

    return service.once(("stress", body, evidence.least, evidence.greatest), lambda: service.worst(
        both_ends(evidence), read, grips=grips(evidence)))


def _yields(evidence: Evidence, body: str, material: Material) -> Margin:
    id_, title = f"{body}_yields_in_service", f"{body} yields, service"
    if evidence.study.service is None:
        return unserved(evidence, id_, title, "MPa", body, shown=body == "shell")
    demand, spot = greatest_stress(evidence, body)
    source = material.source_of("yield_strength")
    margin = Margin(
        id=id_, title=title, demand=demand, capacity=Estimate(material.yield_strength), unit="MPa",
        factor=evidence.case.factors.yielding, where=where_of(evidence, spot),
        basis=f"von Mises, membrane + bending, fit + service, {spot.surface}, {instant(evidence, spot)}, "
              f"worse end of the sizes, {grips_said(evidence)}; yield of {material.name} "
              f"({material.condition})" + (f": {source.basis}, {source.source}" if source else ""))
    return resting_on_the_joint(evidence, margin)
