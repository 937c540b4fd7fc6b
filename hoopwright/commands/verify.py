"""hoopwright verify RECORD: recompute a record and report every value that differs."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING, Any

from hoopwright import status

if TYPE_CHECKING:
    from hoopwright.record.verify import Mismatch, VerificationResult

MAX_LINES = 40


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "verify",
        help="recompute a record and report whether every number is reproduced",
        description="Recompute everything in a record from the case file in it, and list what differs. "
        "A number is reproduced when it differs by no more than 1e-6 of itself. "
        "Exit status 0: everything is reproduced; 1: a value differs or a file was changed; 2: not a "
        "record, or one that cannot be read; 3: its case cannot be solved.",
    )
    parser.add_argument("record", metavar="RECORD", help="folder of the record")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of text")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from pathlib import Path

    from hoopwright.record.progress import on_terminal
    from hoopwright.record.verify import verify

    args.case = args.record
    progress = on_terminal()
    try:
        found = verify(Path(args.record), progress)
    finally:
        progress("")
    sys.stdout.write(_json(found) if args.json else report(found))
    return status.ALL_HOLD if found.holds else status.SOME_FAIL


def report(found: VerificationResult) -> str:
    """Values that differ, files changed or missing since, and versions that are not those of the record."""
    stored = found.stored
    lines = [
        f"{stored.folder}: "
        + (
            f"all {found.numbers} numbers are reproduced."
            if not found.mismatches
            else f"{len(found.mismatches)} of its values not reproduced; "
            f"{found.numbers} numbers were compared."
        )
    ]
    lines += [_mismatch_line(mismatch) for mismatch in found.mismatches[:MAX_LINES]]
    if len(found.mismatches) > MAX_LINES:
        lines.append(f"  and {len(found.mismatches) - MAX_LINES} more; --json lists them all")
    if stored.case_mismatch:
        lines.append(f"The case file is not the one that the record was made from: {stored.case.name}")
    lines += [f"Changed since the record was written: {name}" for name in stored.changed]
    lines += [f"Missing: {name}" for name in stored.missing]
    lines += [f"Made with {name} {then}; this is {now}." for name, then, now in found.version_changes]
    return "\n".join(lines) + "\n"


def _mismatch_line(mismatch: Mismatch) -> str:
    share = "" if mismatch.relative is None else f"  ({mismatch.relative:+.2e})"
    return f"  {mismatch.path}: record {_value_text(mismatch.old)}, now {_value_text(mismatch.new)}{share}"


def _value_text(value: Any) -> str:
    from hoopwright.case.faults import shortened

    return f"{value:.9g}" if isinstance(value, float) else shortened(str(value), 80)


def _json(found: VerificationResult) -> str:
    stored = found.stored
    return (
        json.dumps(
            {
                "record": str(stored.folder),
                "holds": found.holds,
                "numbers": found.numbers,
                "moved": [
                    {"path": m.path, "record": m.old, "now": m.new, "relative": m.relative}
                    for m in found.mismatches
                ],
                "changed_files": list(stored.changed),
                "missing_files": list(stored.missing),
                "case_is_another": stored.case_mismatch,
                "made_with_other": [{"name": n, "then": t, "now": w} for n, t, w in found.version_changes],
            },
            indent=2,
            ensure_ascii=False,
        )
        + "\n"
    )
