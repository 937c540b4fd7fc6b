"""Both readers against arbitrary bytes: a value or plain error lines, quickly and in little memory."""

from __future__ import annotations

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "fuzz"))
import run
from contract import TARGETS
from seeds import SEEDS


@pytest.mark.parametrize("which", TARGETS)
def test_every_fuzzing_seed_satisfies_the_reader_contract(which):
    accepted = [TARGETS[which](data) for data in SEEDS[which]()]
    assert sum(accepted) >= 3


@pytest.mark.parametrize("which", TARGETS)
@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x00",
        b"\xff\xfe",
        b"\n" * 5000,
        b"[" * 5000,
        b"a.b." * 2000,
        b'a = "' + b"x" * 9000,
        b"=",
        b"\xef\xbb\xbf",
        b"travel [mm], force [N]",
        b"travel [mm], force [9**9**9]\n0,0\n1,1\n2,2",
        b"a = 1e999\n",
        b"a = " + b"9" * 9000,
        b"a = 1979-13-99\n",
        b"[a]\n[a]\n",
        b'"" = 1',
        "[\u202e]".encode(),
        b"title = '''\n\x7f'''",
    ],
    ids=range(18),
)
def test_short_and_hostile_inputs_satisfy_the_reader_contract(which, data):
    assert not TARGETS[which](data)


def test_a_violated_contract_is_detected(monkeypatch):
    import contract

    monkeypatch.setattr(contract, "read_case", lambda _: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        contract.case_reader(b"")


@pytest.mark.slow
def test_a_hundred_thousand_fuzzed_inputs_satisfy_the_reader_contract(tmp_path):
    """No traceback, no hang over 2 s, no memory over 1 GB; guided by the branches of the readers."""
    if not os.environ.get("REQUIRE_REFERENCE"):
        pytest.importorskip("atheris", reason="coverage-guided fuzzing: pip install '.[fuzz]'")
    # In a new process: on Linux the peak memory of a command starts at that of its parent.
    with ProcessPoolExecutor(1, get_context("spawn")) as small:
        figures = small.submit(run.fuzz, seconds=90, inputs=100_000, folder=tmp_path).result()
    print(run.table(figures))
    for found in figures:
        assert not found.found, found.found
        assert found.edges > {"case": 900, "log": 100}[found.target]
        assert found.peak_MB < run.MAX_MEMORY_MB
    assert sum(found.inputs for found in figures) >= 100_000
