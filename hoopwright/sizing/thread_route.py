"""Rows of a route that cuts a thread into the shell itself, with nothing pressed in.

What concerns the piece is judged or named as not judged: wall, damage, both threads, stress and fatigue of
the shell. What concerns a fit or a sleeve is not in its nature and has no row.
"""

from __future__ import annotations

from math import sqrt

from hoopwright.case.model import Case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.checks.damage_removed import on_lands
from hoopwright.checks.margin import Location, Margin, Stage, row_of
from hoopwright.checks.sleeve_loads import greatest_preload
from hoopwright.checks.thread_strips import shear_area
from hoopwright.estimate import Estimate
from hoopwright.geometry import Thread
from hoopwright.geometry.land import cylinder
from hoopwright.materials import Material
from hoopwright.strength import least_allowable

THREAD_LIMIT = (
    "no fit is pressed: only wall, damage and threads are judged here, not the shell's stress in service "
    "nor the state of the metal that is left"
)
NO_MODEL = "the shell by itself, without a sleeve, is not modelled"


def thread_rows(case: Case, route: RouteInput, thread: Thread) -> tuple[Margin, ...]:
    """The rows of the piece, in the order of the checks."""
    rows = [
        _not_modelled("shell_yields", "shell yields", "pressed"),
        _wall(case, thread),
        *_damage(case, thread),
        _strips(case, route, thread, "shell", case.shell_material),
    ]
    if case.cups is not None:
        rows.append(_strips(case, route, thread, "cup", case.cups.material))
    if case.service is not None:
        rows += [
            _not_modelled(f"shell_fatigue_{criterion.lower()}", f"shell fatigue ({criterion})", "in use")
            for criterion in ("Sines", "Walker")
        ]
    return tuple(rows)


def _wall_left(case: Case, thread: Thread) -> float:
    """Wall left outside the thread on the thin side, at the unfavourable end of the outside's size, mm."""
    outside = min(land.least_diameter - land.plus_minus for land in case.shell.outside)
    return 0.5 * (outside - thread.major - case.runout_mm)


def _not_modelled(identity: str, title: str, stage: Stage) -> Margin:
    return Margin(
        identity, title, None, None, "MPa", 1.0, Location("shell"), "not computed", NO_MODEL, stage=stage
    )


def _damage(case: Case, thread: Thread) -> tuple[Margin, ...]:
    """Damage cut away: between the turns of a thread metal is left from its minor diameter outwards."""
    if case.boring is None:
        return ()
    return (on_lands(case.boring, (cylinder(0.0, case.shell.width, thread.minor),)),)


def _wall(case: Case, thread: Thread) -> Margin:
    limit = case.min_wall_mm
    cell = Margin(
        "wall_left",
        "wall left",
        None if limit is None else Estimate(limit),
        Estimate(_wall_left(case, thread)),
        "mm",
        1.0,
        Location("shell"),
        "outside at the least of its sizes less thread major diameter less runout, halved, against "
        "[shell] least_wall",
        "" if limit is not None else "give [shell] least_wall to have this judged",
    )
    return row_of([cell])


def _strips(case: Case, route: RouteInput, thread: Thread, body: str, material: Material | None) -> Margin:
    """Stripping of the shell's own thread, or of the cup's in it, by the greatest cup preload or the
    demanded axial force."""
    cups = case.cups
    forces = [greatest_preload(cups, cup, thread) for _, cup in cups.sides] if cups else []
    if case.demand is not None:
        forces.append(case.demand.axial_force)
    force = max(forces, default=0.0)
    capacity = None
    if route.engagement is not None and material is not None:
        area = shear_area(thread, route.engagement, internal=body == "shell")
        yields = least_allowable(case, "shell", "cups") if body == "shell" else material.yield_strength
        capacity = Estimate(area * yields / sqrt(3.0))
    missing = (
        "engagement in the route"
        if route.engagement is None
        else "[cups] material"
        if material is None
        else ""
        if force
        else "[cups] or [demand] axial_force"
    )
    cell = Margin(
        f"{body}_thread_strips",
        f"{body} thread strips",
        Estimate(force) if force else None,
        capacity,
        "N",
        case.factors.yielding,
        Location(body),
        "greatest cup preload or demanded axial force, against the shear area of the engaged thread "
        f"(ASME B1.1 Appendix B, from memory) times yield/√3 of the {body}",
        f"give {missing} to have this judged" if missing else "",
        stage="cups",
    )
    return row_of([cell])
