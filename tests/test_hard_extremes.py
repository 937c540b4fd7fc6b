"""Odd but valid cases run, or are rejected in one line, in bounded memory, as a whole process."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from extreme_cases import REFUSED, RUN, plain, readings
from strategies import toml

from hoopwright import fit, pipeline, status
from hoopwright.case.model import DemandInput
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.fem import MeshSizeError, Resolution
from hoopwright.screen.wrapping import WIDTH

ROOT = Path(__file__).parents[1]
GIVEN_UP_AFTER = 600.0
"""Seconds after which a run counts as one that never ends; the longest takes about 60 of processor time."""
MAX_BYTES = 2**30
MEASURED = """
import re, sys
from hoopwright.cli import main
code = main(sys.argv[1:])
with open("/proc/self/status") as file:  # ru_maxrss would begin with the peak of the parent
    peak = re.search(r"VmHWM:\\s+([0-9]+) kB", file.read())[1]
print("used", 1024 * int(peak), file=sys.stderr)
sys.exit(code)
"""

FEW = (
    "runout leaves no wall",
    "Poisson 0.499 both",
    "stiffness 1000 to 1, shell stiff",
    "10 000 readings",
    "40 stepped lands",
    "least interference below zero",
    "hottest fit",
    "shell 2 m long",
)
"""Cases that the default suite runs."""


def run_measured(document, folder: Path, *words: str) -> tuple[subprocess.CompletedProcess[str], int]:
    """Run the case; return the finished process and its peak memory in bytes."""
    path = folder / "case.toml"
    path.write_text(toml(document), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, *(words or ("check",)), str(path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=GIVEN_UP_AFTER,
        check=False,
    )
    *_, last = done.stderr.splitlines()
    _, memory = last.split()
    return done, int(memory)


@pytest.mark.parametrize(
    "name", [name if name in FEW else pytest.param(name, marks=pytest.mark.slow) for name in RUN]
)
def test_an_extreme_case_ends_in_bounded_memory_or_is_rejected_in_one_line(name, tmp_path):
    done, memory = run_measured(RUN[name], tmp_path)
    assert "Traceback" not in done.stderr
    assert memory < MAX_BYTES
    if done.returncode in (status.ALL_HOLD, status.SOME_FAIL, status.AS_FAR_AS_JUDGED):
        assert max(map(len, done.stdout.splitlines())) <= WIDTH
        assert "nan" not in done.stdout
    else:
        assert done.returncode in (status.BAD_INPUT, status.NOT_SOLVED)
        assert len(done.stderr.splitlines()) == 2  # the error line, and the resources used


@pytest.mark.parametrize("name", REFUSED)
def test_an_impossible_joint_is_rejected_in_one_line(name, tmp_path, capsys):
    document, place = REFUSED[name]
    path = tmp_path / "case.toml"
    path.write_text(toml(document), encoding="utf-8")
    assert main(["check", str(path)]) == status.BAD_INPUT
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"{path}: {place}")


@pytest.mark.parametrize("words", [(), ("--json",)])
def test_a_shell_without_any_wall_on_its_thin_side_yields(words, tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(toml(RUN["runout leaves no wall"]), encoding="utf-8")
    assert main(["check", str(path), *words]) == status.SOME_FAIL
    out = capsys.readouterr().out
    assert "shell yields" in (json.loads(out)["verdict"] if words else out)


def test_ten_thousand_readings_are_all_read():
    case = parse_case(toml(plain(shell={"bore_diameter": None, "bore": readings(20, 500)})))
    (land,) = case.shell_measured
    assert sum(len(s.values) for s in land.readings.stations) == 10_000


def pushed_out(results):
    return next(m for m in results.margins if m.id == "pushed_out")


def test_a_mesh_too_large_for_memory_is_rejected_and_not_reached_by_refinement(monkeypatch):
    case = parse_case(toml(plain(mesh={"elements_through_wall": 2})))
    study = fit.FitStudy(case, Resolution(elements_through_wall=2))
    nodes = study.fine.meshed_joint.model.mesh.nodes.shape[1]
    with pytest.raises(MeshSizeError, match="fewer"):
        fit.FitStudy(case, Resolution(elements_through_wall=2), max_nodes=nodes - 1)
    margin = pushed_out(pipeline.check_case(case))
    limit = DemandInput(axial_force=margin.capacity.value / margin.factor, torque=0.0)
    on_the_edge = replace(case, demand=limit)
    assert pipeline.check_case(on_the_edge).refinements > 0
    monkeypatch.setattr(pipeline, "MAX_REFINED_NODES", nodes)
    results = pipeline.check_case(on_the_edge)
    assert results.refinements == 0
    assert pushed_out(results).state == "unresolved"
