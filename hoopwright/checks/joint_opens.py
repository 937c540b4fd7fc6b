"""Opening of the joint: contact pressure lost in service against the pressure of the loosest fit."""

from __future__ import annotations

import numpy as np

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.seat_pressure import WHERE_JUDGED, seat_pressure, total_pressure
from hoopwright.checks.service_rows import (
    joint_conditions_text,
    load_case_text,
    loosest_in_service,
    lowest_pressure,
    row_without_service,
    state_text,
    where_of,
)
from hoopwright.estimate import LOWEST_PRESSURE, from_meshes
from hoopwright.fit import FitSolution
from hoopwright.service.study import ServiceSolution, Spot


def joint_opens(evidence: Evidence) -> Margin:
    """Pressure lost in service against the fit pressure, at the point of lowest contact pressure."""
    loosest, found = loosest_in_service(evidence), lowest_pressure(evidence)
    if loosest is None or found is None:
        return row_without_service(evidence, "joint_opens", "joint opens", "MPa", "interface", shown=False)
    (lowest, spot), meshes = found, loosest.meshes
    # where the pressure is lowest, it is the fit pressure less what service takes off
    fit_pressure = from_meshes(
        *(_fit_pressure_at(fit, solution, spot) for fit, solution in meshes), kind=LOWEST_PRESSURE
    )
    pressure_loss = from_meshes(
        *(
            _fit_pressure_at(fit, solution, spot) - _lowest_pressure(fit, solution)
            for fit, solution in meshes
        ),
        kind=LOWEST_PRESSURE,
    )
    share = _open_share(*meshes[0])
    averaging_length = meshes[0][1].averaging_length
    return Margin(
        id="joint_opens",
        title="joint opens",
        demand=pressure_loss,
        capacity=fit_pressure,
        unit="MPa",
        factor=1.0,
        where=where_of(evidence, spot),
        basis=f"pressure taken off by service {load_case_text(evidence, spot)} against the pressure of the "
        f"loosest fit there {state_text(loosest.fit.state)}, averaged over {averaging_length:.2g} mm "
        f"along the seat, {WHERE_JUDGED}; " + joint_conditions_text(evidence),
        note=f"opens over {100 * share:.2g} % of the seat" if lowest.value < 0.0 else "",
    )


def _fit_pressure_at(fit: FitSolution, service: ServiceSolution, spot: Spot) -> float:
    """Fit pressure at the location of a spot, averaged along the seat, MPa."""
    pressure = seat_pressure(fit, service)
    return float(np.interp(spot.z, service.seat.z[pressure.judged], pressure.fit[pressure.judged]))


def _lowest_pressure(fit: FitSolution, service: ServiceSolution) -> float:
    """Lowest pressure of fit + service where it is judged, MPa."""
    pressure = seat_pressure(fit, service)
    return float(pressure.total[:, pressure.judged].min())


def _open_share(fit: FitSolution, service: ServiceSolution) -> float:
    """Share of the seat that is open in the worst load case."""
    open_angles = np.mean(total_pressure(fit, service) < 0.0, axis=2)
    return float(np.max(open_angles @ service.seat.weight))
