"""hoopwright new: a commented starter case that checks as it is."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "new", help="write a commented starter case file",
        description="Write a commented starter case file that checks as it is.")
    parser.add_argument("file", nargs="?", help="file to write; printed when left out")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.starter import starter_text

    if args.file is None:
        sys.stdout.write(starter_text())
        return status.ALL_HOLD
    from hoopwright.record.folder import write_file
    write_file(args.file, starter_text().encode())
    print(f"written: {args.file}; now run: hoopwright check {args.file}")
    return status.ALL_HOLD
