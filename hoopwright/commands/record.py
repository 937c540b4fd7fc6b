"""hoopwright record CASE --out DIR: check the case and write its record to a new folder."""

from __future__ import annotations

import argparse

from hoopwright import status
from hoopwright.commands.arguments import add_cases, add_units


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "record",
        help="check the case and write the repair record: PDF, JSON, figures, VTU",
        description="Check the case and write one new folder in DIR: record.pdf to print and sign, "
        "results.json, the case file as given, figures, and section.vtu.",
    )
    add_cases(parser)
    parser.add_argument("--out", metavar="DIR", default=".", help="where to put it (default: here)")
    parser.add_argument(
        "--revolved",
        action="store_true",
        help="also every load case on the mesh revolved about the axis (VTU, some MB each)",
    )
    add_units(parser, "pages")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.interface import solving
    from hoopwright.pipeline import check_case
    from hoopwright.record.files import write_repair_record
    from hoopwright.record.progress import on_terminal
    from hoopwright.screen.wrapping import paragraph
    from hoopwright.verdict import verdict, verdict_state

    progress = on_terminal()
    try:
        progress("checking")
        case = read_case(args.case)
        units = Units(args.units or case.units)
        with solving(case.file):
            results = check_case(case)
            where = write_repair_record(
                results, units, args.out, args.case, revolved=args.revolved, progress=progress
            )
    finally:
        progress("")
    print("\n".join(paragraph(verdict(results))))
    print(f"written: {where}")
    return status.BY_STATE[verdict_state(results)]
