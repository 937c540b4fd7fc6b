"""hoopwright diff A B: what changed from one repair to another."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status
from hoopwright.commands.arguments import add_json, add_units, print_json


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "diff",
        help="say what changed between two records or cases: inputs, margins, rows, verdict",
        description="Compare two repairs: inputs that changed, margins that moved, rows that are new or "
        "lost, and both verdicts. Each is a record (its folder, or the results.json in it), taken as it "
        "stands, or a case file, which is checked now. Exit status 0: compared, whatever differs; 2: bad "
        "input; 3: a case could not be solved.",
    )
    parser.add_argument("old", metavar="A", help="record or case file")
    parser.add_argument("new", metavar="B", help="record or case file to compare with it")
    add_json(parser)
    add_units(parser, "inputs")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.diff.report import difference
    from hoopwright.diff.sides import read_side
    from hoopwright.display import Units
    from hoopwright.interface import solving
    from hoopwright.record.progress import waiting
    from hoopwright.screen.diff import report

    sides = []
    for name in (args.old, args.new):
        args.case = name
        with waiting(f"reading {name}"), solving(name):
            sides.append(read_side(name))
    a, b = sides
    if args.json:
        print_json(args, difference(a, b, Units(b.units)))
    else:
        sys.stdout.write(report(difference(a, b, Units(args.units or b.units))))
    return status.ALL_HOLD
