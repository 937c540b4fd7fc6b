"""Bore closure: decrease of the sleeve's bore diameter by pressing, at greatest interference.

What the sleeve grows or shrinks with temperature by itself is taken out: the gauge does the same. What is
bored or threaded after pressing is cut true: there, nothing is left of it.
"""

from __future__ import annotations

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, When, row_of
from hoopwright.estimate import DISPLACEMENT, Estimate
from hoopwright.fit import Discretisation, FitSolution


def bore_closure(evidence: Evidence) -> Margin:
    """Greatest diametral closure along the bore against the user's limit."""
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
    cell = Margin(
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
    return row_of([cell])


def _bore_nodes(mesh: Discretisation) -> np.ndarray:
    """Coordinates r and z of the nodes of the sleeve's bore, (2, nodes), mm."""
    return mesh.meshed_joint.model.mesh.nodes[:, mesh.face("sleeve.bore")]


def _cut_true_all_over(limit: float | None) -> Margin:
    cell = Margin(
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
    return row_of([cell])
