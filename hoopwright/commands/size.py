"""hoopwright size CASE: the size to turn the sleeve to, and its tolerance."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from hoopwright.commands.arguments import (
    add_cases,
    add_figure,
    add_json,
    add_units,
    in_units_of_reader,
    print_json,
)

if TYPE_CHECKING:
    from hoopwright.display import Units
    from hoopwright.sizing.plan import SizePlan

CUT = {None: None, "sleeve": "sleeve", "bore": "shell"}
"""The part that each choice of --cut means."""


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "size",
        help="what to turn the sleeve to, and how close you have to be",
        description="Find the window of interference in which every check holds, and from it the size to "
        "turn the sleeve to (or to bore the shell to) with the gauge at hand. Of parts that are finished: "
        "whether to press them, and the ways out if not.",
    )
    add_cases(parser)
    parser.add_argument(
        "--cut",
        choices=("sleeve", "bore"),
        help="the part that is cut last, to fit the other (default: the one that is not finished, the "
        "sleeve where neither is)",
    )
    add_json(parser)
    add_figure(parser, "margins, window and fit")
    add_figure(parser, "the readings by station and clock angle", option="--readings-figure")
    add_units(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.came_out.answer import came_out
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.interface import sized, solving
    from hoopwright.record.progress import waiting
    from hoopwright.sizing.plan import size_case

    case = in_units_of_reader(read_case(args.case), args)
    units = Units(args.units or case.units)
    with waiting(f"sizing {args.case}"), solving(case.file):
        plan = size_case(case, cut=CUT[args.cut])
        found = sized(plan, came_out(plan, Units(case.units)))
    shown = found.document()
    if args.json:
        print_json(args, shown)
    else:
        from hoopwright.screen.colour import in_colour
        from hoopwright.screen.size import report

        text = report(shown, units)
        sys.stdout.write(in_colour(text, shown["verdict"], shown["state"], sys.stdout))
    sys.stdout.flush()  # whole, whatever becomes of the figure
    if args.figure:
        from hoopwright.record.figures.save import save
        from hoopwright.record.figures.window import figure

        with solving(case.file):
            save(figure(plan, units), args.figure)
    if args.readings_figure:
        _save_readings_figure(plan, units, args.readings_figure)
    return found.status


def _save_readings_figure(plan: SizePlan, units: Units, file: str) -> None:
    from hoopwright.errors import CaseError, Fault
    from hoopwright.record.figures.readings import figure
    from hoopwright.record.figures.save import save

    lands = (*plan.case.shell_measured, *plan.case.sleeve_measured)
    if not lands:
        advice = "list readings under a land, see the README"
        raise CaseError((Fault(plan.case.file, "", "readings", "none to draw", advice),))
    save(figure(lands, units), file)
