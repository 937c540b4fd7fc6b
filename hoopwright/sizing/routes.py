"""Repair routes for one shell, each judged under the same loads, and ranked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt
from typing import Literal

from hoopwright.case.model import Case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.checks import CHECKS, evidence_of, judged, worst_first
from hoopwright.checks.damage_removed import on_lands
from hoopwright.checks.margin import Location, Margin, row_of
from hoopwright.checks.sleeve_loads import greatest_preload
from hoopwright.checks.thread_strips import shear_area
from hoopwright.discretisation import usual_resolution
from hoopwright.estimate import Estimate
from hoopwright.fem import MeshError, SolveError
from hoopwright.geometry import BoreZone, Shell, Sleeve, Thread
from hoopwright.geometry.land import Land, cylinder
from hoopwright.geometry.validation import joint_faults, shell_faults, sleeve_faults
from hoopwright.left_out import left_out
from hoopwright.materials import Material
from hoopwright.sizing.window import CheckCache, Window, best_margin, window_of
from hoopwright.study import CaseStudy

State = Literal["holds", "holds as far as judged", "undecided", "fails", "not judged", "cannot be made"]
ORDER: tuple[State, ...] = (
    "holds",
    "holds as far as judged",
    "undecided",
    "not judged",
    "fails",
    "cannot be made",
)
THREAD_LIMIT = (
    "no fit is pressed: only the wall and the thread are judged here, not the shell's stress in "
    "service nor the state of the metal that is left"
)


@dataclass(frozen=True)
class RouteResult:
    """Result of judging one route.

    bore: largest diameter after cutting, mm (the major diameter of a thread). wall: left on the thin side,
    mm. margins: as planned, worst first. window: None where nothing is pressed or nothing was solved. best:
    the largest least margin in the window and the interference that gives it, mm. reason: why the route
    cannot be made, or what was not judged; "" where neither. missing: what is needed and was left out.
    """

    route: RouteInput
    bore: float
    wall: float
    margins: tuple[Margin, ...]
    window: Window | None
    reason: str = ""
    makeable: bool = True
    best: tuple[float, float] | None = None
    missing: tuple[str, ...] = ()

    @property
    def governing(self) -> Margin | None:
        """The least assessed margin; None where none is assessed."""
        return next((m for m in self.margins if m.margin is not None), None)

    @property
    def state(self) -> State:
        """Verdict on the route."""
        if not self.makeable:
            return "cannot be made"
        states = {m.state for m in self.margins}
        if "fails" in states:
            return "fails"
        if "unresolved" in states:
            return "undecided"
        if "holds" not in states:
            return "not judged"
        return "holds as far as judged" if self.missing else "holds"


def compare_routes(case: Case, routes: Iterable[RouteInput]) -> tuple[RouteResult, ...]:
    """Judge every route and sort them, best first.

    Routes that hold, or would hold at another interference, come first; then the best least margin a route
    can have decides, then the wall it leaves. So the order ranks the routes, not the guesses of their
    interference.
    """
    return tuple(sorted((judge_route(case, r) for r in routes), key=rank))


def compare_sleeves(case: Case, materials: Iterable[Material]) -> tuple[RouteResult, ...]:
    """Judge the sleeve of the case in each material; in the order given."""
    return tuple(
        judge_route(case, RouteInput(name=f"{m.name}, {m.condition}", kind="sleeve", part_material=m))
        for m in materials
    )


def rank(result: RouteResult) -> tuple[int, float, float]:
    """Sort key that puts the best route first."""
    state, least = result.state, result.governing.margin if result.governing else None
    if result.best is not None:
        state = "holds as far as judged" if result.missing else "holds"
        least = result.best[0]
    return ORDER.index(state), -(least if least is not None else -9.0), -result.wall


def judge_route(case: Case, route: RouteInput) -> RouteResult:
    """Judge one route under the loads of the case."""
    if route.thread is not None:
        return _threaded(case, route, route.thread)
    variant = route_case(case, route)
    bore = max(b.greatest_diameter for b in variant.shell.bore)
    wall = _wall(case, bore)
    faults = [*shell_faults(variant.shell), *sleeve_faults(variant.sleeve)]
    faults = faults or list(joint_faults(variant.shell, variant.sleeve))
    if faults:
        return RouteResult(
            route, bore, wall, (), None, f"{faults[0].part}: {faults[0].problem}", makeable=False
        )
    try:
        study = CaseStudy(variant, usual_resolution(case))
        margins = worst_first(judged(evidence_of(variant, study)))
        cache = CheckCache(variant, study, CHECKS)
        window = window_of(cache)
        best = best_margin(cache, window)
    except (MeshError, SolveError) as error:
        return RouteResult(route, bore, wall, (), None, f"not solved: {error}", makeable=False)
    except ValueError as error:  # raised where the loads of the case do not fit the part of the route
        return RouteResult(route, bore, wall, (), None, f"the loads of the case do not fit it: {error}")
    open_checks = [m.title for m in margins if m.margin is None]
    reason = f"not judged: {', '.join(open_checks)}" if open_checks else ""
    missing = left_out(variant, margins)
    return RouteResult(route, bore, wall, margins, window, reason, best=best, missing=missing)


def route_case(case: Case, route: RouteInput) -> Case:
    """The case of a route: the same loads, with its bore and its pressed-in part."""
    bores = case.shell.bore
    if route.kind == "larger seat":
        assert route.bore is not None
        plus_minus = max(b.plus_minus for b in bores)
        bores = (cylinder(0.0, case.shell.width, route.bore, plus_minus),)
    elif route.bore is not None:
        increase = route.bore - max(b.mean_diameter for b in bores)
        bores = tuple(_enlarged(b, increase) for b in bores)
    shell = Shell(case.shell.width, case.shell.outside, bores)
    changed = replace(
        case,
        shell=shell,
        sleeve=_pressed_part(case, route, shell),
        sleeve_material=route.part_material or case.sleeve_material,
    )
    if bores is case.shell.bore and changed.sleeve.outside == case.sleeve.outside:
        return changed
    outside = tuple(m for m in case.shell_measured if m.surface == "outside")
    return replace(changed, shell_measured=outside, sleeve_measured=())


def _pressed_part(case: Case, route: RouteInput, shell: Shell) -> Sleeve:
    """The pressed-in part: the sleeve of the case enlarged with the bore, or a plain part of its length."""
    sleeve = case.sleeve
    zones = sleeve.bore
    if route.part_bore is not None:
        zones = (BoreZone(sleeve.z_start, sleeve.z_end, route.part_bore),)
    plus_minus = max(b.plus_minus for b in sleeve.outside)
    if route.interference is not None:
        outside = tuple(
            cylinder(
                max(b.z_start, sleeve.z_start),
                min(b.z_end, sleeve.z_end),
                b.mean_diameter + route.interference,
                plus_minus,
            )
            for b in shell.bore
            if min(b.z_end, sleeve.z_end) - max(b.z_start, sleeve.z_start) > 1e-6
        )
    else:
        increase = max(b.mean_diameter for b in shell.bore) - max(b.mean_diameter for b in case.shell.bore)
        outside = (
            sleeve.outside if increase == 0.0 else tuple(_enlarged(b, increase) for b in sleeve.outside)
        )
    return replace(sleeve, outside=outside, bore=zones)


def _enlarged(land: Land, increase: float) -> Land:
    return replace(
        land, diameter_start=land.diameter_start + increase, diameter_end=land.diameter_end + increase
    )


def _wall(case: Case, bore: float) -> float:
    return 0.5 * (min(b.least_diameter for b in case.shell.outside) - bore - case.runout_mm)


def _threaded(case: Case, route: RouteInput, thread: Thread) -> RouteResult:
    wall = _wall(case, thread.major)
    if wall <= 0.0:
        return RouteResult(
            route, thread.major, wall, (), None, "the thread is larger than the shell", False
        )
    rows = [_thread_wall(case, wall), _thread_strips(case, route, thread)]
    if case.boring is not None and route.kind == "larger thread":
        rows.append(on_lands(case.boring, (cylinder(0.0, case.shell.width, thread.minor),)))
    return RouteResult(
        route, thread.major, wall, worst_first(tuple(rows)), None, THREAD_LIMIT, missing=(THREAD_LIMIT,)
    )


def _thread_wall(case: Case, wall: float) -> Margin:
    limit = case.min_wall_mm
    cell = Margin(
        "wall_left",
        "wall left",
        None if limit is None else Estimate(limit),
        Estimate(wall),
        "mm",
        1.0,
        Location("shell"),
        "outside less thread major diameter less runout, halved, against [shell] least_wall",
        "" if limit is not None else "give [shell] least_wall to have this judged",
    )
    return row_of([cell])


def _thread_strips(case: Case, route: RouteInput, thread: Thread) -> Margin:
    """Stripping of the shell's own thread by the greatest cup preload or the demanded axial force."""
    cups = case.cups
    forces = [greatest_preload(cups, cup, thread) for _, cup in cups.sides] if cups else []
    if case.demand is not None:
        forces.append(case.demand.axial_force)
    force = max(forces, default=0.0)
    capacity = None
    if route.engagement is not None:
        area = shear_area(thread, route.engagement, internal=True)
        capacity = Estimate(area * case.shell_material.yield_strength / sqrt(3.0))
    missing = (
        "engagement in the route" if capacity is None else "" if force else "[cups] or [demand] axial_force"
    )
    cell = Margin(
        "shell_thread_strips",
        "shell thread strips",
        Estimate(force) if force else None,
        capacity,
        "N",
        case.factors.yielding,
        Location("shell"),
        "greatest cup preload or demanded axial force, against the shear area of the engaged thread "
        "(ASME B1.1 Appendix B, from memory) times yield/√3 of the shell",
        f"give {missing} to have this judged" if missing else "",
        stage="cups",
    )
    return row_of([cell])
