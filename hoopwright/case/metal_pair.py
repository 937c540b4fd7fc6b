"""The two metals of a joint, and the friction that a preset gives them."""

from __future__ import annotations

from dataclasses import replace

from hoopwright import presets
from hoopwright.case.model import Case
from hoopwright.case.preset_model import FilledValue
from hoopwright.materials import Material, table

STEEL = (7600.0, 8100.0)
ALUMINIUM = (2500.0, 2950.0)
"""Densities of the alloys of the two, kg/m³; from memory, not seen."""
ANY_PAIR = "metals whose friction is not known, the widest range of all"


def metal_pair(shell: Material | None, sleeve: Material | None) -> str:
    """E.g. "steel on wrought aluminium"; "" where either is of another metal, or is not known."""
    metals = [_metal(material) for material in (shell, sleeve)]
    if "" in metals:
        return ""
    if all("aluminium" in metal for metal in metals):
        return "aluminium on aluminium"
    return " on ".join(sorted(metals, key=lambda metal: metal != "steel"))


def _metal(material: Material | None) -> str:
    """A material of the case's own may be cast without saying so; those of the table are wrought."""
    if material is None or material.density is None:
        return ""
    if STEEL[0] <= material.density <= STEEL[1]:
        return "steel"
    if not ALUMINIUM[0] <= material.density <= ALUMINIUM[1]:
        return ""
    if "cast" in f"{material.name} {material.condition}".lower():
        return "cast aluminium"
    return "wrought aluminium" if material in table().values() else "aluminium"


def with_sleeve_of(case: Case, material: Material) -> Case:
    """The case with its sleeve of another material, and the friction of that where a preset gives it."""
    stock = case.sleeve_stock if material == case.sleeve_material else None
    changed = replace(case, sleeve_material=material, sleeve_stock=stock)
    pair = metal_pair(case.shell_material, material)
    filled = tuple(_of_pair(v, pair) if v.pair else v for v in case.presets.filled)
    friction = {v.key: float(v.value) for v in filled if v.pair}
    if not friction:
        return changed
    fit = replace(case.fit, **friction)
    fit = replace(fit, friction_high=max(fit.friction_low, fit.friction_high))
    return replace(changed, fit=fit, presets=replace(case.presets, filled=filled))


def _of_pair(value: FilledValue, pair: str) -> FilledValue:
    """The same value for another pair of metals; for one that is not known, the least friction of all to
    hold and the greatest of all to press against."""
    same_key = [v for v in presets.table()[value.kind][value.name].values if v.key == value.key]
    known = next((v for v in same_key if v.pair == pair), None)
    if known is not None:
        return replace(value, value=known.value, basis=known.basis, source=known.source, pair=pair)
    end = min if value.key == "friction_low" else max
    extreme = end(float(v.value) for v in same_key)
    return replace(value, value=extreme, basis="our choice", source=ANY_PAIR, pair=ANY_PAIR)
