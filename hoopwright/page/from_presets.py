"""What presets fill into a case, whether it can be read or not, and what they would in place of its own."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from hoopwright import presets
from hoopwright.case.faults import Faults
from hoopwright.case.metal_pair import metal_pair
from hoopwright.case.preset_model import FilledValue
from hoopwright.case.read import CASE
from hoopwright.case.table import Table
from hoopwright.case.tables.preset import fill_in
from hoopwright.materials import Material, table
from hoopwright.page.model import Bench
from hoopwright.page.paths import path_to, steps_of, value_at
from hoopwright.presets import Preset, PresetValue


@dataclass(frozen=True)
class Offered:
    """A value that a preset has for a place of the case. preset: in words, e.g. "use city"."""

    preset: str
    value: PresetValue


def filled_values(bench: Bench) -> tuple[FilledValue, ...]:
    """The values that presets fill in; where the case cannot be read, those they would."""
    return bench.case.presets.filled if bench.case is not None else _filled_into(bench.text)


@lru_cache(maxsize=8)
def _filled_into(text: str) -> tuple[FilledValue, ...]:
    try:
        values = tomllib.loads(text)
    except (ValueError, RecursionError):  # that it is not TOML stands among the faults
        return ()
    root = Table(values, "", Faults(""), CASE, materials=table())
    return fill_in(root, copy.deepcopy(values)).presets.filled


def named_presets(tables: Mapping[str, Any]) -> dict[str, str]:
    """Names of the presets that a case takes, by the path of the key that names them."""
    chosen = tables.get("preset")
    found: dict[str, str] = {}
    for kind, name in chosen.items() if isinstance(chosen, Mapping) else ():
        if isinstance(name, Mapping):
            found |= {path_to("preset", kind, gauge): str(preset) for gauge, preset in name.items()}
        else:
            found[path_to("preset", kind)] = str(name)
    return found


def offered_values(bench: Bench) -> dict[str, Offered]:
    """What the named presets have for this case, by path, whether the case takes it or gives its own."""
    pair = pair_of(bench)
    found: dict[str, Offered] = {}
    for path, name in named_presets(bench.tables).items():
        preset = _preset_at(path, name)
        if preset is None:
            continue
        for value in preset.values:
            if value.pair in ("", pair):
                found[place_of(path, value)] = Offered(f"{preset.kind.replace('_', ' ')} {name}", value)
    return found


def place_of(preset_path: str, value: PresetValue) -> str:
    """The path that a value of a preset fills. preset_path: of the key that names the preset."""
    gauge = _gauge_of(preset_path)
    return path_to(*value.table, *([gauge] if gauge else []), value.key)


def pair_of(bench: Bench) -> str:
    """The two metals of the case, as presets name them; "" where they are not known."""
    if bench.case is not None:
        return metal_pair(bench.case.shell_material, bench.case.sleeve_material)
    return metal_pair(
        *(_material(value_at(bench.tables, f"{part}.material")) for part in ("shell", "sleeve"))
    )


def _material(key: Any) -> Material | None:
    return table().get(key) if isinstance(key, str) else None


def _preset_at(path: str, name: str) -> Preset | None:
    kind = "gauge" if _gauge_of(path) else path.removeprefix("preset.")
    return presets.table().get(kind, {}).get(name)


@cache
def _gauge_of(path: str) -> str:
    steps = steps_of(path)
    return str(steps[2]) if len(steps) == 3 else ""
