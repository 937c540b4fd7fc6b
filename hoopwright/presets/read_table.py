"""Read the presets from table.toml and check every value."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from typing import Any

from hoopwright.presets.model import BASES, Preset, PresetValue

SOURCED = ("seen", "from memory", "our choice")
"""Bases that need a source or a reason."""


@cache
def table() -> dict[str, dict[str, Preset]]:
    """The presets by kind and name, in file order. The dict is cached: do not modify it."""
    text = resources.files("hoopwright.presets").joinpath("table.toml").read_text("utf-8")
    return parse_presets(tomllib.loads(text), where="table.toml")


def parse_presets(data: Mapping[str, Any], *, where: str) -> dict[str, dict[str, Preset]]:
    """Presets from a parsed TOML table: `sources` by key, then one table per kind.

    Raises ValueError naming `where`, the preset and the key when a value lacks its basis or source.
    """
    sources = data["sources"]
    return {
        kind: {
            name: Preset(
                kind,
                name,
                row["what"],
                tuple(_values(row, sources, where=f"{where}: [{kind}.{name}]")),
                row.get("method", ""),
            )
            for name, row in presets.items()
        }
        for kind, presets in data.items()
        if kind != "sources"
    }


def _values(row: Mapping[str, Any], sources: Mapping[str, str], *, where: str) -> Iterator[PresetValue]:
    tables = {key: part for key, part in row.items() if key not in ("what", "pair", "method")}
    yield from _below(tables, (), sources, "", where)
    for pair, of_pair in row.get("pair", {}).items():
        yield from _below(of_pair, (), sources, pair, where)


def _below(
    part: Mapping[str, Any], path: tuple[str, ...], sources: Mapping[str, str], pair: str, where: str
) -> Iterator[PresetValue]:
    for key, entry in part.items():
        if "value" not in entry:
            yield from _below(entry, (*path, key), sources, pair, where)
            continue
        basis, source = entry.get("basis"), entry.get("source", "")
        if basis not in BASES:
            raise ValueError(f"{where} {key}: basis is not one of {', '.join(BASES)}")
        if basis in SOURCED and not source:
            raise ValueError(f"{where} {key}: no source")
        if source and source not in sources:
            raise ValueError(f"{where} {key}: no source {source!r} in [sources]")
        yield PresetValue(path, key, entry["value"], basis, sources[source] if source else "", pair)
