"""What the working of every row shares: how it ends, and in words where an input comes from."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.checks.margin import Margin
from hoopwright.interference import measured
from hoopwright.materials import Material, table
from hoopwright.working.sheet import Origin, Sheet

FACTOR_SOURCES = {
    "shell_yields": "yield",
    "sleeve_yields": "yield",
    "ends_crush": "yield",
    "stop_yields": "yield",
    "sleeve_thread_strips": "yield",
    "cup_thread_strips": "yield",
    "sleeve_buckles": "buckling",
    "press_force": "pressing",
    "pushed_out": "holding",
    "turned": "holding",
    "slips_combined": "holding",
    "shell_fatigue_sines": "fatigue",
    "shell_fatigue_walker": "fatigue",
    "sleeve_fatigue_sines": "fatigue",
    "sleeve_fatigue_walker": "fatigue",
}
"""Key of [factors] by row; the others have no factor."""


def closed(sheet: Sheet, row: Margin, demand: str, limit: str) -> None:
    """The last lines: demand, limit and margin of a row by expressions in the symbols above. What the case
    leaves out is left out here."""
    if row.demand is not None:
        sheet.step("demand", demand, row.unit, "what is demanded")
    if row.capacity is not None:
        sheet.step("limit", limit, row.unit, "what it may be")
    if row.demand is None or row.capacity is None or row.demand.value <= 0.0 < row.capacity.value:
        return
    if row.capacity.value <= 0.0:
        return
    counted = "demand"
    if key := FACTOR_SOURCES.get(row.id):
        sheet.case("n", row.factor, "", "factor of safety on the demand", f"[factors] {key}")
        counted = "(n * demand)"
    sheet.step("margin", f"limit / {counted} - 1", "", "margin of safety; zero is the limit")


def size_source(case: Case, part: str, surface: str, index: int) -> str:
    """Where the diameter of a land comes from."""
    if measured(case, part, surface, index) is not None:
        return f"readings of [{part}] {surface}, land {index + 1}"
    keys = {"bore": "bore_diameter", "outside": "outside_diameter"}
    return f"[{part}] {keys[surface]}, land {index + 1}"


def given_property(sheet: Sheet, symbol: str, material: Material, field: str) -> None:
    """A property of a material, with its source and label."""
    meaning, unit = PROPERTIES[field]
    found = material.source_of(field)
    source = f"{found.source}; {found.basis}" if found else "as stated"
    origin: Origin = "table" if material in table().values() else "case"
    of = f"{meaning} of {material.name}, {material.condition}"
    sheet.given(symbol, getattr(material, field), unit, of, origin, source)


def given_expansion(sheet: Sheet, symbol: str, material: Material, rise: float) -> None:
    """The mean expansion of a material from 20 °C to a temperature, K above 20 °C."""
    table_of = material.expansions
    if table_of is None:
        given_property(sheet, symbol, material, "expansion")
        return
    origin: Origin = "table" if material in table().values() else "case"
    of = f"{material.name}, {material.condition}"
    meaning = f"thermal expansion of {of}, mean from 20 to {20.0 + rise:g} °C"
    value = material.mean_expansion(rise)
    sheet.given(symbol, value, "1/K", meaning, origin, f"{table_of.source}; {table_of.basis}")


PROPERTIES = {
    "yield_strength": ("yield strength", "MPa"),
    "ultimate_strength": ("tensile strength", "MPa"),
    "young_modulus": ("Young's modulus", "MPa"),
    "poisson_ratio": ("Poisson's ratio", ""),
    "expansion": ("thermal expansion", "1/K"),
}
"""Properties of a material in words, with their units."""
