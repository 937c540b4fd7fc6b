"""Time whole processes from outside, in turn so that a busy machine slows all of them alike."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Run:
    """wall: s; peak: MB, largest resident size; output: what it printed as JSON in its last line, or None.

    A process starts with the peak of the one that starts it, so this one imports nothing large.
    """

    wall: float
    peak: float
    output: Any


@dataclass(frozen=True)
class Row:
    """One line of the table. reached, wanted: as a person reads them; holds: None if nothing is wanted."""

    what: str
    reached: str
    wanted: str = ""
    holds: bool | None = None
    how: str = ""


def run(command: Sequence[str], *, may_fail: bool = False) -> Run:
    """Run a command from the root of the project. Raises RuntimeError if it fails."""
    with TemporaryFile() as out, TemporaryFile() as err:
        start = time.perf_counter()
        process = subprocess.Popen(command, cwd=ROOT, stdout=out, stderr=err)
        _, code, used = os.wait4(process.pid, 0)
        wall = time.perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(code)
        out.seek(0)
        err.seek(0)
        text = out.read().decode().strip().splitlines()
        if process.returncode and not may_fail:
            raise RuntimeError(f"{' '.join(command)}: {err.read().decode()[-2000:]}")
    last = text[-1] if text else ""
    return Run(wall, used.ru_maxrss / 1024.0, json.loads(last) if last.startswith("{") else None)


def child(module: str, *arguments: object) -> list[str]:
    """Return the command that runs one module of this suite."""
    return [sys.executable, "-m", f"tests.benchmarks.{module}", *map(str, arguments)]


def in_turn(*commands: Sequence[str], times: int, may_fail: bool = False) -> list[list[Run]]:
    """Run every command `times` times, A B A B …, after one warm-up run of each."""
    for command in commands:
        run(command, may_fail=may_fail)
    found: list[list[Run]] = [[] for _ in commands]
    for _ in range(times):
        for runs, command in zip(found, commands, strict=True):
            runs.append(run(command, may_fail=may_fail))
    return found


def median(values: Sequence[float]) -> float:
    return statistics.median(values)


def ratios(above: Sequence[float], below: Sequence[float]) -> tuple[float, str]:
    """Median of the pairwise ratios, and a text with the median and the range."""
    each = [a / b for a, b in zip(above, below, strict=True)]
    return median(each), f"{median(each):.2f} ({min(each):.2f} to {max(each):.2f})"
