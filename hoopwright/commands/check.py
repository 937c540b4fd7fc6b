"""hoopwright check CASE: solve the press fit, compare it with Lamé, and print the margins."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "check",
        help="press the sleeve in and print the stress margins",
        description="Press the sleeve in, compare with Lamé, and print the stress margins.",
    )
    parser.add_argument("case", help="case file (TOML)")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of text")
    parser.add_argument("--out", metavar="DIR", help="also write the repair record, a new folder in DIR")
    parser.add_argument(
        "--revolved",
        action="store_true",
        help="with --out: also every load case on the mesh revolved about the axis",
    )
    parser.add_argument(
        "--units", choices=("metric", "inch"), help="units of the text (default: as the case says)"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.document.check import document
    from hoopwright.document.plain import as_json
    from hoopwright.pipeline import check_case

    results = check_case(read_case(args.case))
    units = Units(args.units or results.case.units)
    shown = document(results)
    if args.json:
        sys.stdout.write(as_json(shown))
    else:
        from hoopwright.screen.check import report

        sys.stdout.write(report(shown, units))
    if args.out:
        from hoopwright.record.files import write_repair_record
        from hoopwright.record.progress import on_terminal

        sys.stdout.flush()
        progress = on_terminal()
        try:
            where = write_repair_record(
                results, units, args.out, args.case, revolved=args.revolved, progress=progress
            )
        finally:
            progress("")
        print(f"written: {where}", file=sys.stderr)
    return status.BY_STATE[shown["state"]]
