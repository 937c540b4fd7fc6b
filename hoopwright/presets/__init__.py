"""Presets: named sets of values, each with its basis and source, for a case that gives none of its own."""

from hoopwright.presets.model import Preset, PresetValue
from hoopwright.presets.read_table import parse_presets, table

__all__ = ["Preset", "PresetValue", "parse_presets", "table"]
