"""Local slip of the joint in service: interface shear of a stuck joint against what friction can hold."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf
from typing import NamedTuple

import numpy as np

from hoopwright.checks.beside_clamp import all_beside_clamp
from hoopwright.checks.compound import credited_shear_at, holding_friction, uncredited_shear_max
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import grip, left_by_proof
from hoopwright.checks.margin import Location, Margin, row_of
from hoopwright.checks.seat_pressure import WHERE_JUDGED, seat_pressure, seat_spot, total_pressure
from hoopwright.checks.service_rows import when_of, where_of
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.display import Units
from hoopwright.estimate import SERVICE, Estimate, from_meshes
from hoopwright.fit import FitSolution
from hoopwright.service.study import ServiceSolution, ServiceStudy, Spot, Superposed

ID, TITLE = "joint_slips", "joint slips locally"
FRETTING = "faces that rub wear and rust (fretting); a cured retaining compound keeps them still"
MIN_SHEAR = 1e-6
"""Shear, MPa, below which nothing slips; it also keeps ratios finite."""


@dataclass(frozen=True)
class ShearCapacity:
    """Shear capacity of the interface: low friction `mu`, and `film`, MPa, of the compound as far as it is
    credited at each place; of the shape of the pressure, or one that broadcasts with it. uncredited_max:
    of friction, MPa, where it is not credited. left: share of all this that a slip at the proof load
    leaves."""

    mu: float
    film: float | np.ndarray
    how: str
    uncredited_max: float = inf
    left: float = 1.0

    def of(self, pressure: np.ndarray) -> np.ndarray:
        """Shear that can be held at a contact pressure, MPa."""
        friction, film = self.mu * np.maximum(pressure, 0.0), np.asarray(self.film)
        together = {"added": friction + film, "greater": np.maximum(friction, film)}
        alone = np.minimum(friction, self.uncredited_max)
        return self.left * np.where(film > 0.0, together.get(self.how, film), alone)


def joint_slips(evidence: Evidence) -> Margin:
    """Interface shear in service at the point nearest to slip, loosest fit, joint stuck."""
    case, service = evidence.case, evidence.study.service
    loaded, hidden = bool(service and service.cases), "seat" in unjudged_under_loads(case)
    if service is None or not loaded or hidden:
        return Margin(
            ID,
            TITLE,
            None,
            None,
            "MPa",
            1.0,
            Location("interface"),
            "shear of the service loads",
            all_beside_clamp("seat") if hidden else "",
            applies=loaded,
        )

    found, spot, shear_capacity = nearest_to_slip(evidence, service)
    finest = found.finest
    shear, held = _shear_and_capacity(evidence, service)
    accepted = case.service is not None and case.service.micro_slip_accepted
    film = (
        f" and {Units().both(float(shear_capacity.film), 'MPa')} of compound ({shear_capacity.how})"
        if np.any(shear_capacity.film)
        else ""
    )
    left = shear_capacity.left
    slipped = f", {100.0 * left:.3g} % of it left by the slip at the load of [proof]" if left < 1.0 else ""
    cell = Margin(
        id=ID,
        title=TITLE,
        demand=shear,
        capacity=None if accepted else held,
        unit="MPa",
        factor=1.0,
        where=where_of(evidence, spot),
        basis=f"shear on a stuck joint against low μ = {shear_capacity.mu:g} times the pressure left there "
        f"at the loosest fit{film}{slipped}, averaged over "
        f"{Units().along_both(finest[1].averaging_length)} along the seat, {WHERE_JUDGED}; "
        "shear left over from pressing is not counted",
        note=_note(
            _slipping_share(*finest, along_seat(evidence, finest[1])), shear.value, held.value, accepted
        ),
        doubt=grip(evidence, evidence.bench).doubt,
        stage="in use",
        when=when_of(found, spot),
    )
    return row_of([cell])


def seat_keeps_still(evidence: Evidence) -> bool:
    """Whether no point of the seat slips under the service loads, without doubt."""
    service = evidence.study.service
    if service is None or not service.cases:
        return True
    shear, held = _shear_and_capacity(evidence, service)
    clear = held.value - shear.value > hypot(held.error, shear.error)
    return clear and not grip(evidence, evidence.bench).doubt


def _shear_and_capacity(evidence: Evidence, service: ServiceStudy) -> tuple[Estimate, Estimate]:
    """Shear and shear capacity at the place nearest to slip, MPa; found once for an interference."""
    case = evidence.case

    def find() -> tuple[Estimate, Estimate]:
        found, spot, capacity = nearest_to_slip(evidence, service)
        values = (_shear_and_capacity_at(*mesh, spot, capacity) for mesh in found.meshes)
        shear, held = (from_meshes(*of_meshes, kind=SERVICE) for of_meshes in zip(*values, strict=True))
        return shear, held

    key = "local slip", evidence.least, evidence.greatest, case.compound, case.fit, case.proof
    return evidence.study.cached(key, find)


class NearestToSlip(NamedTuple):
    """The fit and the place nearest to slip, and the shear capacity there."""

    found: Superposed
    spot: Spot
    capacity: ShearCapacity


def nearest_to_slip(evidence: Evidence, service: ServiceStudy) -> NearestToSlip:
    """Where a stuck joint comes nearest to slip, at the loosest fit."""

    def read(fit: FitSolution, solution: ServiceSolution) -> Spot:
        return seat_spot(shear_over_capacity(fit, solution, along_seat(evidence, solution)), solution)

    fits = evidence.loaded(evidence.least)
    found = service.worst("slip", fits, read, joint_conditions=("stuck",))
    spot = read(*found.finest)
    return NearestToSlip(found, spot, _shear_capacity(evidence, np.asarray(spot.z)))


def _shear_capacity(evidence: Evidence, z: np.ndarray) -> ShearCapacity:
    """The shear capacity at places along the seat, with a film like z, mm."""
    compound = evidence.case.compound
    mu, left = holding_friction(evidence.case), left_by_proof(evidence)
    if compound is None:
        return ShearCapacity(mu, 0.0, "", left=left)
    how = compound.combination or "greater"
    return ShearCapacity(mu, credited_shear_at(evidence, z), how, uncredited_shear_max(compound), left)


def along_seat(evidence: Evidence, service: ServiceSolution) -> ShearCapacity:
    """The shear capacity of all pairs of a mesh, for pressures (cases, pairs, angles)."""
    return _shear_capacity(evidence, service.seat.z[:, None])


def _note(share: float, shear: float, held: float, accepted: bool) -> str:
    """Note on slip and fretting; unit-free, because readers differ in the units they display."""
    part = 100.0 * min(held / max(shear, MIN_SHEAR), 1.0)
    accepted_note = (
        f"accepted in [service] micro_slip; {part:.2g} % of it is held there" if accepted else ""
    )
    slips = f"a stuck joint would slip over {100 * share:.2g} % of the seat; {FRETTING}" if share else ""
    return "; ".join(part for part in (accepted_note, slips) if part)


def shear_over_capacity(
    fit: FitSolution, service: ServiceSolution, shear_capacity: ShearCapacity
) -> np.ndarray:
    """Shear over shear capacity, (instants, pairs, angles); 0 where contact is not judged."""
    pressure = seat_pressure(fit, service)
    ratio = service.seat.shear / np.maximum(shear_capacity.of(pressure.total), MIN_SHEAR)
    return np.where(pressure.judged[:, None], ratio, 0.0)


def _shear_and_capacity_at(
    fit: FitSolution, service: ServiceSolution, spot: Spot, shear_capacity: ShearCapacity
) -> tuple[float, float]:
    """Shear and shear capacity of one mesh at the location of a spot, MPa."""
    shear, pressure = shear_and_pressure_at(fit, service, spot)
    return shear, float(shear_capacity.of(np.asarray(pressure)))


def shear_and_pressure_at(fit: FitSolution, service: ServiceSolution, spot: Spot) -> tuple[float, float]:
    """Shear and contact pressure of one mesh at the location of a spot, MPa."""
    seat, here = service.seat, seat_pressure(fit, service)
    angle = int(np.argmin(np.abs(np.degrees(seat.theta) - spot.theta)))
    instant = service.instants.nearest(spot.instant)
    shear, pressure = (
        float(np.interp(spot.z, seat.z[here.judged], field[instant, here.judged, angle]))
        for field in (seat.shear, here.total)
    )
    return shear, pressure


def _slipping_share(fit: FitSolution, service: ServiceSolution, shear_capacity: ShearCapacity) -> float:
    """Share of the seat that slips in the worst load case."""
    held = np.maximum(shear_capacity.of(total_pressure(fit, service)), MIN_SHEAR)
    slipping = np.mean(service.seat.shear > held, axis=2)
    return float(np.max(slipping @ service.seat.weight))
