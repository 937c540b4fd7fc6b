"""Joint micro-slips: shear that a stuck joint would carry in service, against what friction can hold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.checks.contact import WHERE, contact, seat_spot, total_pressure
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.service_rows import (
    credited,
    instant,
    unserved,
    where_of,
)
from hoopwright.estimate import SERVICE, from_meshes
from hoopwright.fit import FitState
from hoopwright.service.study import ServiceState, Spot

FRETTING = "faces that rub wear and rust (fretting); a cured retaining compound keeps them still"
SMALLEST = 1e-6
"""MPa: shear below this cannot slip anything."""


@dataclass(frozen=True)
class Hold:
    """What keeps two faces still: low friction mu, and film, MPa, of a credited compound."""

    mu: float
    film: float
    how: str

    def of(self, pressure: np.ndarray) -> np.ndarray:
        """Shear held at a contact pressure, MPa."""
        friction = self.mu * np.maximum(pressure, 0.0)
        if self.film == 0.0:
            return friction
        if self.how == "added":
            return friction + self.film
        if self.how == "greater":
            return np.maximum(friction, self.film)
        return np.full_like(friction, self.film)


def joint_micro_slips(evidence: Evidence) -> Margin:
    case, service = evidence.case, evidence.study.service
    if service is None or not service.cases:
        return unserved(evidence, "joint_micro_slips", "joint micro-slips", "MPa", "interface", shown=False)
    hold = _hold(evidence)
    meshes = service.pairs(evidence.loosest)["stuck"]
    fine = meshes[0]
    spot = seat_spot(_ratio(*fine, hold), fine[1])
    shear, held = (from_meshes(*values, kind=SERVICE) for values in zip(
        *(_there(*mesh, spot, hold) for mesh in meshes), strict=True))
    accepted = case.service is not None and case.service.micro_slip_accepted
    film = f" and {hold.film:g} MPa of compound ({hold.how})" if hold.film else ""
    return Margin(
        id="joint_micro_slips", title="joint micro-slips", demand=shear,
        capacity=None if accepted else held, unit="MPa", factor=1.0, where=where_of(evidence, spot),
        basis=f"shear on a stuck joint {instant(evidence, spot)} against low μ = {hold.mu:g} times the "
              f"pressure left there at the loosest fit{film}, averaged over {fine[1].stretch:.2g} mm along "
              f"the seat, {WHERE}; shear left over from pressing is not counted",
        note=_note(_slipping_share(*fine, hold), shear.value, held.value, accepted))


def _hold(evidence: Evidence) -> Hold:
    compound, mu = evidence.case.compound, evidence.case.fit.friction_low
    if compound is None:
        return Hold(mu, 0.0, "")
    if compound.friction_low is not None:
        mu = min(mu, compound.friction_low)
    return Hold(mu, credited(evidence), compound.combination or "greater")


def _note(share: float, shear: float, held: float, accepted: bool) -> str:
    """No unit is told, since every reader has their own."""
    part = 100.0 * min(held / max(shear, SMALLEST), 1.0)
    told = f"accepted in [service] micro_slip; {part:.2g} % of it is held there" if accepted else ""
    slips = f"a stuck joint would slip over {100 * share:.2g} % of the seat; {FRETTING}" if share else ""
    return "; ".join(part for part in (told, slips) if part)


def _ratio(fit: FitState, service: ServiceState, hold: Hold) -> np.ndarray:
    """Shear over what is held, (cases + 1, pairs, angles); nothing where the fit all but parts."""
    here = contact(fit, service)
    ratio = service.seat.shear / np.maximum(hold.of(here.total), SMALLEST)
    return np.where(here.firm[:, None], ratio, 0.0)


def _there(fit: FitState, service: ServiceState, spot: Spot, hold: Hold) -> tuple[float, float]:
    """Shear and what is held at a spot of this mesh, MPa."""
    seat, here = service.seat, contact(fit, service)
    angle = int(np.argmin(np.abs(np.degrees(seat.theta) - spot.theta)))
    shear, pressure = (float(np.interp(spot.z, seat.z[here.firm], field[spot.case, here.firm, angle]))
                       for field in (seat.shear, here.total))
    return shear, float(hold.of(np.asarray(pressure)))


def _slipping_share(fit: FitState, service: ServiceState, hold: Hold) -> float:
    held = np.maximum(hold.of(total_pressure(fit, service)), SMALLEST)
    slipping = np.mean(service.seat.shear > held, axis=2)
    return float(np.max(slipping @ service.seat.weight))
