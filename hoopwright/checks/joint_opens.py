"""Opening of the joint: contact pressure lost to loads, form and cups against the pressure of the loosest
fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from hoopwright.checks.beside_clamp import all_beside_clamp
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, row_of, worst_of
from hoopwright.checks.seat_pressure import (
    MIN_PRESSURE_SHARE,
    WHERE_JUDGED,
    seat_pressure,
    total_pressure,
)
from hoopwright.checks.service_rows import (
    ASK_FOR_SERVICE,
    OPENING_STAGES,
    Loosest,
    joint_conditions_text,
    loosest,
    lowest_pressure_reader,
    when_of,
    where_of,
)
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.display import Units
from hoopwright.estimate import LOWEST_PRESSURE, from_meshes
from hoopwright.fit import FitSolution
from hoopwright.form import ovality
from hoopwright.service.fields import averaging_matrix
from hoopwright.service.study import ServiceSolution, Spot
from hoopwright.state import State

ID, TITLE = "joint_opens", "joint opens"


def joint_opens(evidence: Evidence) -> Margin:
    """Pressure lost against the fit pressure, at the point of lowest contact pressure."""
    cells = [_cell(evidence, stage) for stage in OPENING_STAGES]
    found = [cell for cell in cells if cell is not None]
    if found:
        return row_of(found)
    hidden = "seat" in unjudged_under_loads(evidence.case)
    return Margin(
        ID,
        TITLE,
        None,
        None,
        "MPa",
        1.0,
        Location("interface"),
        "fit and service loads",
        all_beside_clamp("seat") if hidden else ASK_FOR_SERVICE,
        applies=hidden or (evidence.case.service is None and not evidence.case.no_service),
    )


def _cell(evidence: Evidence, stage: Stage) -> Margin | None:
    found = loosest(evidence, stage)
    cells = [] if found is None else [_under_loads(evidence, stage, found)]
    if stage == "cups" and any(evidence.tensions.values()):
        cells.append(_under_cups(evidence))
    return worst_of(cells) if cells else None


def _under_loads(evidence: Evidence, stage: Stage, worst: Loosest) -> Margin:
    """What service loads or the form of the bore take off."""
    meshes, spot = worst.found.meshes, worst.spot
    # where the pressure is lowest, it is the fit pressure less what service takes off
    fit_pressure = from_meshes(
        *(_fit_pressure_at(fit, solution, spot) for fit, solution in meshes), kind=LOWEST_PRESSURE
    )
    read = lowest_pressure_reader(loaded=worst.loaded)
    pressure_loss = from_meshes(
        *(_fit_pressure_at(fit, solution, spot) + read(fit, solution).value for fit, solution in meshes),
        kind=LOWEST_PRESSURE,
    )
    share = _open_share(*meshes[0], loaded=worst.loaded)
    taken_by = "service" if worst.loaded else "the form of the bore"
    return Margin(
        id=ID,
        title=TITLE,
        demand=pressure_loss,
        capacity=fit_pressure,
        unit="MPa",
        factor=1.0,
        where=where_of(evidence, spot),
        basis=f"pressure taken off by {taken_by} against the pressure of the loosest fit there, averaged "
        f"over {Units().along_both(meshes[0][1].averaging_length)} along the seat, {WHERE_JUDGED}; "
        + joint_conditions_text(evidence),
        note=_note(evidence, share if worst.lowest.value < 0.0 else 0.0),
        stage=stage,
        when=when_of(worst.found, spot),
    )


def _note(evidence: Evidence, open_share: float) -> str:
    """How much of the seat opens, and how far bore and sleeve are out of round; "" where neither."""
    opens = f"opens over {100 * open_share:.2g} % of the seat" if open_share else ""
    seats = evidence.study.joint.seats
    oval = max((ovality(evidence.case, s.bore_land, s.sleeve_land) for s in seats), default=0.0)
    form = f"bore and sleeve are out of round by {Units().both(1e3 * oval, 'um')} together" if oval else ""
    return "; ".join(part for part in (opens, form) if part)


def _fit_pressure_at(fit: FitSolution, service: ServiceSolution, spot: Spot) -> float:
    """Fit pressure at the location of a spot, averaged along the seat, MPa."""
    pressure = seat_pressure(fit, service)
    return float(np.interp(spot.z, service.seat.z[pressure.judged], pressure.fit[pressure.judged]))


def _open_share(fit: FitSolution, service: ServiceSolution, *, loaded: bool) -> float:
    """Share of the seat that is open in the worst load case."""
    open_angles = np.mean(total_pressure(fit, service) < 0.0, axis=2)
    return float(np.max(open_angles[0 if loaded else -1 :] @ service.seat.weight))


class _Lowest(NamedTuple):
    """The lowest pressure with the cups tight, MPa, what it was there before, and where, mm."""

    clamped: float
    before: float
    r: float
    z: float


def _under_cups(evidence: Evidence) -> Margin:
    """What the pull and the wedge of tightened cups take off, and the temperature with them."""
    read = _lowest_reader(evidence)
    fits = evidence.at_rest("cups", evidence.least)
    _, solution = fits.least("opening cups", lambda s: read(s).clamped, LOWEST_PRESSURE)
    fit = evidence.study.at(solution.state)
    at = read(solution)
    return Margin(
        id=ID,
        title=TITLE,
        demand=fit.estimate(lambda s: read(s).before - read(s).clamped, LOWEST_PRESSURE),
        capacity=fit.estimate(lambda s: read(s).before, LOWEST_PRESSURE),
        unit="MPa",
        factor=1.0,
        where=Location("interface", at.r, at.z),
        basis="pressure taken off by the pull and the wedge of the cups, and by the temperature, against "
        "the pressure of the loosest fit there before, averaged along the seat over "
        f"{Units().along_both(evidence.study.joint.thinnest_wall)}, {WHERE_JUDGED}",
        stage="cups",
        when=When.of(solution.state),
    )


def _lowest_reader(evidence: Evidence) -> Callable[[FitSolution], _Lowest]:
    """A function that finds the lowest pressure of a fit with its cups tight."""
    before: dict[tuple[int, State], np.ndarray] = {}
    length = evidence.study.joint.thinnest_wall

    def pressure_before(solution: FitSolution) -> np.ndarray:
        state = _before_cups(solution.state, evidence.bench)
        key = id(solution.mesh), state
        if key not in before:
            before[key] = solution.mesh.press(state).pressure
        return before[key]

    def read(solution: FitSolution) -> _Lowest:
        pairs, at_rest = solution.mesh.meshed_joint.interface, pressure_before(solution)
        closed = at_rest > 0.0
        if not np.any(closed):  # nothing touches, and nothing is left to open
            return _Lowest(0.0, 0.0, float(pairs.r[0]), float(pairs.z[0]))
        weight = pairs.weight[closed]
        average = averaging_matrix(pairs.z[closed], weight, length)
        resting, clamped = (average @ p[closed] for p in (at_rest, solution.press.pressure))
        judged = resting >= MIN_PRESSURE_SHARE * float(weight @ resting) / float(weight.sum())
        k = int(np.argmin(np.where(judged, clamped, np.inf)))
        return _Lowest(
            float(clamped[k]), float(resting[k]), float(pairs.r[closed][k]), float(pairs.z[closed][k])
        )

    return read


def _before_cups(state: State, bench: float) -> State:
    """The state on the bench before the cups were tightened."""
    path = None if state.path is None else replace(state.path, clamped=(), warmed=())
    return State(state.shift, bench, 0.0, path, state.blank)
