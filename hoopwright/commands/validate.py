"""hoopwright validate: solve the published examples and say how far theirs and ours differ."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status
from hoopwright.commands.arguments import add_json, print_json


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "validate",
        help="solve published examples here and compare with what they print",
        description="Solve the published examples that ship with the tool on this machine, and show "
        "theirs, ours, the difference, the source and how it is known. Exit status 0: all agree within "
        "the tolerance shown; 1: one differs; 3: one could not be solved.",
    )
    add_json(parser)
    parser.add_argument(
        "--units", choices=("metric", "inch"), default="metric", help="units of the text (default: metric)"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.display import Units
    from hoopwright.interface import solving
    from hoopwright.published.examples import solved
    from hoopwright.published.press_forces import implied_friction
    from hoopwright.published.report import validation_document
    from hoopwright.record.progress import waiting
    from hoopwright.screen.validate import report

    args.case = "validate"
    with waiting("solving the published examples"), solving("validate"):
        shown = validation_document(list(solved()), implied_friction())
    if args.json:
        print_json(args, shown)
    else:
        sys.stdout.write(report(shown, Units(args.units)))
    return status.ALL_HOLD if shown["agree"] else status.SOME_FAIL
