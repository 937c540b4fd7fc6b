"""Read the materials table from table.toml and check every row."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

from hoopwright.materials.model import Material, Provenance
from hoopwright.materials.read_fatigue import sn_curve
from hoopwright.materials.read_stock import (
    heat_shares,
    labelled,
    mean_expansions,
    stock_of,
    stock_strengths,
)

REQUIRED = (
    "young_modulus",
    "poisson_ratio",
    "expansion",
    "yield_strength",
    "ultimate_strength",
    "density",
    "heat_limit",
)


@cache
def table() -> dict[str, Material]:
    """The built-in materials by key, in file order. The dict is cached: do not modify it."""
    text = resources.files("hoopwright.materials").joinpath("table.toml").read_text("utf-8")
    return parse_materials(tomllib.loads(text), where="table.toml")


def parse_materials(data: Mapping[str, Any], *, where: str) -> dict[str, Material]:
    """Materials from a parsed TOML table: `sources` by key, then one mapping per row.

    Raises ValueError naming `where`, the row and the field when a value is missing, has no
    basis or source or is out of range, or when a heat-affected row yields above its parent.
    """
    sources = data["sources"]
    rows = {
        key: _material(row, sources, where=f"{where}: [{key}]")
        for key, row in data.items()
        if key != "sources"
    }
    for key, row in rows.items():
        parent = row.heat_affected_of
        if parent is None:
            continue
        if parent not in rows:
            raise ValueError(f"{where}: [{key}] heat_affected_of: no row {parent!r}")
        if row.yield_strength > rows[parent].yield_strength:
            raise ValueError(f"{where}: [{key}] yields above its parent {parent!r}")
    return rows


def _material(row: Mapping[str, Any], sources: Mapping[str, str], *, where: str) -> Material:
    values: dict[str, Any] = {}
    provenance: list[Provenance] = []
    for field in REQUIRED:
        entry = row.get(field)
        if entry is None:
            raise ValueError(f"{where} {field}: missing")
        values[field] = float(entry["value"])
        provenance.append(_provenance(field, entry, sources, where=where))
    curve = None
    if "fatigue" in row:
        line = _provenance("fatigue", row["fatigue"], sources, where=where)
        provenance.append(line)
        curve = sn_curve(row["fatigue"], line, where=where)
    provenance += [_provenance("note", note, sources, where=where) for note in row.get("notes", ())]
    try:
        return Material(
            name=row["name"],
            condition=row["condition"],
            provenance=tuple(provenance),
            fatigue=curve,
            heat_affected_of=row.get("heat_affected_of"),
            **stock_of(row, where=where),
            **heat_shares(row, sources, where=where),
            strengths=stock_strengths(row, sources, where=where),
            expansions=mean_expansions(row, sources, where=where),
            **values,
        )
    except ValueError as error:
        raise ValueError(f"{where} {error}") from None


def _provenance(
    field: str, entry: Mapping[str, Any], sources: Mapping[str, str], *, where: str
) -> Provenance:
    return Provenance(field, *labelled(entry, sources, where=f"{where} {field}"))
