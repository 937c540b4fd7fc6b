"""Odd but sound cases run, or are refused in one line; in bounded time and memory, as a whole process."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from extreme_cases import REFUSED, RUN, plain, readings
from strategies import toml

from fem import MeshSizeError, Resolution
from hoopwright import fit, pipeline, status
from hoopwright.case.model import HoldDemand
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.screen.check import WIDTH

ROOT = Path(__file__).parents[1]
MOST_SECONDS = 10.0
"""Of processor time, so that a busy machine does not count; interpreter and imports included."""

MOST_BYTES = 2**30
COUNTED = """
import re, sys, time
from hoopwright.cli import main
code = main(sys.argv[1:])
with open("/proc/self/status") as file:  # ru_maxrss would begin with the peak of the parent
    peak = re.search(r"VmHWM:\\s+([0-9]+) kB", file.read())[1]
print("used", time.process_time(), 1024 * int(peak), file=sys.stderr)
sys.exit(code)
"""

FEW = (
    "shell wall 0.05 mm",
    "Poisson 0.499 both",
    "stiffness 1000 to 1, shell stiff",
    "10 000 readings",
    "40 stepped lands",
    "least interference below zero",
    "hottest fit",
    "shell 2 m long",
)
"""The ones that the default suite runs."""


def checked(document, folder: Path, *words: str) -> tuple[subprocess.CompletedProcess[str], float, float]:
    """The finished process, its processor time in s and its peak memory in bytes."""
    path = folder / "case.toml"
    path.write_text(toml(document), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", COUNTED, *(words or ("check",)), str(path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    *_, last = done.stderr.splitlines()
    _, seconds, memory = last.split()
    return done, float(seconds), float(memory)


@pytest.mark.parametrize(
    "name", [name if name in FEW else pytest.param(name, marks=pytest.mark.slow) for name in RUN]
)
def test_an_extreme_case_runs_or_is_refused_in_one_line_within_bounds(name, tmp_path):
    done, seconds, memory = checked(RUN[name], tmp_path)
    assert "Traceback" not in done.stderr
    assert seconds < MOST_SECONDS
    assert memory < MOST_BYTES
    if done.returncode in (status.ALL_HOLD, status.SOME_FAIL):
        assert max(map(len, done.stdout.splitlines())) <= WIDTH
        assert "nan" not in done.stdout
    else:
        assert done.returncode in (status.BAD_INPUT, status.NOT_SOLVED)
        assert len(done.stderr.splitlines()) == 2  # the line, and what was used


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_a_joint_is_refused_in_one_line(name, tmp_path, capsys):
    document, place = REFUSED[name]
    path = tmp_path / "case.toml"
    path.write_text(toml(document), encoding="utf-8")
    assert main(["check", str(path)]) == status.BAD_INPUT
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"{path}: {place}")


def test_ten_thousand_readings_are_all_taken():
    case = parse_case(toml(plain(shell={"bore_diameter": None, "bore": readings(20, 500)})))
    (land,) = case.shell_measured
    assert sum(len(s.values) for s in land.readings.stations) == 10_000


def pushed_out(results):
    return next(m for m in results.margins if m.id == "pushed_out")


def test_a_mesh_too_large_for_the_memory_is_refused_and_not_reached_by_refining(monkeypatch):
    case = parse_case(toml(plain(mesh={"elements_through_wall": 2})))
    study = fit.FitStudy(case, Resolution(elements_through_wall=2))
    nodes = study.fine.assembly.model.mesh.nodes.shape[1]
    with pytest.raises(MeshSizeError, match="fewer"):
        fit.FitStudy(case, Resolution(elements_through_wall=2), most_nodes=nodes - 1)
    margin = pushed_out(pipeline.check_case(case))
    limit = HoldDemand(axial_force=margin.capacity.value / margin.factor, torque=0.0)
    on_the_edge = replace(case, demand=limit)
    assert pipeline.check_case(on_the_edge).refinements > 0
    monkeypatch.setattr(fit.FitStudy.__init__, "__kwdefaults__", {"most_nodes": nodes})
    results = pipeline.check_case(on_the_edge)
    assert results.refinements == 0
    assert pushed_out(results).state == "unresolved"
