"""Service solutions of a case on every mesh, with the joint stuck and with the joint sliding.

Each is added to the fit in every state of friction, and a check takes the worst. Superposition is valid
while the joint stays closed, which the check of opening judges.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.case.load_cases import ServiceLoads, service_loads
from hoopwright.clamp_edges import ClampEdges, clamp_edges
from hoopwright.estimate import SERVICE, Estimate, QuantityKind, from_meshes
from hoopwright.fem import MeshedJoint, Resolution, mesh_joint
from hoopwright.fem.fourier_sum import HarmonicResponse
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.form import seat_form
from hoopwright.geometry.joint import Joint
from hoopwright.loads.cases import Cycle, LoadCase
from hoopwright.loads.traction import FourierTraction
from hoopwright.service.cyclic import CyclicField
from hoopwright.service.fields import SeatField, WallField, seat_field, wall_field
from hoopwright.service.instants import Instant, Instants
from hoopwright.service.joint_condition import (
    response_without_loads,
    with_stuck_harmonics,
    without_stuck_harmonics,
)
from hoopwright.service.peaks import between_angles

if TYPE_CHECKING:
    from hoopwright.case.model import Case
    from hoopwright.discretisation import Discretisation
    from hoopwright.fit import Fit, Fits, FitSolution

JOINT_CONDITIONS = ("sliding", "stuck")

ROUNDING = 1e-9
"""Relative difference of two stresses that is rounding."""

ROW_SHARE = 0.5
"""Elements through the wall, as a share of those of the fit. Along z, fit and service have the same lines
and are added line by line; through the wall, service stress is nearly linear."""


@dataclass(frozen=True)
class ServiceSolution:
    """Service solution on one mesh for one joint condition, "sliding" or "stuck".

    instants: of the load cases; solved: Fourier amplitudes of their parts; static: those of an out-of-round
    bore, or None. closed: pairs at which the fit touches, (pairs,) bool. averaging_length: see SeatField.
    edges: of a clamp, beside which nothing under loads is judged.
    """

    meshed_joint: MeshedJoint
    joint_condition: str
    instants: Instants
    solved: HarmonicResponse
    static: HarmonicResponse | None
    theta: np.ndarray
    closed: np.ndarray
    averaging_length: float
    edges: ClampEdges

    @cached_property
    def response(self) -> HarmonicResponse:
        """Fourier amplitudes of the load cases, one that goes round at the angle at which it is shown."""
        return self.instants.as_shown(self.solved)

    @cached_property
    def walls(self) -> dict[str, WallField]:
        return {
            body: wall_field(self.instants, self.solved, self.static, body, self.theta)
            for body in ("sleeve", "shell")
        }

    @cached_property
    def _cyclic(self) -> dict[tuple[str, ...], CyclicField]:
        return {}

    def cyclic(self, body: str, cycles: tuple[Cycle, ...]) -> CyclicField:
        """Stress of the wall of a body over load cycles run one after another, the moment without load
        included; built once."""
        key = body, *(cycle.name for cycle in cycles)
        if key not in self._cyclic:
            names = {case.name for cycle in cycles for case in cycle.cases}
            blocks = (
                block
                for case, block in zip(self.instants.cases, self.instants.blocks, strict=True)
                if case.name in names
            )
            self._cyclic[key] = CyclicField(self.walls[body], (*blocks, self.instants.no_load))
        return self._cyclic[key]

    @cached_property
    def seat(self) -> SeatField:
        return seat_field(
            self.meshed_joint,
            self.closed,
            self.instants,
            self.solved,
            self.static,
            self.theta,
            averaging_length=self.averaging_length,
        )


ServiceSolutions = dict[str, tuple[ServiceSolution, ...]]
"""On every mesh, finest first, by joint condition: "sliding" and "stuck"."""


class ServiceStudy:
    """Service solutions of a case; they do not depend on the interference and are solved once per mesh.

    nominal: fit whose contact set the joint keeps in service; its meshes are those of the resolution and
    coarser ones. theta: angles of the grid, rad; by default evenly spaced ones, as many as the resolution
    of every mesh asks for. solutions: on these meshes, if they are known already. of_blank: the same of the
    joint before the sleeve is finished, where that comes after pressing; it carries no load.
    """

    def __init__(
        self,
        case: Case,
        joint: Joint,
        resolution: Resolution,
        nominal: Fit,
        theta: np.ndarray | None = None,
        *,
        solutions: ServiceSolutions | None = None,
        of_blank: ServiceStudy | None = None,
    ) -> None:
        self.of_blank = of_blank
        self.case, self.joint, self.resolution, self.nominal = case, joint, resolution, nominal
        self._known_solutions = solutions
        self._given_theta = theta
        self.loads = self._loads(resolution)

    def _loads(self, resolution: Resolution) -> ServiceLoads:
        case = self.case
        return service_loads(case.service, case.shell, case.sleeve, harmonics=resolution.harmonics)

    @property
    def theta(self) -> np.ndarray:
        """Angles of the grid of the finest mesh, rad."""
        return self._theta(self.resolution)

    def _theta(self, resolution: Resolution) -> np.ndarray:
        if self._given_theta is not None:
            return self._given_theta
        return np.linspace(0.0, 2.0 * np.pi, resolution.angles, endpoint=False)

    @property
    def cases(self) -> tuple[LoadCase, ...]:
        return self.loads.cases

    @property
    def cycles(self) -> tuple[Cycle, ...]:
        """The loads that repeat."""
        return self.loads.cycles

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the instants along the first axis of the fields of the finest mesh; the last is the
        unloaded shell."""
        return tuple(one.name for one in _instants(self.loads, self.resolution).all)

    @cached_property
    def solutions(self) -> ServiceSolutions:
        """Service solutions on every mesh of the fit, finest first, by joint condition."""
        return self._solve() if self._known_solutions is None else self._known_solutions

    def solutions_on_coarsest(self) -> ServiceSolutions:
        """The solutions on the coarsest mesh alone."""
        return {condition: found[-1:] for condition, found in self.solutions.items()}

    def on_coarsest(self) -> ServiceStudy:
        """This study on the coarsest mesh alone."""
        found = self.solutions_on_coarsest()
        return ServiceStudy(self.case, self.joint, self.resolution, self.nominal, solutions=found)

    def _solve(self) -> ServiceSolutions:
        fine = self.resolution
        resolutions = (fine, fine.coarser(), fine.coarser().coarser())
        meshes = zip(self.nominal.meshes, self.nominal.solutions, resolutions, strict=True)
        found: dict[str, list[ServiceSolution]] = {
            joint_condition: [] for joint_condition in JOINT_CONDITIONS
        }
        for mesh, fit, resolution in meshes:
            loads, stuck, sliding = self._solvers(mesh, fit, resolution)
            (stuck_response, stuck_static), (sliding_response, sliding_static) = (
                _responses(solver, loads, self.case) for solver in (stuck, sliding)
            )
            for joint_condition, response, static in (
                ("sliding", with_stuck_harmonics(sliding_response, stuck_response), sliding_static),
                ("stuck", stuck_response, stuck_static),
            ):
                found[joint_condition].append(
                    ServiceSolution(
                        stuck.meshed_joint,
                        joint_condition,
                        _instants(loads, resolution),
                        response,
                        static,
                        self._theta(resolution),
                        stuck.closed,
                        self.joint.thinnest_wall,
                        clamp_edges(self.case, self.joint),
                    )
                )
        return {joint_condition: tuple(solutions) for joint_condition, solutions in found.items()}

    def _solvers(
        self, mesh: Discretisation, fit: FitSolution, resolution: Resolution
    ) -> tuple[ServiceLoads, ServiceSolver, ServiceSolver]:
        """Loads on one mesh, and the solvers for a stuck and for a sliding joint."""
        loads, closed = self._loads(resolution), fit.press.closed
        meshed_joint = self._meshed(mesh, resolution)
        stuck, sliding = (_solver(meshed_joint, closed, loads, sliding=slides) for slides in (False, True))
        return loads, stuck, sliding

    def _meshed(self, mesh: Discretisation, resolution: Resolution) -> MeshedJoint:
        rows = max(1, int(ROW_SHARE * resolution.elements_through_wall))
        even = replace(resolution, elements_through_wall=rows, at_joint=1.0 / rows, row_growth=0.0)
        return mesh_joint(self.joint, mesh.meshed_joint.model.materials, even, load_edges=mesh.load_edges)

    def superposed(
        self, fits: Fits, *, joint_conditions: tuple[str, ...] = JOINT_CONDITIONS
    ) -> tuple[Superposed, ...]:
        """Every fit with every joint condition in service."""
        return tuple(
            Superposed(fit, self._in_shape_of(fit).solutions[name])
            for fit in fits.fits
            for name in joint_conditions
        )

    def _in_shape_of(self, fit: Fit) -> ServiceStudy:
        """The study of the joint as it is in a fit: before or after the sleeve is finished."""
        return self.of_blank if fit.state.blank and self.of_blank is not None else self

    def worst(
        self,
        row: str,
        fits: Fits,
        read: Callable[[FitSolution, ServiceSolution], Spot],
        *,
        joint_conditions: tuple[str, ...] = JOINT_CONDITIONS,
    ) -> Superposed:
        """The fit and joint condition with the greatest value, found on the coarsest mesh. row: name of
        what is judged."""
        candidates: list[tuple[Hashable, Superposed]] = [
            ((found.fit.state.history, found.joint_condition), found)
            for found in self.superposed(fits, joint_conditions=joint_conditions)
        ]
        return fits.governing.pick(row, candidates, lambda found: read(*found.coarsest).value)


@dataclass(frozen=True)
class Superposed:
    """A fit and the service loads on it, for one joint condition. service: on every mesh, finest first."""

    fit: Fit
    service: tuple[ServiceSolution, ...]

    @property
    def meshes(self) -> tuple[tuple[FitSolution, ServiceSolution], ...]:
        """Solutions of fit and service on every mesh, finest first."""
        return tuple(zip(self.fit.solutions, self.service, strict=True))

    @property
    def joint_condition(self) -> str:
        """ "sliding" or "stuck"."""
        return self.service[0].joint_condition

    @property
    def finest(self) -> tuple[FitSolution, ServiceSolution]:
        return self.fit.finest, self.service[0]

    @property
    def coarsest(self) -> tuple[FitSolution, ServiceSolution]:
        return self.fit.coarsest, self.service[-1]

    def estimate(
        self, read: Callable[[FitSolution, ServiceSolution], Spot], kind: QuantityKind = SERVICE
    ) -> tuple[Estimate, Spot]:
        """A value with its numerical error, and its location on the finest mesh."""
        spots = [read(fit, service) for fit, service in self.meshes]
        return from_meshes(*(spot.value for spot in spots), kind=kind), spots[0]


@dataclass(frozen=True)
class Spot:
    """A governing value and its location: body, surface, r and z in mm, theta in degrees.

    case: index of the instant on its mesh, 0 where the field covers a whole cycle; instant: that of the
    index. joint_condition: "sliding" or "stuck".
    """

    value: float
    body: str
    surface: str
    r: float
    z: float
    theta: float
    case: int
    joint_condition: str
    instant: Instant


def spot_of(field: np.ndarray, body: str, service: ServiceSolution, *, first_case: int = 0) -> Spot:
    """The maximum of a field (instants, 2, lines, angles) of one body, with its location and instant; under
    loads not beside the edges of a clamp. first_case: index of the first instant of the field."""
    wall = service.walls[body]
    if service.edges.bands:
        loaded = np.arange(first_case, first_case + len(field)) < len(wall.stress) - 1
        unjudged = loaded[:, None] & service.edges.beside(wall.z)
        field = np.where(unjudged[:, None, :, None], -np.inf, field)
    top = int(np.argmax(field))
    # of places and instants that are alike by symmetry the first, not the one that rounding lifts
    alike = field.ravel() >= field.flat[top] - ROUNDING * abs(field.flat[top])
    first = int(np.argmax(alike)) if alike[top] else top
    case, surface, line, angle = np.unravel_index(first, field.shape)
    value, theta = between_angles(field[case, surface, line], wall.theta, int(angle))
    return Spot(
        value,
        body,
        ("bore", "outside")[surface],
        float(wall.r[surface, line]),
        float(wall.z[line]),
        round(theta, 6),
        first_case + int(case),
        service.joint_condition,
        service.instants.all[first_case + int(case)],
    )


def fit_surfaces(fit: FitSolution, body: str) -> np.ndarray:
    """Stress of the fit at bore and outside as it is judged, (2, lines, 6), MPa."""
    wall = fit.walls[body]
    return np.stack([wall.inner, wall.outer])


def _instants(loads: ServiceLoads, resolution: Resolution) -> Instants:
    """The instants on a mesh: a load that goes round takes half as many angles as the grid, which its
    harmonics need not even."""
    return Instants(loads.cases, resolution.angles // 2)


def _solver(
    meshed_joint: MeshedJoint, closed: np.ndarray, loads: ServiceLoads, *, sliding: bool
) -> ServiceSolver:
    band = loads.cases[0].clamped if loads.cases else None
    return ServiceSolver(
        meshed_joint, closed, sliding=sliding, clamped=(band.z_start, band.z_end) if band else None
    )


def _responses(
    solver: ServiceSolver, loads: ServiceLoads, case: Case
) -> tuple[HarmonicResponse, HarmonicResponse | None]:
    """Response to the parts of the loads, and to an out-of-round bore or None."""

    def loads_carried(t: FourierTraction) -> FourierTraction:
        return without_stuck_harmonics(t) if solver.sliding else t

    parts = (part for load_case in loads.cases for part in load_case.parts)
    tractions = [tuple(loads_carried(t) for t in part) for part in parts]
    response = solver.solve(tractions) if tractions else response_without_loads(solver)
    lobes = lobes_of(case, solver.meshed_joint)
    # pressed together before anything clamps it
    return response, replace(solver, clamped=None).out_of_round(lobes) if lobes else None


def lobes_of(case: Case, meshed_joint: MeshedJoint) -> dict[int, tuple[np.ndarray, np.ndarray]]:
    """Radial interference of an out-of-round joint at the pairs, by harmonic: cosine and sine amplitude,
    mm."""
    pairs, seats = meshed_joint.interface, meshed_joint.joint.seats
    found: dict[int, tuple[np.ndarray, np.ndarray]] = {}
    for share, seat in zip(pairs.seat_share, seats, strict=True):
        for n, amplitude in seat_form(case, seat.bore_land, seat.sleeve_land).items():
            cosine, sine = found.setdefault(n, (np.zeros(len(pairs.z)), np.zeros(len(pairs.z))))
            cosine += share * amplitude.real
            sine += share * amplitude.imag
    return found
