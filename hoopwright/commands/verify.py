"""hoopwright verify RECORD: compute a record again and say what moved."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING, Any

from hoopwright import status

if TYPE_CHECKING:
    from hoopwright.record.verify import Move, Verified

MOST_LINES = 40


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "verify", help="compute a record again and say whether every number still comes out",
        description="Compute everything in a record again from the case file in it, and list what moved. "
                    "A number comes out when it differs by no more than 1e-6 of itself. "
                    "Exit status 0: everything comes out; 1: something moved or a file was changed; 2: no "
                    "record, or one that cannot be read; 3: its case cannot be solved.")
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


def report(found: Verified) -> str:
    """What came out, what moved, what was changed, and with which versions."""
    kept = found.kept
    lines = [f"{kept.folder}: " + (
        f"every one of {found.numbers} numbers comes out." if not found.moves
        else f"{len(found.moves)} of its values do not come out; {found.numbers} numbers were compared.")]
    lines += [_line(move) for move in found.moves[:MOST_LINES]]
    if len(found.moves) > MOST_LINES:
        lines.append(f"  and {len(found.moves) - MOST_LINES} more; --json lists them all")
    if kept.stranger:
        lines.append(f"The case file is not the one it was made from: {kept.case.name}")
    lines += [f"Changed since the record was written: {name}" for name in kept.changed]
    lines += [f"Missing: {name}" for name in kept.missing]
    lines += [f"Made with {name} {then}; this is {now}." for name, then, now in found.other]
    return "\n".join(lines) + "\n"


def _line(move: Move) -> str:
    share = "" if move.relative is None else f"  ({move.relative:+.2e})"
    return f"  {move.path}: record {_shown(move.old)}, now {_shown(move.new)}{share}"


def _shown(value: Any) -> str:
    from hoopwright.case.faults import shortened

    return f"{value:.9g}" if isinstance(value, float) else shortened(str(value), 80)


def _json(found: Verified) -> str:
    kept = found.kept
    return json.dumps({
        "record": str(kept.folder), "holds": found.holds, "numbers": found.numbers,
        "moved": [{"path": m.path, "record": m.old, "now": m.new, "relative": m.relative}
                  for m in found.moves],
        "changed_files": list(kept.changed), "missing_files": list(kept.missing),
        "case_is_another": kept.stranger,
        "made_with_other": [{"name": n, "then": t, "now": w} for n, t, w in found.other],
    }, indent=2, ensure_ascii=False) + "\n"
