"""What became of the mutants, as a table for DEVELOPERS.md."""

from __future__ import annotations

import datetime
import tomllib
from collections.abc import Sequence
from pathlib import Path

from tests.mutants.covered import PACKAGES
from tests.mutants.mutator import Mutant
from tests.mutants.run import Outcome

JUDGED = Path(__file__).with_name("judged.toml")
"""Mutants that no test kills, each judged by hand, with the reason."""


def judged(mutant: Mutant) -> tuple[bool, str]:
    """Whether the mutant does what the code does, and why, or why it may live; "" where none is given."""
    for entry in tomllib.loads(JUDGED.read_text(encoding="utf-8"))["mutant"]:
        agrees = (entry[key] == getattr(mutant, key) for key in ("path", "code", "was", "now"))
        if all(agrees):
            return entry["equivalent"], entry["reason"]
    return False, ""


def markdown(found: Sequence[tuple[Mutant, Outcome]], command: str) -> str:
    lines = [
        "| package | mutants | killed | equivalent | survive | killed of those not equivalent |",
        "|---|---|---|---|---|---|",
    ]
    for package in (*PACKAGES, "all"):
        of_it = [one for one in found if package in ("all", one[0].path.split("/")[1])]
        alive = [mutant for mutant, outcome in of_it if not outcome.killed]
        same = sum(judged(mutant)[0] for mutant in alive)
        killed, survive = len(of_it) - len(alive), len(alive) - same
        share = f"{100.0 * killed / (killed + survive):.0f} %" if killed + survive else "–"
        lines.append(f"| {package} | {len(of_it)} | {killed} | {same} | {survive} | {share} |")
    lines += ["", f"`{command}`, {datetime.date.today().isoformat()}.", ""]
    alive = [mutant for mutant, outcome in found if not outcome.killed]
    alive.sort(key=lambda one: (not judged(one)[0], one.path, one.line))
    lines += [_line(mutant) for mutant in alive]
    return "\n".join(lines)


def plain(number: int, mutant: Mutant, outcome: Outcome) -> str:
    became = f"killed by {outcome.by}" if outcome.killed else f"SURVIVES {outcome.by}"
    return f"{number:3} {mutant.path}:{mutant.line}: {mutant.was}  ->  {mutant.now}\n      {became}"


def _line(mutant: Mutant) -> str:
    same, reason = judged(mutant)
    word = "equivalent" if same else "survives"
    return (
        f"- {word}: `{mutant.path}`, `{mutant.code}`: `{mutant.was}` → `{mutant.now}`: "
        f"{reason or 'not judged'}"
    )
