"""Joint opens: what service takes off the contact pressure, against the pressure of the loosest fit."""

from __future__ import annotations

import numpy as np

from hoopwright.checks.contact import WHERE, contact, total_pressure
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.service_rows import (
    grips_said,
    instant,
    opening,
    unserved,
    where_of,
)
from hoopwright.estimate import LOWEST, from_meshes
from hoopwright.fit import FitState
from hoopwright.service.study import ServiceState, Spot


def joint_opens(evidence: Evidence) -> Margin:
    service, opened = evidence.study.service, opening(evidence)
    if service is None or opened is None:
        return unserved(evidence, "joint_opens", "joint opens", "MPa", "interface", shown=False)
    lowest, spot = opened
    meshes = service.pairs(evidence.loosest)[spot.grip]
    # at the place of lowest pressure both add up to it: what the fit gives and what service takes
    given = from_meshes(*(_given(fit, state, spot) for fit, state in meshes), kind=LOWEST)
    taken = from_meshes(
        *(_given(fit, state, spot) - _lowest(fit, state) for fit, state in meshes), kind=LOWEST)
    share = _open_share(*meshes[0])
    stretch = service.stretch
    return Margin(
        id="joint_opens", title="joint opens", demand=taken, capacity=given, unit="MPa", factor=1.0,
        where=where_of(evidence, spot),
        basis=f"pressure taken off by service {instant(evidence, spot)} against the pressure of the "
              f"loosest fit there, averaged over {stretch:.2g} mm along the seat, {WHERE}; "
              + grips_said(evidence),
        note=f"opens over {100 * share:.2g} % of the seat" if lowest.value < 0.0 else "")


def _given(fit: FitState, service: ServiceState, spot: Spot) -> float:
    """Pressure of the fit at the place, averaged, MPa."""
    here = contact(fit, service)
    return float(np.interp(spot.z, service.seat.z[here.firm], here.fit[here.firm]))


def _lowest(fit: FitState, service: ServiceState) -> float:
    here = contact(fit, service)
    return float(here.total[:, here.firm].min())


def _open_share(fit: FitState, service: ServiceState) -> float:
    """Share of the seat without pressure in the worst load case."""
    lifted = np.mean(total_pressure(fit, service) < 0.0, axis=2)
    return float(np.max(lifted @ service.seat.weight))
