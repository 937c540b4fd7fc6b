"""All solutions of one case: its press fits, and the service loads superposed on them."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from hoopwright.case.model import Case
from hoopwright.discretisation import MAX_NODES, Discretisation
from hoopwright.fem import Resolution
from hoopwright.fit import FitStudy, Governing, Solved
from hoopwright.form import is_out_of_round
from hoopwright.service.study import ServiceSolutions, ServiceStudy
from hoopwright.state import frictionless
from hoopwright.way_in import WayIn

MAX_WAY_IN_NODES = 9_000
"""Nodes of the assembled joint above which positions on the way in are not solved on the finest mesh."""


class CaseStudy(FitStudy):
    """Press fits of a case and, if it has service loads or an out-of-round bore, the service solutions.

    max_nodes, meshes, blank_meshes, governing, solved: as in FitStudy. service_solutions, form_of_blank,
    way_in: on these meshes, if known already.
    """

    def __init__(
        self,
        case: Case,
        resolution: Resolution,
        *,
        max_nodes: int = MAX_NODES,
        meshes: tuple[Discretisation, ...] = (),
        blank_meshes: tuple[Discretisation, ...] = (),
        governing: Governing | None = None,
        solved: Solved | None = None,
        service_solutions: ServiceSolutions | None = None,
        form_of_blank: ServiceStudy | None = None,
        way_in: WayIn | None = None,
    ) -> None:
        super().__init__(
            case,
            resolution,
            max_nodes=max_nodes,
            meshes=meshes,
            blank_meshes=blank_meshes,
            governing=governing,
            solved=solved,
        )
        self._known_way_in = way_in
        self._service_solutions, self._known_form_of_blank = service_solutions, form_of_blank

    @cached_property
    def service(self) -> ServiceStudy | None:
        """Solutions for service loads and an out-of-round bore; None where the case has neither."""
        if self.case.service is None and not is_out_of_round(self.case):
            return None
        on_bench = self.at(frictionless(0.0, self.case.press.temperature_rise_K))
        return ServiceStudy(
            self.case,
            self.joint,
            self.resolution,
            on_bench,
            solutions=self._service_solutions,
            of_blank=self.form_of_blank,
        )

    @cached_property
    def form_of_blank(self) -> ServiceStudy | None:
        """What an out-of-round bore does to the joint before its sleeve is finished; None where either is
        not in the case."""
        if not (self.case.sleeve.finished_later and is_out_of_round(self.case)):
            return None
        if self._known_form_of_blank is not None:
            return self._known_form_of_blank
        on_bench = self.at(frictionless(0.0, self.case.press.temperature_rise_K, blank=True))
        unloaded = replace(self.case, service=None)
        return ServiceStudy(unloaded, self.blank_joint, self.resolution, on_bench)

    @cached_property
    def way_in(self) -> WayIn:
        """The fits on the way in."""
        if self._known_way_in:
            return self._known_way_in
        coarser = self.resolution.coarser()
        resolutions = self.resolution, coarser, coarser.coarser()
        # a partly engaged sleeve has ends of contact of its own, and so more pairs than the assembled one
        large = self.fine.nodes > MAX_WAY_IN_NODES
        return WayIn(self.case, resolutions[1:] if large else resolutions)

    def search_afresh(self) -> None:
        """Search all states of every row at the next interference, not only those nearest to govern at the
        first.

        Positions on the way in are still those of local maxima: where they lie hardly depends on the
        interference.
        """
        self.governing.forget()
        self.forget()

    def coarsest_only(self) -> CaseStudy:
        """This study on its coarsest mesh alone, without numerical errors, and with the state of each row
        that governs here: it saves time where many fits are solved and only their course is needed."""
        service = self.service
        return CaseStudy(
            self.case,
            self.resolution.coarser().coarser(),
            meshes=self.meshes[-1:],
            blank_meshes=self.blank_meshes[-1:],
            governing=Governing(self.governing.found),
            solved=self._solved,
            way_in=self.way_in.coarsest_only(),
            service_solutions=None if service is None else service.solutions_on_coarsest(),
            form_of_blank=None if self.form_of_blank is None else self.form_of_blank.on_coarsest(),
        )
