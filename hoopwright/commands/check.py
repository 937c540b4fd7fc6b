"""hoopwright check CASE: solve the press fit, compare it with Lamé, and print the margins."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from hoopwright.commands.arguments import add_cases, add_json, add_units, print_json

if TYPE_CHECKING:
    from hoopwright.display import Units


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "check",
        help="press the sleeve in and print the stress margins",
        description="Press the sleeve in, compare with Lamé, and print the stress margins.",
    )
    add_cases(parser)
    add_json(parser)
    parser.add_argument("--out", metavar="DIR", help="also write the repair record, a new folder in DIR")
    parser.add_argument(
        "--revolved",
        action="store_true",
        help="with --out: also every load case on the mesh revolved about the axis",
    )
    parser.add_argument(
        "--working",
        metavar="ROW",
        help="show how the margin of a row follows from the inputs, line by line: its name, or all",
    )
    add_units(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright import status
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.document.check import document
    from hoopwright.interface import solving
    from hoopwright.pipeline import check_case
    from hoopwright.record.progress import on_terminal, waiting

    case = read_case(args.case)
    with waiting(f"checking {args.case}"), solving(case.file):
        results = check_case(case)
        shown = document(results)
    units = Units(args.units or case.units)
    if args.json:
        print_json(args, shown)
    else:
        from hoopwright.screen.check import report
        from hoopwright.screen.colour import in_colour

        text = _workings(shown, units, args) if args.working else report(shown, units)
        sys.stdout.write(in_colour(text, shown["verdict"], shown["state"], sys.stdout))
    if args.out:
        from hoopwright.record.files import write_repair_record

        sys.stdout.flush()
        progress = on_terminal()
        try:
            with solving(case.file):
                where = write_repair_record(
                    results, units, args.out, args.case, revolved=args.revolved, progress=progress
                )
        finally:
            progress("")
        print(f"written: {where}", file=sys.stderr)
    return status.BY_STATE[shown["state"]]


def _workings(shown: dict[str, Any], units: Units, args: argparse.Namespace) -> str:
    """The working of a row as text. Raises CaseError for a row that the case does not have."""
    from hoopwright.errors import CaseError, Fault
    from hoopwright.screen.check import rows_named, workings

    rows = rows_named(shown, args.working)
    if not rows:
        names = ", ".join(row["title"] for row in shown["checks"])
        problem, advice = f"no row {args.working!r}", f"write all, or one of: {names}"
        raise CaseError((Fault(args.case, "", "--working", problem, advice),))
    return workings(shown, units, rows)
