"""python -m tests.benchmarks: measure, print, and write the table into DEVELOPERS.md."""

from __future__ import annotations

import argparse
import datetime
import importlib
import os
import platform

from tests.benchmarks.measure import ROOT, Row
from tests.benchmarks.table import markdown, plain, put_into

PARTS = ("bearing", "commands", "growth", "solves")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS, metavar="PART",
                        help=f"some of {', '.join(PARTS)}; the table is then left alone")
    parser.add_argument("--times", type=int, default=5, help="runs of each command (default 5)")
    parser.add_argument("--dry", action="store_true", help="leave the table alone")
    given = parser.parse_args()
    found: list[Row] = []
    for part in given.only:
        for row in importlib.import_module(f"tests.benchmarks.{part}").rows(given.times):
            print(plain(row), flush=True)
            found.append(row)
    machine = (f"Medians of {given.times} runs in turn, lowest to highest in brackets; {os.cpu_count()} "
               f"processors ({platform.machine()}), Python {platform.python_version()}, "
               f"{datetime.date.today().isoformat()}.")
    print(machine)
    if not given.dry and set(given.only) == set(PARTS):
        put_into(ROOT / "DEVELOPERS.md", markdown(found, machine))


if __name__ == "__main__":
    main()
