"""hoopwright press CASE: force against travel, gauge, heat and cold, and what the readings say."""

from __future__ import annotations

import argparse
import sys

from hoopwright.commands.arguments import (
    add_cases,
    add_figure,
    add_json,
    add_units,
    in_units_of_reader,
    print_json,
)


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "press",
        help="what the press should read on the way in, and what its reading says",
        description="Force and gauge against travel, temperatures for a free assembly, and, where the case "
        "holds a reading, the fit it speaks for.",
    )
    add_cases(parser)
    parser.add_argument(
        "--plastic",
        action="store_true",
        help="also press past yield (done anyway where a yield check fails)",
    )
    add_json(parser)
    add_figure(parser, "force against travel")
    add_units(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright import interface
    from hoopwright.display import Units
    from hoopwright.errors import CaseError, Fault
    from hoopwright.record.progress import waiting

    case = in_units_of_reader(interface.read_case(args.case), args)
    if args.figure and case.press.slips_in:
        problem = "a sleeve that slips in has no force to draw"
        raise CaseError((Fault(case.file, "[press]", "method", problem, "leave out --figure"),))
    with waiting(f"pressing {args.case}"):
        found = interface.press(case, past_yield=args.plastic)
    units, shown = Units(args.units or case.units), found.document()
    if args.json:
        print_json(args, shown)
    else:
        from hoopwright.screen.press import report

        sys.stdout.write(report(shown, units))
    sys.stdout.flush()  # whole, whatever becomes of the figure
    if args.figure and found.force_travel is not None:
        from hoopwright.record.figures.press import figure
        from hoopwright.record.figures.save import save

        save(figure(found.force_travel, found.readings, units), args.figure)
        print(f"written: {args.figure}", file=sys.stderr)
    return found.status
