"""Bounds on memory. Slow: run by `pytest -m slow`."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, seed, settings
from strategies import toml, valid

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[1]
TRIKE = "cases/cargo_trike_crank_shell.toml"
KB_PER_MB = 1024
RANDOM_CASES, FIRST_SEED = 60, 7
STARTER = """
import os, subprocess, sys

command = [sys.executable, "-m", "hoopwright", *sys.argv[1:]]
process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
_, status, usage = os.wait4(process.pid, 0)
print(os.waitstatus_to_exitcode(status), usage.ru_maxrss)
"""
GROWTH = """
import gc, resource, sys
from hoopwright.case.read import read_case
from hoopwright.pipeline import check_case

case = read_case("cases/worn_bearing_housing.toml")
for _ in range(5):
    check_case(case)
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
for _ in range(50):
    check_case(case)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
"""


def peak(*words: str) -> tuple[int, float]:
    """Exit status and greatest memory of a command, MB.

    A process starts with the peak of the one that starts it, so a small one starts this.
    """
    done = subprocess.run(
        [sys.executable, "-c", STARTER, *words], cwd=ROOT, capture_output=True, text=True, check=True
    )
    status, kilobytes = map(int, done.stdout.split())
    return status, kilobytes / KB_PER_MB


def test_a_check_takes_half_a_gigabyte_and_a_comparison_one():
    assert peak("check", TRIKE)[1] < 500.0
    assert peak("compare", TRIKE)[1] < 1000.0


def test_fifty_checks_in_one_process_leave_nothing_behind():
    done = subprocess.run(
        [sys.executable, "-c", GROWTH], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert int(done.stdout) < 20 * KB_PER_MB


def test_random_cases_are_all_solved_in_a_gigabyte(tmp_path):
    found: list[tuple[int, float]] = []

    @seed(FIRST_SEED)
    @settings(
        max_examples=RANDOM_CASES,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(valid())
    def check(document):
        path = tmp_path / "case.toml"
        path.write_text(toml(document), encoding="utf-8")
        found.append(peak("check", str(path)))

    check()
    assert len(found) >= RANDOM_CASES
    assert {status for status, _ in found} <= {0, 1, 5}
    assert max(memory for _, memory in found) < 1000.0
