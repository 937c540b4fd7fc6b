"""Service loads of a case on every mesh, with the joint stuck and with it sliding.

The two bracket friction, like the two solves of the fit: what is judged takes the worse of "sliding
service on a frictionless fit" and "stuck service on a stuck fit". Linear superposition holds while
the joint stays closed, which the check of opening watches.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from functools import cached_property
from math import radians
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from fem import Assembly, Resolution, draw
from fem.harmonic import ServiceSolver
from fem.round import Response
from hoopwright.case.load_cases import Loads, loads_of
from hoopwright.case.service_model import OutOfRound
from hoopwright.estimate import SERVICE, Estimate, Kind, from_meshes
from hoopwright.service.cyclic import CyclicField
from hoopwright.service.fields import SeatField, WallField, seat_field, wall_field
from hoopwright.service.grip import carried, unloaded, without_low
from loads.cases import Cycle, LoadCase
from loads.traction import FourierTraction

if TYPE_CHECKING:
    from hoopwright.case.model import Case
    from hoopwright.fit import Bracket, Discretisation, FitState, FitStudy

T = TypeVar("T")

ANGLES = 72
"""Of the grid round the shell."""

PER_ROW, FEWEST = 3.0, 4
"""Harmonics per element through the wall, and the least: finer meshes carry more of them, so that the
second discretisation is coarser in the angle too and the numerical error covers what was left out."""

GRIPS = ("sliding", "stuck")

ROWS = 0.5
"""Rows of elements through the wall, as a share of those of the fit. Along z fit and service have the same
lines, so that they add up line by line; through the wall service stress is nearly straight."""


@dataclass(frozen=True)
class ServiceState:
    """One mesh, one grip: amplitudes and fields. standing: of the out-of-round bore, or None.

    closed: (pairs,) bool, where the fit touches. stretch: see SeatField.
    """

    assembly: Assembly
    grip: str
    response: Response
    standing: Response | None
    theta: np.ndarray
    closed: np.ndarray
    stretch: float

    @cached_property
    def walls(self) -> dict[str, WallField]:
        return {body: wall_field(self.response, self.standing, body, self.theta)
                for body in ("sleeve", "shell")}

    @cached_property
    def _cyclic(self) -> dict[tuple[str, tuple[int, ...]], CyclicField]:
        return {}

    def cyclic(self, body: str, taking_part: tuple[int, ...]) -> CyclicField:
        """The wall of a body over a cycle of cases; made once."""
        key = body, taking_part
        if key not in self._cyclic:
            self._cyclic[key] = CyclicField(self.walls[body], taking_part)
        return self._cyclic[key]

    @cached_property
    def seat(self) -> SeatField:
        return seat_field(self.assembly, self.closed, self.response, self.standing, self.theta,
                          stretch=self.stretch)


class ServiceStudy:
    """What the loads do, whatever the interference: solved once per case and mesh.

    theta: angles of the grid, rad; evenly spaced ones unless given.
    """

    def __init__(self, study: FitStudy, theta: np.ndarray | None = None) -> None:
        self.study = study
        self.theta = np.linspace(0.0, 2.0 * np.pi, ANGLES, endpoint=False) if theta is None else theta
        self.loads = self._loads(study.resolution.elements_through_wall)

    def _loads(self, rows: float) -> Loads:
        case = self.study.case
        return loads_of(case.service, case.shell, case.sleeve,
                        harmonics=max(FEWEST, round(PER_ROW * rows)))

    @property
    def cases(self) -> tuple[LoadCase, ...]:
        return self.loads.cases

    @property
    def cycle(self) -> Cycle | None:
        return self.loads.cycle

    @cached_property
    def cycled(self) -> tuple[int, ...]:
        """Indices of the cases the load cycle goes through, the unloaded state among them."""
        taking_part = {case.name for case in self.cycle.cases} if self.cycle else set()
        return (*(k for k, case in enumerate(self.cases) if case.name in taking_part), len(self.cases))

    @property
    def names(self) -> tuple[str, ...]:
        """Of the load cases along the first axis of the fields; the last is the unloaded shell."""
        return (*(case.name for case in self.cases), "no load")

    @cached_property
    def _found(self) -> dict[Hashable, Any]:
        return {}

    def once(self, key: Hashable, find: Callable[[], T]) -> T:
        """What `find` gives, worked out once per key; several checks ask the same of one fit."""
        if key not in self._found:
            self._found[key] = find()
        return self._found[key]

    @cached_property
    def states(self) -> dict[str, tuple[ServiceState, ...]]:
        """On every mesh of the fit, finest first, by grip: "sliding" and "stuck"."""
        fine = self.study.resolution
        resolutions = (fine, fine.coarser(), fine.coarser().coarser())
        meshes = zip(self.study.meshes, self.study.nominal.free, resolutions, strict=True)
        found: dict[str, list[ServiceState]] = {grip: [] for grip in GRIPS}
        for mesh, fit, resolution in meshes:
            loads, stuck, sliding = self._solvers(mesh, fit, resolution)
            (held, held_still), (slid, slid_still) = (
                _answer(solver, loads, self.study.case) for solver in (stuck, sliding))
            for grip, response, still in (("sliding", carried(slid, held), slid_still),
                                          ("stuck", held, held_still)):
                found[grip].append(ServiceState(stuck.assembly, grip, response, still, self.theta,
                                                stuck.closed, self.stretch))
        return {grip: tuple(states) for grip, states in found.items()}

    @cached_property
    def stretch(self) -> float:
        """mm along the seat over which contact traction is averaged: the thinner of both walls."""
        return min(s.wall for s in (*self.study.joint.shell, *self.study.joint.sleeve))

    def _solvers(
        self, mesh: Discretisation, fit: FitState, resolution: Resolution
    ) -> tuple[Loads, ServiceSolver, ServiceSolver]:
        """The loads that one mesh carries, and what answers them there: a stuck and a sliding joint."""
        loads, closed = self._loads(resolution.elements_through_wall), fit.press.closed
        assembly = self._drawn(mesh, resolution)
        stuck, sliding = (_solver(assembly, closed, loads, sliding=slides) for slides in (False, True))
        for alike in ("recovery", "_loads"):  # these depend on the mesh alone
            vars(sliding)[alike] = getattr(stuck, alike)
        return loads, stuck, sliding

    def _drawn(self, mesh: Discretisation, resolution: Resolution) -> Assembly:
        rows = max(1, int(ROWS * resolution.elements_through_wall))
        even = replace(resolution, elements_through_wall=rows, at_joint=1.0 / rows, row_growth=0.0)
        return draw(self.study.joint, mesh.assembly.model.materials, even, load_edges=self.loads.edges)

    def alone(self, study: FitStudy) -> ServiceStudy:
        """The same for a study of the finest mesh alone, what is solved already kept."""
        other = copy.copy(self)
        other.study = study
        vars(other)["states"] = {grip: states[:1] for grip, states in self.states.items()}
        vars(other).pop("_found", None)
        return other

    def pairs(self, bracket: Bracket) -> dict[str, tuple[tuple[FitState, ServiceState], ...]]:
        """Fit and service that go together, on every mesh, finest first, by grip."""
        return {"sliding": tuple(zip(bracket.free, self.states["sliding"], strict=True)),
                "stuck": tuple(zip(bracket.stuck, self.states["stuck"], strict=True))}

    def worst(
        self, brackets: tuple[Bracket, ...], read: Callable[[FitState, ServiceState], Spot],
        *, grips: tuple[str, ...] = GRIPS, kind: Kind = SERVICE,
    ) -> tuple[Estimate, Spot]:
        """The greatest value over fits and grips, with its numerical error and its place."""
        found: list[tuple[Estimate, Spot]] = []
        for bracket in brackets:
            pairs = self.pairs(bracket)
            for meshes in (pairs[grip] for grip in grips):
                spots = [read(fit, service) for fit, service in meshes]
                found.append((from_meshes(*(spot.value for spot in spots), kind=kind), spots[0]))
        return max(found, key=lambda pair: pair[0].value)


@dataclass(frozen=True)
class Spot:
    """A governing value and its place: body, surface, r and z in mm, theta in degrees; case: index of
    the load case, -1 where all of them take part. grip: of the state it was found in."""

    value: float
    body: str
    surface: str
    r: float
    z: float
    theta: float
    case: int
    grip: str


def spot_of(field: np.ndarray, body: str, service: ServiceState) -> Spot:
    """The largest entry of a field (cases, 2, lines, angles) of one body."""
    case, surface, line, angle = np.unravel_index(int(np.argmax(field)), field.shape)
    wall = service.walls[body]
    return Spot(float(field[case, surface, line, angle]), body, ("bore", "outside")[surface],
                float(wall.r[surface, line]), float(wall.z[line]),
                round(float(np.degrees(wall.theta[angle])), 6), int(case), service.grip)


def fit_surfaces(fit: FitState, body: str) -> np.ndarray:
    """Membrane + bending of the fit at bore and outside, (2, lines, 6), MPa."""
    wall = fit.walls[body]
    return np.stack([wall.inner, wall.outer])


def _solver(assembly: Assembly, closed: np.ndarray, loads: Loads, *, sliding: bool) -> ServiceSolver:
    band = loads.cases[0].clamped if loads.cases else None
    return ServiceSolver(assembly, closed, sliding=sliding,
                         clamped=(band.z_start, band.z_end) if band else None)


def _answer(solver: ServiceSolver, loads: Loads, case: Case) -> tuple[Response, Response | None]:
    """To the loads, and to a bore that is out of round."""
    def carried_by(t: FourierTraction) -> FourierTraction:
        return without_low(t) if solver.sliding else t

    tractions = [tuple(carried_by(t) for t in one.everything) for one in loads.cases]
    response = solver.respond(tractions) if tractions else unloaded(solver)
    lobes = lobes_of(case, solver.assembly)
    return response, solver.out_of_round(lobes) if lobes else None


def bore_shapes(case: Case) -> tuple[OutOfRound | None, ...]:
    """Of each land of the shell's bore: [shell.out_of_round] where given, else the ovality that readings
    show beyond the uncertainty of the size itself; None for round."""
    lands = len(case.shell.bore)
    if case.out_of_round is not None:
        return (case.out_of_round,) * lands
    shapes: list[OutOfRound | None] = [None] * lands
    for land in case.shell_measured:
        oval = land.ovality or 0.0
        if land.surface == "bore" and oval > 2.0 * land.plus_minus:
            shapes[land.index] = OutOfRound(oval, land.ovality_angle or 0.0)
    return tuple(shapes)


def lobes_of(case: Case, assembly: Assembly) -> dict[int, tuple[np.ndarray, np.ndarray]]:
    """Radial interference of an out-of-round bore at the pairs, by harmonic: cosine and sine part, mm.

    Ovality e: D(φ) = D + e/2 cos 2(φ - angle), so the radius swings by e/4 and the interference by
    -e/4. Three lobes of peak to valley v: the interference swings by -v/2.
    """
    pairs, seats = assembly.interface, assembly.joint.seats
    shapes = bore_shapes(case)
    found: dict[int, tuple[np.ndarray, np.ndarray]] = {}
    for share, seat in zip(pairs.seat_share, seats, strict=True):
        shape = shapes[seat.bore_land] or OutOfRound()
        for n, swing, angle in ((2, -0.25 * shape.ovality, shape.angle),
                                (3, -0.5 * shape.three_lobe, shape.three_lobe_angle)):
            if swing:
                turn = n * radians(angle)
                cosine, sine = found.setdefault(n, (np.zeros(len(pairs.z)), np.zeros(len(pairs.z))))
                cosine += share * swing * np.cos(turn)
                sine += share * swing * np.sin(turn)
    return found
