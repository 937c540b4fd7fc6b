"""hoopwright press CASE: force against travel, gauge, heat and cold, and what the readings say."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status
from hoopwright.commands.arguments import add_cases, add_units


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
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of text")
    parser.add_argument(
        "--figure",
        metavar="FILE",
        type=_figure_name,
        help="also plot force against travel (png, svg or pdf)",
    )
    add_units(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.faults import CaseError, Fault
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.document.plain import as_json
    from hoopwright.document.press import document
    from hoopwright.pressing.plan import press_plan
    from hoopwright.record.progress import waiting

    case = read_case(args.case)
    if args.figure and case.press.slips_in:
        problem = "a sleeve that slips in has no force to draw"
        raise CaseError((Fault(case.file, "[press]", "method", problem, "leave out --figure"),))
    with waiting(f"pressing {args.case}"):
        plan = press_plan(case, past_yield=args.plastic)
    units = Units(args.units or plan.case.units)
    shown = document(plan, units)
    if args.json:
        sys.stdout.write(as_json(shown))
    else:
        from hoopwright.screen.press import report

        sys.stdout.write(report(shown, units))
    sys.stdout.flush()  # whole, whatever becomes of the figure
    if args.figure:
        from hoopwright.record.atomic_write import write_file
        from hoopwright.record.figures.press import figure
        from hoopwright.record.figures.style import rendered

        write_file(args.figure, rendered(figure(plan, units), _kind(args.figure)))
        print(f"written: {args.figure}", file=sys.stderr)
    contradicted = plan.inferred is not None and plan.inferred.contradicted
    return status.SOME_FAIL if contradicted or plan.failing else status.ALL_HOLD


def _figure_name(name: str) -> str:
    """The name of a figure. Raises ArgumentTypeError for a format that cannot be written."""
    if _kind(name) not in ("png", "svg", "pdf"):
        raise argparse.ArgumentTypeError(
            f"{name}: not a figure that can be written; end the name in .png, .svg or .pdf"
        )
    return name


def _kind(name: str) -> str:
    return name.rpartition(".")[2].lower()
