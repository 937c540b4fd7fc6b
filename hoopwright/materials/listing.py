"""Print the materials table as text."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from math import inf

from hoopwright.closed_form.fatigue_life import MPA_PER_KSI, sn_strength
from hoopwright.materials.model import HeatShares, Material, SNCurve
from hoopwright.materials.read_table import table
from hoopwright.materials.stock import StockStrength, thickness_text

WIDTH = 80
NOT_GIVEN = "not given"
KG_M3_PER_LB_IN3 = 0.45359237 / 0.0254**3
LABELS = {
    "young_modulus": "E",
    "poisson_ratio": "ν",
    "expansion": "α",
    "yield_strength": "yield",
    "ultimate_strength": "ultimate",
    "density": "density",
    "heat_limit": "heat limit",
    "fatigue": "fatigue",
    "note": "note",
}


def listing(materials: Mapping[str, Material] | None = None, *, mark: str = "") -> str:
    """Text of every material, 80 columns wide: values in metric and inch units, and their sources. mark:
    whose they are, where they are not the tool's own."""
    rows = table() if materials is None else materials
    return "\n\n".join(describe(key, row, mark) for key, row in rows.items()) + "\n"


def describe(key: str, material: Material, mark: str = "") -> str:
    """Text of one material, 80 columns wide."""
    whose = f" ({mark})" if mark else ""
    lines = [*_wrapped(f"{key}{whose}: {material.name}, {material.condition}", indent="")]
    for values in _values(material):
        lines += _wrapped(values, indent="  ")
    for text in _sources(material):
        lines += _wrapped(text, indent="    ")
    return "\n".join(lines)


def _values(material: Material) -> list[str]:
    ksi = 1.0 / MPA_PER_KSI
    lines = [
        f"E {material.young_modulus / 1000.0:.1f} GPa "
        f"({material.young_modulus * ksi / 1000.0:.1f} Msi), ν {material.poisson_ratio:.2f}, "
        f"α {material.expansion * 1e6:.1f}e-6 /K ({material.expansion / 1.8 * 1e6:.1f}e-6 /°F)",
        f"density {_density(material.density)}",
        f"yield {_strength(material.yield_strength)}, ultimate {_strength(material.ultimate_strength)}",
    ]
    if material.form:
        lines.append(f"strengths of {stock_text(material)}")
    lines += [_of_stock(one) for one in material.strengths]
    if material.heat_limit is not None:
        lines.append(f"stands {_degrees(material.heat_limit)} for up to half an hour without loss")
    if material.expansions is not None:
        points = ", ".join(
            f"{1e6 * m:.1f}e-6 /K ({1e6 * m / 1.8:.1f}e-6 /°F) to {_degrees(rise)}"
            for rise, m in material.expansions.points
        )
        lines.append(f"α: {points} ({material.expansions.basis}; {material.expansions.source})")
    if material.reheating is not None:
        lines.append(f"yield left for good after half an hour: {_shares(material.reheating)}")
    if material.hot is not None:
        lines.append(f"yield while hot: {_shares(material.hot)}")
    curve = material.fatigue
    if curve is not None:
        stress = float(sn_strength(cycles=1e6, stress_ratio=0.0, curve=curve))
        lines.append(
            f"fatigue, 1e6 cycles, mean of the tests: S_max (1 - R)^{curve.a3:.2f} = {stress:.0f} MPa "
            f"({stress * ksi:.1f} ksi), used for R {curve.min_stress_ratio:g} to {curve.max_stress_ratio:g}"
        )
        lines += _tests(curve)
    return lines


def _tests(curve: SNCurve) -> list[str]:
    """What was tested, and within which ranges its equation is used."""
    lines = [
        f"tested: {curve.form}, surface {curve.surface}, ultimate {curve.tested_ultimate:.0f} MPa "
        f"({curve.tested_ultimate / MPA_PER_KSI:.1f} ksi); scatter of log10 life {curve.scatter:g}",
        f"used from {curve.min_cycles:.0e} to {curve.max_cycles:.0e} cycles; {curve.range_basis}",
    ]
    if curve.reversed is not None:
        stress = float(sn_strength(cycles=1e6, stress_ratio=-1.0, curve=curve.reversed))
        lines.append(
            f"R = -1 by an equation of its own: {stress:.0f} MPa ({stress / MPA_PER_KSI:.1f} ksi); "
            "no scatter printed, that above borrowed"
        )
    return lines


def stock_text(material: Material) -> str:
    """Stock that the strengths of a row are of, in words."""
    above, to = material.thickness or (0.0, inf)
    way = "" if material.direction == "any" else f", {material.direction} the grain"
    return f"{material.form} {thickness_text(above, to)}{way}"


def _of_stock(one: StockStrength) -> str:
    tensile = "" if one.ultimate_strength is None else f", ultimate {_strength(one.ultimate_strength)}"
    return f"{one.text}: yield {_strength(one.yield_strength)}{tensile} ({one.basis}; {one.source})"


def _shares(shares: HeatShares) -> str:
    points = ", ".join(f"{100.0 * share:.1f} % at {_degrees(rise)}" for rise, share in shares.points)
    return f"{points} ({shares.basis}; {shares.source})"


def _degrees(rise: float) -> str:
    celsius = 20.0 + rise
    return f"{celsius:.0f} °C ({celsius * 1.8 + 32.0:.0f} °F)"


def _strength(value: float | None) -> str:
    return NOT_GIVEN if value is None else f"{value:.0f} MPa ({value / MPA_PER_KSI:.1f} ksi)"


def _density(value: float | None) -> str:
    return NOT_GIVEN if value is None else f"{value:.0f} kg/m³ ({value / KG_M3_PER_LB_IN3:.3f} lb/in³)"


def _sources(material: Material) -> list[str]:
    """One line per basis and source, starting with the values it covers."""
    grouped: dict[tuple[str, str], list[str]] = {}
    for line in material.provenance:
        grouped.setdefault((line.basis, line.source), []).append(LABELS[line.field])
    return [f"{', '.join(fields)}: {basis}; {source}" for (basis, source), fields in grouped.items()]


def _wrapped(text: str, *, indent: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False
    )
