"""JSON document of a command that could not do what it was asked for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath
from typing import Any

from hoopwright.document.heading import tool_part
from hoopwright.errors import Fault, one_line


def document(command: str | None, file: str | None, code: int, faults: Sequence[Fault]) -> dict[str, Any]:
    """The faults, and the exit status that goes with them. command: None where none was named; file: of the
    case, None where it did not come to that."""
    return tool_part(command) | {
        "case": None if file is None else {"file": one_line(PurePath(file).name)},
        "status": code,
        "faults": [
            {
                "file": one_line(fault.file),
                "table": one_line(fault.table),
                "key": one_line(fault.key),
                "given": one_line(fault.given),
                "problem": one_line(fault.problem),
                "advice": one_line(fault.advice),
            }
            for fault in faults
        ],
    }
