"""hoopwright compare CASE: compare the routes of a case, or one sleeve in several materials."""

from __future__ import annotations

import argparse
import sys

from hoopwright.commands.arguments import add_cases, add_figure, add_json, add_units, print_json


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "compare",
        help="put the routes of a case, or sleeve materials, side by side",
        description="Judge every [[route]] of the case on the same loads, best first; or, with --sleeves, "
        "the case's own sleeve in each material named.",
    )
    add_cases(parser)
    parser.add_argument(
        "--sleeves",
        nargs="+",
        metavar="MATERIAL",
        help='materials for the sleeve, e.g. --sleeves "E355 steel" "7075-T6"',
    )
    add_json(parser)
    parser.add_argument("--out", metavar="DIR", help="also write a record of it, a new folder in DIR")
    add_figure(parser, "margins by check")
    add_units(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright import interface
    from hoopwright.display import Units
    from hoopwright.record.progress import waiting

    case = interface.read_case(args.case)
    units = Units(args.units or case.units)
    with waiting(f"comparing {args.case}"):
        found = interface.compare(case, args.sleeves or ())
    shown = found.document()
    if args.json:
        print_json(args, shown)
    else:
        from hoopwright.screen.colour import in_colour
        from hoopwright.screen.compare import report_routes, report_sleeves

        text = (report_sleeves if args.sleeves else report_routes)(shown, units)
        sys.stdout.write(in_colour(text, shown["verdict"], shown["state"], sys.stdout))
    sys.stdout.flush()  # whole, whatever becomes of the figure
    if args.figure:
        from hoopwright.record.figures.compare import figure
        from hoopwright.record.figures.save import save

        save(figure(found.routes, units), args.figure)
    if args.out:
        from hoopwright.record.comparison import write_comparison

        where = write_comparison(case, found.routes, units, args.out, args.case, sleeves=args.sleeves)
        print(f"written: {where}", file=sys.stderr)
    return found.status
