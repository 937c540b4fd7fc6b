"""Repair routes for one shell, each judged under the same loads, and ranked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

from hoopwright.case.model import Case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.checks import evidence_of, worst_first
from hoopwright.checks.margin import Margin
from hoopwright.checks.service_rows import ASK_FOR_SERVICE
from hoopwright.discretisation import usual_resolution
from hoopwright.fem import MeshError, SolveError
from hoopwright.form import read_ovality
from hoopwright.geometry import Thread
from hoopwright.geometry.validation import joint_faults, shell_faults, sleeve_faults
from hoopwright.left_out import keeps_from_holding
from hoopwright.materials import Material
from hoopwright.pressing.contradiction import (
    READ_OTHERWISE,
    against_readings,
    contradicts,
    for_another_sleeve,
    read_otherwise,
)
from hoopwright.rows.installed import installed_rows
from hoopwright.rows.judging import checks, judged
from hoopwright.sizing.route_case import is_the_joint, route_case, smaller_than_bored
from hoopwright.sizing.thread_route import NO_MODEL, THREAD_LIMIT, thread_rows
from hoopwright.sizing.window import CheckCache, Window, best_margin, window_of, withheld_window
from hoopwright.study import CaseStudy
from hoopwright.suspected import doubt_of

State = Literal[
    "holds",
    "holds as far as judged",
    "undecided",
    "not judged",
    "not comparable",
    "fails",
    "cannot be made",
]
ORDER: tuple[State, ...] = get_args(State)
BORED_LARGER = "the shell is already bored larger"
ROUNDNESS_ASSUMED = {
    "shell": "its bore is yet to be cut and taken as round",
    "sleeve": "its sleeve is yet to be turned and taken as round",
}
"""What is said of a route by the part that was read out of round and is another in it."""


@dataclass(frozen=True)
class RouteResult:
    """Result of judging one route.

    bore: largest diameter after cutting, mm (the major diameter of a thread). wall: left on the thin side,
    mm. margins: as planned, worst first. window: None where nothing is pressed or nothing was solved. best:
    the largest least margin in the window and the interference that gives it, mm. reason: why the route
    cannot be made, or what was not judged; "" where neither. missing: what is needed and was left out.
    gaps: titles of the ways to fail that other routes are judged on and this one is not although it may
    fail so. contradicted: whether what was read at the press contradicts the case, so that nothing holds.
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
    gaps: tuple[str, ...] = ()
    contradicted: bool = False

    @property
    def comparable(self) -> bool:
        """Whether the route is judged on all that it may fail by and others are judged on."""
        return not self.gaps

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
        if self.gaps:
            return "not comparable"
        if "unresolved" in states:
            return "undecided"
        if "holds" not in states:
            return "not judged"
        return "holds as far as judged" if self.missing else "holds"


def compare_routes(case: Case, routes: Iterable[RouteInput]) -> tuple[RouteResult, ...]:
    """Judge every route and sort them, best first.

    Routes that hold, or would hold at another interference, come first; then the best least margin a route
    can have decides, then the wall it leaves. So the order ranks the routes, not the guesses of their
    interference. Those that are not judged on the same ways to fail stand apart, below the others.
    """
    return tuple(sorted(_side_by_side(case, routes), key=rank))


def compare_sleeves(case: Case, materials: Iterable[Material]) -> tuple[RouteResult, ...]:
    """Judge the sleeve of the case in each material; in the order given."""
    return _side_by_side(
        case,
        (RouteInput(name=f"{m.name}, {m.condition}", kind="sleeve", part_material=m) for m in materials),
    )


def _side_by_side(case: Case, routes: Iterable[RouteInput]) -> tuple[RouteResult, ...]:
    """The routes judged, each with what others are judged on and it is not.

    What was read at the press is of the joint as the case has it. Where it contradicts the case, sizes,
    friction or material are not what they are taken to be, and every route rests on those.
    """
    contradicted, another = as_pressed(case)
    return with_gaps(
        [judge_route(case, route, contradicted=contradicted, another=another) for route in routes]
    )


def as_pressed(case: Case) -> tuple[bool, Case]:
    """Whether what was read as the joint of the case was pressed in contradicts it; and the case as another
    sleeve is judged after that and after its proof."""
    slipped = case.proof is not None and case.proof.slipped
    if not (case.press.was_read or slipped):
        return False, case
    study = CaseStudy(case, usual_resolution(case))
    _, found = against_readings((), case, study)
    contradicted = contradicts(case, study, found)
    return contradicted, case if contradicted else for_another_sleeve(case, study, found)


def with_gaps(results: Sequence[RouteResult]) -> tuple[RouteResult, ...]:
    """The results, each with the ways to fail on which it is not judged and others are.

    A row that is not in the nature of a route is not there, one that lacks only its demand is a way in
    which nothing loads it, and a service load that the case does not give is one that all of them lack:
    none of these is a gap.
    """
    made = [result for result in results if result.makeable]
    judged_rows = {m.id: m.title for result in made for m in result.margins if m.margin is not None}

    def gaps(result: RouteResult) -> tuple[str, ...]:
        if not result.makeable:
            return ()
        unknown = {
            m.id
            for m in result.margins
            if m.margin is None and m.capacity is None and m.note != ASK_FOR_SERVICE
        }
        return tuple(title for row, title in judged_rows.items() if row in unknown or not result.margins)

    return tuple(replace(result, gaps=gaps(result)) for result in results)


def rank(result: RouteResult) -> tuple[int, int, float, float]:
    """Sort key that puts the best route first; those that stand apart come behind, then those that cannot
    be made."""
    state, least = result.state, result.governing.margin if result.governing else None
    if result.best is not None and result.comparable:
        state = "holds as far as judged" if result.missing else "holds"
        least = result.best[0]
    apart = 2 if not result.makeable else int(not result.comparable)
    return apart, ORDER.index(state), -(least if least is not None else -9.0), -result.wall


def judge_route(
    case: Case, route: RouteInput, *, contradicted: bool = False, another: Case | None = None
) -> RouteResult:
    """Judge one route under the loads of the case.

    contradicted: what was read at the press contradicts the case; then all rows are in doubt, and no window
    is given. another: the case as a sleeve is judged that is not the one pressed in; the case itself for
    None.
    """
    if route.thread is not None:
        found = _threaded(case, route, route.thread)
    else:
        found = _pressed(case, route, another or case, contradicted=contradicted)
    if not contradicted:
        return found
    return replace(found, margins=read_otherwise(found.margins), contradicted=True)


def _pressed(case: Case, route: RouteInput, another: Case, *, contradicted: bool) -> RouteResult:
    """A route with a part pressed in: the joint of the case, or another."""
    variant = route_case(case, route)
    is_it = is_the_joint(case, variant)
    as_another = route_case(another, route)
    variant = variant if is_it else replace(as_another, press=as_another.press.unread)
    bore = max(b.greatest_diameter for b in variant.shell.bore)
    wall = _wall(case, bore)
    if smaller_than_bored(case, variant.shell.bore):
        return RouteResult(route, bore, wall, (), None, BORED_LARGER, makeable=False)
    faults = [*shell_faults(variant.shell), *sleeve_faults(variant.sleeve)]
    faults = faults or list(joint_faults(variant.shell, variant.sleeve))
    if faults:
        return RouteResult(
            route, bore, wall, (), None, f"{faults[0].part}: {faults[0].problem}", makeable=False
        )
    try:
        study = CaseStudy(variant, usual_resolution(case))
        margins = worst_first(judged(evidence_of(variant, study)))
        if is_it and not contradicted:
            margins, _ = against_readings(margins, variant, study)
        if is_it and another is not case:
            study = CaseStudy(as_another, usual_resolution(case))
        window, best = _window(study.case, study, contradicted=contradicted)
    except (MeshError, SolveError) as error:
        return RouteResult(route, bore, wall, (), None, f"not solved: {error}", makeable=False)
    except ValueError as error:  # raised where the loads of the case do not fit the part of the route
        return RouteResult(route, bore, wall, (), None, f"the loads of the case do not fit it: {error}")
    open_checks = [m.title for m in margins if m.margin is None]
    reasons = (
        f"not judged: {', '.join(open_checks)}" if open_checks else "",
        _friction_of_its_metal(case if is_it else another, variant),
        "" if is_it else _by_what_was_found(case, another),
        *_roundness_assumed(case, variant),
    )
    reason = "; ".join(part for part in reasons if part)
    missing = keeps_from_holding(variant, margins)
    return RouteResult(route, bore, wall, margins, window, reason, best=best, missing=missing)


def _roundness_assumed(case: Case, variant: Case) -> list[str]:
    """Which surfaces of a seat were read out of round and are yet to be cut in a route."""
    before = (case.shell_measured, case.sleeve_measured)
    after = (variant.shell_measured, variant.sleeve_measured)
    return [
        ROUNDNESS_ASSUMED[part]
        for part, ours, its in zip(("shell", "sleeve"), before, after, strict=True)
        if any(map(read_ovality, ours)) and not any(map(read_ovality, its))
    ]


def _by_what_was_found(case: Case, another: Case) -> str:
    """By what of the joint that was pressed another sleeve is judged, "" where by nothing."""
    low, read = case.pressing_friction[0], another.pressing_friction[0]
    slip = another.proof is not None and another.proof.left is not None
    parts = (
        f"friction from {read:.2g} on, as read at the press" if read < low else "",
        "what the slip at the load of [proof] leaves counts" if slip else "",
    )
    return "; ".join(part for part in parts if part)


def _friction_of_its_metal(case: Case, variant: Case) -> str:
    """Which friction a preset gives a sleeve of another metal, "" where it is that of the case."""
    if variant.fit == case.fit:
        return ""
    low, high = variant.fit.friction_low, variant.fit.friction_high
    pair = next(v.pair for v in variant.presets.filled if v.pair)
    return f"friction {low:.2f} to {high:.2f} by the preset: {pair}"


def _window(
    case: Case, study: CaseStudy, *, contradicted: bool
) -> tuple[Window, tuple[float, float] | None]:
    """The window of a route and the best that it allows; withheld where no row may hold at any
    interference."""
    why = READ_OTHERWISE if contradicted else doubt_of(case)
    if why:
        return withheld_window(study, why), None
    cache = CheckCache(case, study, checks())
    window = window_of(cache)
    return window, best_margin(cache, window)


def _wall(case: Case, bore: float) -> float:
    return 0.5 * (min(b.least_diameter for b in case.shell.outside) - bore - case.runout_mm)


def _threaded(case: Case, route: RouteInput, thread: Thread) -> RouteResult:
    wall = _wall(case, thread.major)
    if wall <= 0.0:
        return RouteResult(
            route, thread.major, wall, (), None, "the thread is larger than the shell", False
        )
    rows = worst_first(thread_rows(case, route, thread))
    unknown = [m.title for m in rows if m.margin is None and m.note != NO_MODEL]
    unknown += [one.title for one in installed_rows()]  # which are of a sleeve and its seat
    reason = "; ".join([THREAD_LIMIT, *([f"not judged: {', '.join(unknown)}"] if unknown else [])])
    return RouteResult(route, thread.major, wall, rows, None, reason, missing=(reason,))
