"""python -m tests.mutants: put small faults into the code, see which the tests find, and write the table.

The first run records which tests run which line; that takes as long as the default suite on one
processor. It is used again as long as it lies in the folder; tests written since run besides.
"""

from __future__ import annotations

import argparse
import json
import random
from pathlib import Path

from tests.benchmarks.table import put_into
from tests.mutants import covered, table
from tests.mutants.mutator import Mutant, mutants_of
from tests.mutants.run import Outcome, Runner
from tests.mutants.tree import ROOT, Tree


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants")
    parser.add_argument("--seed", type=int, default=25)
    parser.add_argument("--count", type=int, default=80)
    parser.add_argument("--folder", type=Path, required=True, help="for the copy and the record")
    parser.add_argument("--seconds", type=float, default=120.0, help="of tests for a mutant (default 120)")
    parser.add_argument("--again", action="store_true", help="run only those that survived last time")
    parser.add_argument("--dry", action="store_true", help="leave DEVELOPERS.md alone")
    given = parser.parse_args()
    tree, stored = Tree(given.folder.resolve() / "tree"), given.folder / f"seed-{given.seed}.json"
    tree.copy()
    record = given.folder.resolve() / "record"
    if not (record / "seconds.json").exists():
        covered.record(tree, record)
    runner = Runner(tree, record, covered.read(tree, record), seconds=given.seconds)
    before = json.loads(stored.read_text(encoding="utf-8")) if stored.exists() else {}
    found = []
    for number, mutant in enumerate(sampled(given.seed, given.count), start=1):
        key = f"{mutant.path}:{mutant.line}: {mutant.was} -> {mutant.now}"
        known = before.get(key)
        again = known is None or (given.again and not known[0])
        outcome = runner.outcome(mutant) if again else Outcome(*known)
        before[key] = (outcome.killed, outcome.by)
        stored.write_text(json.dumps(before, indent=1), encoding="utf-8")
        print(table.plain(number, mutant, outcome), flush=True)
        found.append((mutant, outcome))
    command = f"python -m tests.mutants --seed {given.seed} --count {given.count} --folder FOLDER"
    text = table.markdown(found, command)
    print(text)
    if not given.dry:
        put_into(ROOT / "DEVELOPERS.md", "mutants", text)


def sampled(seed: int, count: int) -> list[Mutant]:
    """As many of all mutants as asked for, in the order of the files."""
    every = [
        mutant
        for package in covered.PACKAGES
        for path in sorted((ROOT / "hoopwright" / package).glob("*.py"))
        for mutant in mutants_of(path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8"))
    ]
    numbers = random.Random(seed).sample(range(len(every)), min(count, len(every)))
    return [every[number] for number in sorted(numbers)]


if __name__ == "__main__":
    main()
