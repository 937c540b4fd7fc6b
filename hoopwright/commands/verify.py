"""hoopwright verify RECORD: recompute a record and report every value that differs."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status
from hoopwright.commands.arguments import add_json, print_json


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "verify",
        help="recompute a record and report whether every number is reproduced",
        description="Recompute the results of a record from the case file in it, typeset its pages again, "
        "hold its files against their checksums, and list what differs. "
        "A number is reproduced when it differs by no more than 1e-6 of itself. "
        "Exit status 0: everything is reproduced; 1: a value differs, or a file was changed, is missing, "
        "is not sealed or does not belong; 2: not a record, or one that cannot be read; 3: its case cannot "
        "be solved.",
    )
    parser.add_argument("record", metavar="RECORD", help="folder of the record")
    add_json(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from pathlib import Path

    from hoopwright.interface import solving
    from hoopwright.record.progress import on_terminal
    from hoopwright.record.verify import verify

    progress = on_terminal()
    try:
        with solving(args.record):
            found = verify(Path(args.record), progress)
    finally:
        progress("")
    if args.json:
        from hoopwright.record.verify_document import document

        print_json(args, document(found))
    else:
        from hoopwright.screen.verify import report

        sys.stdout.write(report(found))
    return status.ALL_HOLD if found.holds else status.SOME_FAIL
