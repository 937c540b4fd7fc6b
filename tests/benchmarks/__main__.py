"""python -m tests.benchmarks: measure, print, and write the table into DEVELOPERS.md."""

from __future__ import annotations

import argparse
import datetime
import importlib
import os
import platform

from tests.benchmarks.measure import ROOT, Row
from tests.benchmarks.table import markdown, plain, put_into

PARTS = ("bearing", "commands", "growth", "page", "slider", "solves")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument(
        "--only",
        nargs="+",
        choices=PARTS,
        default=PARTS,
        metavar="PART",
        help=f"some of {', '.join(PARTS)}",
    )
    parser.add_argument("--times", type=int, default=5, help="runs of each command (default 5)")
    parser.add_argument("--dry", action="store_true", help="leave DEVELOPERS.md alone")
    given = parser.parse_args()
    for part in given.only:
        busy = os.getloadavg()[0]
        found: list[Row] = []
        for row in importlib.import_module(f"tests.benchmarks.{part}").rows(given.times):
            print(plain(row), flush=True)
            found.append(row)
        machine = (
            f"Medians of {given.times} runs in turn, lowest to highest in brackets; "
            f"{os.cpu_count()} processors ({platform.machine()}), load {busy:.1f} before, Python "
            f"{platform.python_version()}, {datetime.date.today().isoformat()}."
        )
        print(machine, flush=True)
        if not given.dry:
            put_into(ROOT / "DEVELOPERS.md", f"benchmarks, {part}", markdown(found, machine))


if __name__ == "__main__":
    main()
