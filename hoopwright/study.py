"""All solutions of one case: its press fits, and the service loads superposed on them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from hoopwright.case.model import Case
from hoopwright.fem import Resolution
from hoopwright.fit import MAX_NODES, Bracket, Discretisation, FitKey, FitStudy
from hoopwright.service.study import ServiceSolutions, ServiceStudy, bore_shapes


class CaseStudy(FitStudy):
    """Press fits of a case and, if it has service loads or an out-of-round bore, the service solutions.

    max_nodes, meshes, solved: as in FitStudy. service_solutions: on these meshes, if known already.
    """

    def __init__(
        self,
        case: Case,
        resolution: Resolution,
        *,
        max_nodes: int = MAX_NODES,
        meshes: tuple[Discretisation, ...] = (),
        solved: Mapping[FitKey, Bracket] | None = None,
        service_solutions: ServiceSolutions | None = None,
    ) -> None:
        super().__init__(case, resolution, max_nodes=max_nodes, meshes=meshes, solved=solved)
        self._service_solutions = service_solutions

    @cached_property
    def service(self) -> ServiceStudy | None:
        """Solutions for service loads and an out-of-round bore; None where the case has neither."""
        if self.case.service is None and not any(bore_shapes(self.case)):
            return None
        return ServiceStudy(self, solutions=self._service_solutions)

    def finest_only(self) -> CaseStudy:
        service = self.service
        return CaseStudy(
            self.case,
            self.resolution,
            meshes=self.meshes[:1],
            solved=self._solved_on_finest(),
            service_solutions=None if service is None else service.solutions_on_finest(),
        )
