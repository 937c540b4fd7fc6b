"""hoopwright sheet CASE: the shop sheet, one page for the bench."""

from __future__ import annotations

import argparse
import sys

from hoopwright.commands.arguments import add_cases, add_json, add_units, in_units_of_reader, print_json


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "sheet",
        help="the shop sheet on one page: order of work, sizes, cells for readings, stop lines, proof",
        description="Check the case and write its shop sheet, a PDF of one page: what to bore, read, turn "
        "and press, in that order, with sizes at the temperature of the shop, where to stop, and how to "
        "prove the joint. --json prints all of it instead, and how to take a failed sleeve out again.",
    )
    add_cases(parser)
    parser.add_argument(
        "--out",
        dest="folder",
        metavar="DIR",
        default=".",
        help="where to put it, as CASE-sheet-001.pdf (default: here)",
    )
    parser.add_argument(
        "--paper", choices=("A4", "letter"), help="size of the page (default: by the case and the units)"
    )
    add_json(parser)
    add_units(parser, "page")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.interface import read_case, sheet
    from hoopwright.record.progress import waiting

    case = in_units_of_reader(read_case(args.case), args)
    with waiting(f"sheet of {args.case}"):
        found = sheet(case)
    if args.json:
        print_json(args, found.document())
        return found.status
    where = found.write(args.folder, paper=args.paper)
    print(found.verdict)
    print(f"written: {where}")
    sys.stdout.flush()
    return found.status
