"""The contract of both readers for any bytes: a value, or a CaseError of plain lines."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from hoopwright.case.model import Case
from hoopwright.case.read import read_case
from hoopwright.errors import MAX_LINES, CaseError
from hoopwright.pressing.press_log import PressLog, parse_log

LONGEST_LINE = 600
"""Characters of one error line: the file, the place, the problem and what to write instead."""

_FOLDER = tempfile.TemporaryDirectory(dir="/dev/shm" if os.path.isdir("/dev/shm") else None)
_CASE = Path(_FOLDER.name) / "case.toml"


def case_reader(data: bytes) -> bool:
    """Whether the bytes are a valid case file. Raises if the reader violates its contract."""
    _CASE.write_bytes(data)
    try:
        case = read_case(_CASE)
    except CaseError as error:
        _plain(error, str(_CASE))
        return False
    assert isinstance(case, Case)
    assert case.shell is not None
    assert case.sleeve is not None
    return True


def log_reader(data: bytes) -> bool:
    """Whether the bytes are a valid press log over 73 mm of travel."""
    try:
        log = parse_log(data, file="press.csv", whole_travel=73.0)
    except CaseError as error:
        _plain(error, "press.csv")
        return False
    assert isinstance(log, PressLog)
    read = log.force if log.force is not None else log.gauge
    assert read is not None
    assert len(read) == len(log.travel) >= 3
    assert (log.travel[1:] >= log.travel[:-1]).all()
    return True


def _plain(error: CaseError, file: str) -> None:
    lines = str(error).split("\n")
    assert 1 <= len(lines) <= MAX_LINES + 1
    for line in lines:
        assert line.startswith(file), line
        assert line.isprintable(), line
        assert len(line) <= LONGEST_LINE, line


TARGETS = {"case": case_reader, "log": log_reader}
