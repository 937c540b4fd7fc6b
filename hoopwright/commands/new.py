"""hoopwright new: write a commented starter case that runs unchanged."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "new",
        help="write a commented starter case file",
        description="Write a commented starter case file that runs unchanged.",
    )
    parser.add_argument("file", nargs="?", help="file to write; without it the case is printed")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.starter import starter_text

    if args.file is None:
        sys.stdout.write(starter_text())
        return status.ALL_HOLD
    from hoopwright.record.atomic_write import write_file

    write_file(args.file, starter_text().encode())
    print(f"written: {args.file}; now run: hoopwright check {args.file}")
    return status.ALL_HOLD
