"""Shell and sleeve: sizes, materials, and the sources of their properties."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.record.pages.blocks import Block, bullets, facts, heading, keep_together, table, two_columns

PROPERTIES = (
    ("Young's modulus", "young_modulus_MPa", "MPa"),
    ("Poisson's ratio", "poisson_ratio", ""),
    ("expansion", "expansion_per_K", "/K"),
    ("yield strength", "yield_strength_MPa", "MPa"),
    ("tensile strength", "ultimate_strength_MPa", "MPa"),
    ("density", "density_kg_m3", "kg/m³"),
)
BODIES = ("shell", "sleeve")
YIELD = [field for _, field, _ in PROPERTIES].index("yield_strength_MPa")
NAMES = {field: name for name, field, _ in PROPERTIES}


def bodies(d: dict[str, Any], units: Units) -> list[Block]:
    shell, sleeve = d["bodies"]["shell"], d["bodies"]["sleeve"]
    limit, closure = shell["least_wall_mm"], sleeve["most_bore_closure_um"]
    left = [
        ("material", _named(d, "shell")),
        ("width", units.text(shell["width_mm"], "mm")),
        *_lands("outside", shell["outside"], units),
        *_lands("bore", shell["bore"], units),
        ("runout", units.text(shell["runout_mm"], "mm")),
        ("least wall required", "" if limit is None else units.text(limit, "mm")),
    ]
    right = [
        ("material", _named(d, "sleeve")),
        ("length", units.text(sleeve["length_mm"], "mm")),
        *_lands("outside", sleeve["outside"], units),
        *_zones(sleeve["bore"], units),
        ("chamfers", _chamfers(sleeve, units)),
        ("pushed home against", _stop(sleeve, units)),
        ("place", _proud(shell, sleeve, units)),
        ("faced off after pressing", _faced_off(sleeve, units)),
        ("bore closure allowed", "" if closure is None else units.text(closure, "um")),
    ]
    return [two_columns([heading("Shell"), facts(left)], [heading("Sleeve"), facts(right)])]


def _named(d: dict[str, Any], body: str) -> str:
    material = d["materials"][body]
    return ", ".join(part for part in (material["name"], material["condition"]) if part)


def _lands(surface: str, lands: list[dict[str, Any]], units: Units) -> list[tuple[str, str]]:
    return [
        (surface if len(lands) == 1 else f"{surface}, {_stretch(land, units)}", _land(land, units))
        for land in lands
    ]


def _land(land: dict[str, Any], units: Units) -> str:
    start, end = land["diameter_start_mm"], land["diameter_end_mm"]
    size = units.text(start, "mm") if start == end else units.span(start, end, "mm")
    sure = f" ± {units.text(land['plus_minus_um'], 'um')}" if land["plus_minus_um"] else ""
    return f"Ø {size}{sure}" + (", read" if land["from_readings"] else "")


def _stretch(part: dict[str, Any], units: Units) -> str:
    return f"z {units.along_span(part['z_start_mm'], part['z_end_mm'])}"


def _zones(zones: list[dict[str, Any]], units: Units) -> list[tuple[str, str]]:
    return [
        (
            "bore" if len(zones) == 1 else f"bore, {_stretch(z, units)}",
            f"Ø {units.text(z['diameter_mm'], 'mm')}"
            + (f", thread {z['thread']}" if z["thread"] else "")
            + _pressed_with(z, units),
        )
        for z in zones
    ]


def _pressed_with(zone: dict[str, Any], units: Units) -> str:
    """What a zone is bored to when it is pressed in, if it is cut afterwards; "" else."""
    before = zone["pressed_with_mm"]
    if before == zone["diameter_mm"]:
        return ""
    return f", cut after pressing from Ø {units.text(before, 'mm')}"


def _chamfers(sleeve: dict[str, Any], units: Units) -> str:
    sides = [
        f"{side} {units.text(sleeve[f'chamfer_{side}_mm'], 'mm')}"
        + ("" if (angle := sleeve[f"chamfer_{side}_angle_deg"]) is None else f" × {angle:g}°")
        for side in ("left", "right")
        if sleeve[f"chamfer_{side}_mm"]
    ]
    return ", ".join(sides)


def _stop(sleeve: dict[str, Any], units: Units) -> str:
    """What the sleeve is pushed home against, with the size of a flange."""
    if sleeve["flange_diameter_mm"] is None:
        return sleeve["stop"] or ""
    size = (units.text(sleeve[f"flange_{key}_mm"], "mm") for key in ("diameter", "thickness"))
    return "{}, Ø {}, {} thick".format(sleeve["stop"], *size)


def _faced_off(sleeve: dict[str, Any], units: Units) -> str:
    """What comes off the ends once the sleeve is pressed in, and its length before; "" without."""
    faced = {side: sleeve[f"faced_{side}_mm"] for side in ("left", "right") if sleeve[f"faced_{side}_mm"]}
    if not faced:
        return ""
    pressed = units.text(sleeve["length_mm"] + sum(faced.values()), "mm")
    off = ", ".join(f"{side} {units.text(length, 'mm')}" for side, length in faced.items())
    return f"{off}; {pressed} long as pressed"


def _proud(shell: dict[str, Any], sleeve: dict[str, Any], units: Units) -> str:
    """Where a sleeve lies that reaches beyond the shell; "" where it does not."""
    start, end = sleeve["z_start_mm"], sleeve["z_end_mm"]
    if start > -END_TOLERANCE and end < shell["width_mm"] + END_TOLERANCE:
        return ""
    return f"z {units.along_span(start, end)}, beyond the shell"


def materials(d: dict[str, Any], units: Units) -> list[Block]:
    both = d["materials"]["shell"], d["materials"]["sleeve"]
    rows = [(name, *(_value(m[field], unit, units) for m in both)) for name, field, unit in PROPERTIES]
    judged = [_value(m["stock"]["yield_strength_MPa"], "MPa", units) for m in both]
    rows.insert(YIELD + 1, ("yield that is judged", *judged))
    stocks = [
        f"{part}: {told}." for part, m in zip(BODIES, both, strict=True) if (told := _stock(m, units))
    ]
    return [
        keep_together(
            two_columns(
                [heading("Materials"), table(["", "shell", "sleeve"], rows)],
                [
                    heading("Sources of their values"),
                    bullets(
                        [
                            f"{part}: {m['name']}. {_sources(m)}."
                            for part, m in zip(BODIES, both, strict=True)
                        ]
                        + stocks,
                        small=True,
                    ),
                ],
            )
        )
    ]


def _stock(material: dict[str, Any], units: Units) -> str:
    """What stock a body is judged by, and its zones of another strength; "" where none is told."""
    stock = material["stock"]
    of_stock = ", ".join(part for part in (stock["words"], stock["basis"], stock["source"]) if part)
    zones = [
        f"{_stretch(zone, units)} {zone['material']}, {_value(zone['yield_strength_MPa'], 'MPa', units)}"
        for zone in stock["zones"]
    ]
    judged = [f"yield that is judged: {of_stock}"] if stock["words"] else []
    return "; ".join((*judged, *zones))


def _value(value: float | None, unit: str, units: Units) -> str:
    if value is None:
        return "not given"
    if unit == "MPa":
        return units.text(value, "MPa", decimals=0 if units.system == "metric" else 1)
    if unit == "/K":
        return units.expansion(value)
    if unit == "kg/m³":
        return units.density(value)
    return f"{value:g} {unit}".strip()


def _sources(material: dict[str, Any]) -> str:
    """Sources as one text; properties that share a source are named together."""
    grouped: dict[tuple[str, str], list[str]] = {}
    for line in material["sources"]:
        name = NAMES.get(line["of"], line["of"].replace("_", " "))
        grouped.setdefault((line["source"], line["basis"]), []).append(name)
    return "; ".join(
        f"{', '.join(names)}: {source} ({basis})" for (source, basis), names in grouped.items()
    )
