"""Yield strength of a body at a place, in a direction, at a temperature, after what it has gone through."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case, StrengthZone
from hoopwright.display import Units
from hoopwright.materials import Material
from hoopwright.strength.by_stock import Direction, OfStock, of_stock
from hoopwright.strength.history import Share, left_for_good, while_hot

AT_ENDS = 1e-6
"""mm by which a zone reaches over its ends: at a border the weaker of both counts."""


@dataclass(frozen=True)
class Allowable:
    """What a metal stands, MPa, and what that is made of.

    material: of the place. at_bench: strength of its stock at 20 °C, before any heat. left, hot: shares
    for good and while hot. zone: in words, "" where the body has one strength.
    """

    material: Material
    at_bench: OfStock
    left: Share
    hot: Share
    zone: str = ""

    @property
    def value(self) -> float:
        """MPa."""
        return self.at_bench.value * self.left.value * self.hot.value

    @property
    def tensile(self) -> float | None:
        """Tensile strength of the stock at 20 °C before any heat, MPa; where none is given of that stock,
        that of the row by the ratio of the yields, our choice; None where the row has none."""
        row, stock = self.material, self.at_bench
        if stock.tensile is not None or row.ultimate_strength is None:
            return stock.tensile
        return row.ultimate_strength * min(stock.value / row.yield_strength, 1.0)

    @property
    def doubt(self) -> str:
        """Why the value may not be relied on, "" for no reason."""
        return self.left.doubt or self.hot.doubt or self.at_bench.doubt

    @property
    def text(self) -> str:
        """The metal, its stock, what heat took, and where the strength comes from, in words."""
        stock, source = self.at_bench, self.at_bench.source
        parts = [f"yield of {self.material.name} ({self.material.condition})", self.zone, stock.words]
        parts += [f"times {s.value:.3f} {s.cause}" for s in (self.left, self.hot) if s.cause]
        told = ", ".join(part for part in parts if part)
        return told + (f": {stock.basis}, {source}" if source else "")


def allowable(
    case: Case, body: str, stage: str, *, z: float | None, direction: Direction, rise: float | None
) -> Allowable:
    """What a body stands in a stage. z: place along the shell, mm, None for the weakest place. direction:
    of the stress. rise: temperature, K above 20 °C, None for that of the bench."""
    at = case.press.temperature_rise_K if rise is None else rise
    places = [None, *zones_of(case, body)] if z is None else _at(case, body, z)
    return min((_of(case, body, stage, zone, direction, at) for zone in places), key=lambda a: a.value)


def judged_by(case: Case, body: str, zone: StrengthZone | None = None) -> Allowable:
    """What the metal of a body stands as it is put in, in a zone or in the rest of it, on the bench."""
    return _of(case, body, "entering", zone, "any", case.press.temperature_rise_K)


def at_its_hottest_in_use(case: Case, body: str, zone: StrengthZone | None = None) -> Allowable:
    """What a body stands at the highest temperature in use, in a zone or in the rest of it."""
    bench, temperatures = case.press.temperature_rise_K, case.temperatures
    rise = bench if temperatures is None else max(bench, temperatures.use_max)
    return _of(case, body, "in use", zone, "any", rise)


def allowable_of_cup(case: Case, material: Material, stage: str, rise: float) -> Allowable:
    """What the metal of a cup stands in a stage at a temperature, K above 20 °C: the strength of its row,
    less what the heat of use takes of it."""
    return Allowable(
        material,
        of_stock(material, None, "any", 0.0),
        left_for_good(case, "cup", stage, material),
        while_hot(case, "cup", stage, material, rise),
    )


def least_allowable(case: Case, body: str, stage: str, direction: Direction = "any") -> float:
    """What the weakest place of a body stands on the bench, MPa."""
    return allowable(case, body, stage, z=None, direction=direction, rise=None).value


def referred(case: Case, body: str, stage: str, z: np.ndarray, rise: float) -> np.ndarray | float:
    """Factor on the stress of a body along z that makes it one in metal of the body's own strength, at
    20 °C and before any heat: where the product is greatest, the margin is least. Exactly 1 where nothing
    lowers or raises that strength."""
    own = own_strength(case, body)
    if not zones_of(case, body):
        return own / _of(case, body, stage, None, "any", rise).value
    return own / least_of_zones(case, body, z, lambda zone: _of(case, body, stage, zone, "any", rise).value)


def least_of_zones(
    case: Case, body: str, z: np.ndarray, value_of: Callable[[StrengthZone | None], float]
) -> np.ndarray:
    """The least value at places along a body, of the zones that reach there. value_of: takes a zone, or
    None for the rest of the body."""
    of_zone = {zone: value_of(zone) for zone in (None, *zones_of(case, body))}
    return np.array([min(of_zone[zone] for zone in _at(case, body, float(at))) for at in z.flat]).reshape(
        z.shape
    )


def own_strength(case: Case, body: str) -> float:
    """Strength of the metal that [shell] or [sleeve] names, of its stock, at 20 °C, MPa."""
    return _stock_strength(case, body, None, "any").value


def _of(
    case: Case, body: str, stage: str, zone: StrengthZone | None, direction: Direction, rise: float
) -> Allowable:
    material = material_of(case, body) if zone is None else zone.material
    words = "" if zone is None else _zone_text(zone)
    return Allowable(
        material,
        _stock_strength(case, body, zone, direction),
        left_for_good(case, body, stage, material),
        while_hot(case, body, stage, material, rise),
        words or ("outside the zones of strength" if zones_of(case, body) else ""),
    )


def _zone_text(zone: StrengthZone) -> str:
    """A zone in words, in units of both trades."""
    metric, inch = (Units(system).along_span(zone.z_start, zone.z_end) for system in ("metric", "inch"))
    return f"zone z {metric} ({inch})"


def _stock_strength(case: Case, body: str, zone: StrengthZone | None, direction: Direction) -> OfStock:
    stock = case.shell_stock if body == "shell" else case.sleeve_stock
    material = material_of(case, body) if zone is None else zone.material
    return of_stock(material, stock, direction, greatest_wall(case, body))


def material_of(case: Case, body: str) -> Material:
    """The metal that [shell] or [sleeve] names."""
    return case.shell_material if body == "shell" else case.sleeve_material


def greatest_wall(case: Case, body: str) -> float:
    """Half the greatest outside less the least bore of a body, mm: its stock is at least as thick."""
    lands = case.shell.outside if body == "shell" else case.sleeve.blank.whole_outside
    outside = max(max(land.diameter_start, land.diameter_end) for land in lands)
    if body == "shell":
        bore = min(min(land.diameter_start, land.diameter_end) for land in case.shell.bore)
    else:
        bore = min(zone.diameter for zone in case.sleeve.blank.bore)
    return 0.5 * (outside - bore)


def zones_of(case: Case, body: str) -> tuple[StrengthZone, ...]:
    """Where the strength of a body differs from that of the rest of it."""
    return case.shell_strength if body == "shell" else ()


def _at(case: Case, body: str, z: float) -> list[StrengthZone | None]:
    """The zones at a place: both of them at a border, None for the rest of the body."""
    inside = [one for one in zones_of(case, body) if one.z_start - AT_ENDS <= z <= one.z_end + AT_ENDS]
    covered = any(one.z_start + AT_ENDS < z < one.z_end - AT_ENDS for one in inside)
    meets = len(inside) > 1
    ends = z <= AT_ENDS or z >= case.shell.width - AT_ENDS
    return [*inside, *([] if inside and (covered or meets or ends) else [None])]
