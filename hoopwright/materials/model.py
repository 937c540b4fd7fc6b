"""Material data, each value with its provenance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.materials.stock import StockStrength


@dataclass(frozen=True)
class Provenance:
    """Provenance of one value.

    field: the attribute of Material it belongs to, or "note".
    basis: what kind of value it is, e.g. "minimum", "typical", "minimum, from memory".
    source: the publication, or "common practice, no source".
    """

    field: str
    basis: str
    source: str


@dataclass(frozen=True)
class SNEquation:
    """An equation of life fitted to tests, in the form of MIL-HDBK-5:

        log10 N = a1 - a2 log10(S_eq - a4),   S_eq = S_max (1 - R)^a3

    a1, a2, a3: dimensionless; a4: ksi, as published; S in ksi.
    """

    a1: float
    a2: float
    a3: float
    a4: float


@dataclass(frozen=True)
class SNCurve(SNEquation):
    """A stress–life curve as data: its equation, what was tested, and within which ranges it speaks.

    basis, source: as in Provenance. figure: where it stands in the source. form, surface: of the bars
    tested, unnotched; tested_ultimate, tested_yield: their strengths, MPa, 0 where not known. scatter:
    standard error of log10 life about the equation, 0 where not known. min_stress_ratio, max_stress_ratio:
    range of R in which the equation is used; min_cycles, max_cycles: of life; range_basis: what these
    ranges rest on. fatigue_limit: whether the tests themselves level off. reversed: another equation for
    R = -1, in S_max (a3 is 0), whose scatter is that of the first; None where one equation covers both.
    """

    basis: str
    source: str
    figure: str = ""
    form: str = ""
    surface: str = ""
    tested_ultimate: float = 0.0
    tested_yield: float = 0.0
    scatter: float = 0.0
    min_stress_ratio: float = -1.0
    max_stress_ratio: float = 0.0
    min_cycles: float = 1e4
    max_cycles: float = 1e7
    range_basis: str = ""
    fatigue_limit: bool = False
    reversed: SNEquation | None = None


@dataclass(frozen=True)
class HeatShares:
    """Share of the yield strength at 20 °C by temperature, K above 20 °C, from the least temperature up:
    left for good after half an hour there, or while the metal is that hot; in between on straight lines.
    basis, source: as in Provenance.
    """

    points: tuple[tuple[float, float], ...]
    basis: str
    source: str

    @property
    def ends(self) -> float:
        """The highest temperature with a share, K above 20 °C."""
        return self.points[-1][0]


@dataclass(frozen=True)
class MeanExpansions:
    """Mean coefficient of expansion, 1/K, between 20 °C and a temperature, K above 20 °C, rising; in
    between on straight lines, beyond its ends as there. basis, source: as in Provenance.
    """

    points: tuple[tuple[float, float], ...]
    basis: str
    source: str


@dataclass(frozen=True)
class Material:
    """One row of the table: an alloy in one condition, at 20 °C.

    young_modulus, yield_strength, ultimate_strength: MPa; expansion: 1/K, mean near 20 °C, and
    expansions: mean up to higher temperatures, where known;
    density: kg/m³; these two None where a user's own material leaves them out. fatigue: None where no
    curve is given.
    heat_limit: highest part temperature that costs no strength for good, for minutes to half an hour, as in
    a paint oven, K above 20 °C, or None where not given. reheating: what is left above it, where known.
    hot: strength while hot, where known.
    form, direction, thickness: stock that yield and tensile strength are of, "" and None where not given;
    direction: "along" or "across" the grain, "any" where they are not told apart; thickness: of the wall or
    the bar, mm, above the one to the other. strengths: of other stock.
    heat_affected_of: key of the parent material if this one is its welded, heat-affected state.
    """

    name: str
    condition: str
    young_modulus: float
    poisson_ratio: float
    expansion: float
    yield_strength: float
    ultimate_strength: float | None
    density: float | None
    provenance: tuple[Provenance, ...]
    fatigue: SNCurve | None = None
    heat_limit: float | None = None
    heat_affected_of: str | None = None
    reheating: HeatShares | None = None
    hot: HeatShares | None = None
    form: str = ""
    direction: str = ""
    thickness: tuple[float, float] | None = None
    strengths: tuple[StockStrength, ...] = ()
    expansions: MeanExpansions | None = None

    def __post_init__(self) -> None:
        for field in (
            "young_modulus",
            "expansion",
            "yield_strength",
            "ultimate_strength",
            "density",
        ):
            value = getattr(self, field)
            if value is not None and not 0.0 < value < float("inf"):
                raise ValueError(f"{self.name}: {field} must be positive, got {value}")
        if not 0.0 < self.poisson_ratio < 0.5:
            raise ValueError(
                f"{self.name}: poisson_ratio must lie between 0 and 0.5, got {self.poisson_ratio}"
            )
        if self.ultimate_strength is not None and self.ultimate_strength < self.yield_strength:
            raise ValueError(
                f"{self.name}: ultimate_strength {self.ultimate_strength} MPa is below "
                f"yield_strength {self.yield_strength} MPa"
            )

    def free_strain(self, rise: float) -> float:
        """Free thermal strain from 20 °C to a temperature, K above 20 °C."""
        return self.expansion * self.effective_rise(rise)

    def effective_rise(self, rise: float) -> float:
        """The rise from 20 °C, K, that would give the free strain of another with `expansion`."""
        if self.expansions is None:
            return rise
        rises, means = zip(*self.expansions.points, strict=True)
        return float(rise * np.interp(rise, rises, means) / self.expansion)

    def mean_expansion(self, rise: float, since: float = 0.0) -> float:
        """Mean coefficient of expansion between two temperatures, K above 20 °C, 1/K."""
        if self.expansions is None or rise == since:
            return self.expansion
        return (self.free_strain(rise) - self.free_strain(since)) / (rise - since)

    def source_of(self, field: str) -> Provenance | None:
        """Provenance of one field, or None."""
        return next((line for line in self.provenance if line.field == field), None)
