"""Bore closure: how much smaller the sleeve's bore is after pressing, at greatest interference."""

from __future__ import annotations

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Where
from hoopwright.estimate import MOVE, Estimate
from hoopwright.fit import Discretisation, FitState


def bore_closure(evidence: Evidence) -> Margin:
    limit = evidence.case.most_bore_closure_mm
    demand, state = evidence.tightest.greatest(lambda s: _closure(s).max(), MOVE)
    k = int(np.argmax(_closure(state)))
    r, z = _bore_nodes(state.mesh)[:, k]
    return Margin(
        id="bore_closure",
        title="bore closes",
        demand=demand * 1e3,
        capacity=None if limit is None else Estimate(1e3 * limit),
        unit="um",
        factor=1.0,
        where=Where("sleeve", float(r), float(z)),
        basis="diametral, elastic, greatest interference, against [sleeve] most_bore_closure",
        note="" if limit is not None else "give [sleeve] most_bore_closure to have this judged",
    )


def _bore_nodes(mesh: Discretisation) -> np.ndarray:
    """r and z along the sleeve's bore, (2, nodes), mm."""
    return mesh.assembly.model.mesh.nodes[:, mesh.face("sleeve.bore")]


def _closure(state: FitState) -> np.ndarray:
    """Diametral closure at the nodes of the sleeve's bore, mm, positive when smaller."""
    return -2.0 * state.radial_move("sleeve.bore", _bore_nodes(state.mesh)[1])
