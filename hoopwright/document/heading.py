"""What every document begins with, and its text. Imports nothing large: a fault is told at once."""

from __future__ import annotations

import json
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from hoopwright.errors import one_line
from hoopwright.version import VERSION

if TYPE_CHECKING:
    from hoopwright.case.model import Case
    from hoopwright.case.preset_model import FilledValue

SCHEMA_VERSION = 1
"""Raised when a key goes, or comes to mean something else; a new key alone leaves it."""


def tool_part(command: str | None) -> dict[str, Any]:
    """What every document begins with: of which command it is, and by what it was written."""
    return {
        "schema_version": SCHEMA_VERSION,
        "command": command,
        "tool": {"name": "hoopwright", "version": VERSION},
    }


def heading_part(case: Case, command: str) -> dict[str, Any]:
    """The tool with its version, the case with its file, title and checksum, and what presets filled into
    it."""
    return tool_part(command) | {
        "case": {
            "file": one_line(PurePath(case.file).name),
            "title": case.title,
            "sha256": case.sha256,
            "invented": case.invented,
            **_materials_file(case),
        },
        "presets": {"filled": [_filled(v) for v in case.presets.filled], "notes": list(case.presets.notes)},
    }


def _materials_file(case: Case) -> dict[str, Any]:
    """The file of the user's own materials that the case names, where it names one."""
    beside = case.materials_file
    return {} if beside is None else {"materials": {"file": beside.name, "sha256": beside.sha256}}


def _filled(value: FilledValue) -> dict[str, Any]:
    """One value of a preset: where it went, as a case would give it, and what it rests on."""
    return {
        "table": value.heading,
        "key": value.key,
        "value": value.value,
        "preset": value.preset,
        "basis": value.basis,
        "source": value.source,
        "metals": value.pair,
    }


def as_json(document: dict[str, Any], *, on_one_line: bool = False) -> str:
    """A document as JSON text that ends in a newline, indented unless on one line."""
    indent = None if on_one_line else 2
    return json.dumps(document, indent=indent, ensure_ascii=False, allow_nan=False) + "\n"
