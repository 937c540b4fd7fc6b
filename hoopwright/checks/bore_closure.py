"""Bore closure: decrease of the sleeve's bore diameter by pressing, at greatest interference.

What the sleeve grows or shrinks with temperature by itself is taken out: the gauge does the same.
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
    demand, solution = fits.greatest("closure", lambda s: float(_closure(s).max()), DISPLACEMENT)
    k = int(np.argmax(_closure(solution)))
    r, z = _bore_nodes(solution.mesh)[:, k]
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


def _closure(solution: FitSolution) -> np.ndarray:
    """Diametral closure at the nodes of the sleeve's bore, mm; positive where the bore shrinks."""
    return solution.bore_closure(_bore_nodes(solution.mesh)[1])
