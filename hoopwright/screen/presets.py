"""Presets on the screen: what they filled into a case, and the list of all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from hoopwright.case.reader_units import quantity_for
from hoopwright.display.presets import Part, filled_rows, grounds_text
from hoopwright.display.units import Units
from hoopwright.presets import Preset, PresetValue
from hoopwright.screen.wrapping import bullets, paragraph


def preset_lines(part: Part, units: Units) -> list[str]:
    """Every filled value with its preset and what it rests on; none where the case names no preset."""
    if not part["filled"] and not part["notes"]:
        return []
    rows = (f"{preset}: {values} ({grounds})" for preset, values, grounds in filled_rows(part, units))
    return ["", "From presets, since the case does not give it", *bullets([*rows, *part["notes"]])]


def brief_lines(part: Part, *, named_above: bool) -> list[str]:
    """One paragraph that names the presets, unless a verdict above does; then what they found nothing to
    fill in."""
    names = ", ".join(dict.fromkeys(v["preset"] for v in part["filled"]))
    lines = paragraph(f"Values from presets: {names}.") if names and not named_above else []
    lines += bullets(part["notes"])
    return ["", *lines] if lines else []


def listing(presets: Mapping[str, Mapping[str, Preset]], name: str = "") -> str:
    """Text of the presets, 80 columns wide: values in metric and inch units, and what they rest on.

    name: of a kind or of a preset, for these alone; "" for all. "" where there is none of that name.
    """
    shown = [
        preset
        for kind, of_kind in presets.items()
        for preset in of_kind.values()
        if name in ("", kind, preset.name)
    ]
    return "\n".join(line for preset in shown for line in _described(preset))


def _described(preset: Preset) -> Iterator[str]:
    key = "gauge.NAME" if preset.kind == "gauge" else preset.kind
    yield from paragraph(f'{key} = "{preset.name}": {preset.what}')
    groups: dict[tuple[str, str, str], list[PresetValue]] = {}
    for v in preset.values:
        groups.setdefault((v.pair, v.basis, v.source), []).append(v)
    for (pair, basis, source), values in groups.items():
        metals = f"{pair}: " if pair else ""
        yield from bullets([f"{metals}{_values(values)} ({grounds_text(basis, source)})"])
    yield ""


def _values(values: Iterable[PresetValue]) -> str:
    return ", ".join(f"{'.'.join(v.table)}.{v.key} {_both(v.value)}" for v in values)


def _both(value: str | float) -> str:
    other = next((o for s in ("inch", "metric") if (o := quantity_for(value, s)) != value), None)
    return str(value) if other is None else f"{value} ({other})"
