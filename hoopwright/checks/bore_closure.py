"""Bore closure: decrease of the sleeve's bore diameter by pressing, at greatest interference, against the
user's limit, and against what a pusher that pilots in the bore leaves until it is out again.

What the sleeve grows or shrinks with temperature by itself is taken out: the gauge does the same. What is
bored or threaded after pressing is cut true: there, nothing is left of it.
"""

from __future__ import annotations

import numpy as np

from hoopwright.case.press_model import Pilot
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, When, row_of
from hoopwright.display import Units
from hoopwright.estimate import DISPLACEMENT, Estimate, from_meshes
from hoopwright.fit import Discretisation, FitSolution
from hoopwright.pilot import Narrowest, narrowest
from hoopwright.state import let_go


def bore_closure(evidence: Evidence) -> Margin:
    """Greatest diametral closure along the bore against the user's limit, and round a pilot."""
    pilot = evidence.case.press.pilot
    at_pilot = [] if pilot is None or evidence.case.press.slips_in else [_at_pilot(evidence, pilot)]
    return row_of([*at_pilot, _pressed(evidence)])


def _pressed(evidence: Evidence) -> Margin:
    """Greatest closure along the bore against the user's limit."""
    limit = evidence.case.max_bore_closure_mm
    fits = evidence.at_rest("pressed", evidence.greatest)
    zones = [(zone.z_start, zone.z_end) for zone in evidence.case.sleeve.bore if not zone.cut_true]
    if not zones:
        return _cut_true_all_over(limit)

    def read(solution: FitSolution) -> tuple[int, float]:
        z = _bore_nodes(solution.mesh)[1]
        as_turned = np.any([(z >= a - 1e-6) & (z <= b + 1e-6) for a, b in zones], axis=0)
        closure = np.where(as_turned, solution.bore_closure(z), -np.inf)
        k = int(np.argmax(closure))
        return k, float(closure[k])

    demand, solution = fits.greatest("closure", lambda s: read(s)[1], DISPLACEMENT)
    r, z = _bore_nodes(solution.mesh)[:, read(solution)[0]]
    return Margin(
        id="bore_closure",
        title="bore closes",
        demand=demand * 1e3,
        capacity=None if limit is None else Estimate(1e3 * limit),
        unit="um",
        factor=1.0,
        where=Location("sleeve", float(r), float(z)),
        basis="diametral, elastic, greatest interference, against [sleeve] most_bore_closure",
        note="" if limit is not None else "give [sleeve] most_bore_closure to have this judged",
        when=When.of(solution.state),
    )


def _at_pilot(evidence: Evidence, pilot: Pilot) -> Margin:
    """Closure round the pilot against what it leaves, from when the sleeve starts to when the pusher comes
    out of it at rest."""
    case = evidence.case

    def beyond(solution: FitSolution) -> float:
        return narrowest(case, solution).beyond

    at_rest = evidence.study.fits(let_go(case, evidence.greatest, blank=case.sleeve.finished_later))
    rest = at_rest.worst("pilot at rest", beyond)
    solutions, travel = rest.solutions, evidence.study.way_in.home
    entering = evidence.study.way_in.narrowest_at_pilot(evidence.greatest)
    if entering is not None and beyond(entering[0][-1]) > beyond(rest.coarsest):
        solutions, travel = entering
    place = narrowest(case, solutions[0])
    jams = place.beyond > 0.0 or place.gap <= 0.0
    own = case.drawing.sleeve.bore_plus_minus
    certain = "bores without a ±" if own is None else f"plain bores {Units().both(1e3 * own, 'um')} smaller"
    return Margin(
        id="bore_closure",
        title="bore closes",
        demand=from_meshes(*(1e3 * narrowest(case, one).closure for one in solutions), kind=DISPLACEMENT),
        capacity=Estimate(1e3 * place.gap),
        unit="um",
        factor=1.0,
        where=Location("sleeve", place.r, place.z),
        basis="diametral, elastic, greatest interference, until the pusher is out again, against what its "
        f"pilot of {Units().both(pilot.diameter_mm, 'mm')} leaves in the bore there, {certain}; both "
        "expand alike",
        note=_turn_it_down(place) if jams else "",
        stage="entering",
        when=When.of(solutions[0].state, travel=travel),
    )


def _turn_it_down(place: Narrowest) -> str:
    most = Units().both(place.bore - place.closure, "mm")
    holds = "the bore closes on the pilot and holds it"
    why = holds if place.gap > 0.0 else "the least bore does not let the pilot in"
    return f"{why}: turn it to less than {most}, or make it shorter"


def _bore_nodes(mesh: Discretisation) -> np.ndarray:
    """Coordinates r and z of the nodes of the sleeve's bore, (2, nodes), mm."""
    return mesh.meshed_joint.model.mesh.nodes[:, mesh.face("sleeve.bore")]


def _cut_true_all_over(limit: float | None) -> Margin:
    return Margin(
        id="bore_closure",
        title="bore closes",
        demand=Estimate(0.0),
        capacity=None if limit is None else Estimate(1e3 * limit),
        unit="um",
        factor=1.0,
        where=Location("sleeve"),
        basis="the whole bore is cut after pressing, to the size it then has: [sleeve] bored_after",
        note="" if limit is not None else "give [sleeve] most_bore_closure to have this judged",
    )
