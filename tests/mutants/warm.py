"""python -m tests.mutants.warm: run pytest again and again, with what no mutant touches loaded once.

A line of JSON comes in for every run: words for pytest, seconds allowed, and the file for its output. The
status goes out, null where it took too long. Every run is a child of its own.
"""

from __future__ import annotations

import importlib
import json
import os
import signal
import sys
import time

import pytest

LOADED = (
    "hypothesis",
    "pint",
    "tomlkit",
    "scipy.optimize",
    "scipy.stats",
    "hoopwright.fem",
    "hoopwright.loads.cases",
)
MUTATED = ("hoopwright.checks", "hoopwright.measured", "hoopwright.sizing")
POLL_S = 0.05


def main() -> None:
    for name in LOADED:
        importlib.import_module(name)
    for name in [one for one in sys.modules if one.startswith(MUTATED)]:
        raise SystemExit(f"{name} is loaded before it is mutated")
    print(json.dumps(0), flush=True)
    for line in sys.stdin:
        words, seconds, log = json.loads(line)
        print(json.dumps(_status(words, seconds, log)), flush=True)


def _status(words: list[str], seconds: float, log: str) -> int | None:
    child = os.fork()
    if child == 0:
        os.setpgid(0, 0)
        with open(log, "w", encoding="utf-8") as output:
            os.dup2(output.fileno(), 1)
            os.dup2(output.fileno(), 2)
            status = int(pytest.main(words))
            sys.stdout.flush()
            os._exit(status)
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(POLL_S)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None


if __name__ == "__main__":
    main()
