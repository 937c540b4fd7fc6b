"""Material data, each value with its provenance."""

from __future__ import annotations

from dataclasses import dataclass


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
class SNCurve:
    """A stress–life curve in the form of MIL-HDBK-5, unnotched unless `source` says otherwise.

        log10 N = a1 - a2 log10(S_eq - a4),   S_eq = S_max (1 - R)^a3

    a1, a2, a3: dimensionless; a4: ksi, as published; S in ksi.
    basis, source: as in Provenance.
    min_stress_ratio: lowest stress ratio R of the fitted tests; below it the curve may be unconservative.
    """

    a1: float
    a2: float
    a3: float
    a4: float
    basis: str
    source: str
    min_stress_ratio: float = -1.0


@dataclass(frozen=True)
class Material:
    """One row of the table: an alloy in one condition, at 20 °C.

    young_modulus, yield_strength, ultimate_strength: MPa; expansion: 1/K, mean near 20 °C;
    density: kg/m³; these two None where a user's own material leaves them out. fatigue: None where no
    curve is given.
    heat_limit: highest part temperature the temper withstands for minutes to an hour, as in a
    paint oven, K above 20 °C, or None where not given.
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

    def source_of(self, field: str) -> Provenance | None:
        """Provenance of one field, or None."""
        return next((line for line in self.provenance if line.field == field), None)
