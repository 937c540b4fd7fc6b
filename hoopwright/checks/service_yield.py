"""Yield of shell and sleeve in service: von Mises, membrane + bending, of fit + worst load case."""

from __future__ import annotations

from collections.abc import Callable

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.service_rows import (
    doubtful_if_joint_opens,
    extreme_fits,
    joint_conditions,
    joint_conditions_text,
    load_case_text,
    row_without_service,
    state_text,
    where_of,
)
from hoopwright.estimate import Estimate
from hoopwright.fit import FitSolution
from hoopwright.materials import Material
from hoopwright.service.study import ServiceSolution, Spot, Superposed, fit_surfaces, spot_of
from hoopwright.state import State


def shell_yields_in_service(evidence: Evidence) -> Margin:
    return _yields(evidence, "shell", evidence.case.shell_material)


def sleeve_yields_in_service(evidence: Evidence) -> Margin:
    return _yields(evidence, "sleeve", evidence.case.sleeve_material)


def worst_stressed(evidence: Evidence, body: str) -> Superposed:
    """The fit and joint condition with the greatest stress of a body in service. The study must have
    service loads or an out-of-round bore."""
    service = evidence.study.service
    assert service is not None
    return service.cached(
        ("most stressed", body, evidence.least, evidence.greatest),
        lambda: service.worst(
            f"{body} in service",
            extreme_fits(evidence),
            _reader(body),
            joint_conditions=joint_conditions(evidence),
        ),
    )


def _reader(body: str) -> Callable[[FitSolution, ServiceSolution], Spot]:
    """A function that finds the greatest von Mises stress of a body over (z, θ)."""

    def read(fit: FitSolution, solution: ServiceSolution) -> Spot:
        return spot_of(solution.walls[body].von_mises(fit_surfaces(fit, body)), body, solution)

    return read


def greatest_stress(evidence: Evidence, body: str) -> tuple[Estimate, Spot, State]:
    """Greatest von Mises stress of a body in service, MPa, its location, and the state of the fit."""
    found = worst_stressed(evidence, body)
    return *found.estimate(_reader(body)), found.fit.state


def _yields(evidence: Evidence, body: str, material: Material) -> Margin:
    id_, title = f"{body}_yields_in_service", f"{body} yields, service"
    if evidence.study.service is None:
        return row_without_service(evidence, id_, title, "MPa", body, shown=body == "shell")
    demand, spot, state = greatest_stress(evidence, body)
    source = material.source_of("yield_strength")
    margin = Margin(
        id=id_,
        title=title,
        demand=demand,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=evidence.case.factors.yielding,
        where=where_of(evidence, spot),
        basis=f"von Mises, membrane + bending, fit + service, {spot.surface}, "
        f"{load_case_text(evidence, spot)}, worse end of the sizes {state_text(state)}, "
        f"{joint_conditions_text(evidence)}; "
        f"yield of {material.name} ({material.condition})"
        + (f": {source.basis}, {source.source}" if source else ""),
    )
    return doubtful_if_joint_opens(evidence, margin)
