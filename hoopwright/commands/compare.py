"""hoopwright compare CASE: the routes of a case, or one sleeve in several materials, side by side."""

from __future__ import annotations

import argparse
import difflib
import sys
from typing import TYPE_CHECKING

from hoopwright import status

if TYPE_CHECKING:
    from hoopwright.case.model import Case
    from hoopwright.materials import Material


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "compare",
        help="put the routes of a case, or sleeve materials, side by side",
        description="Judge every [[route]] of the case on the same loads, best first; or, with --sleeves, "
        "the case's own sleeve in each material named.",
    )
    parser.add_argument("case", help="case file (TOML)")
    parser.add_argument(
        "--sleeves",
        nargs="+",
        metavar="MATERIAL",
        help='materials for the sleeve, e.g. --sleeves "E355 steel" "7075-T6"',
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of text")
    parser.add_argument("--figure", metavar="FILE", help="also draw margins by check (png, svg, pdf)")
    parser.add_argument(
        "--units", choices=("metric", "inch"), help="units of the text (default: as the case says)"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.faults import CaseError, Fault
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.sizing.routes import compare_routes, compare_sleeves

    case = read_case(args.case)
    units = Units(args.units or case.units)
    if args.sleeves:
        results = compare_sleeves(case, [_material(case, name) for name in args.sleeves])
    elif case.routes:
        results = compare_routes(case, case.routes)
    else:
        raise CaseError(
            (
                Fault(
                    case.file,
                    "[[route]]",
                    "",
                    "no route to compare",
                    'list routes in the file, or name materials: --sleeves "E355 steel" "7075-T6"',
                ),
            )
        )
    if args.json:
        from hoopwright.document_compare import as_json

        sys.stdout.write(as_json(case, results))
    else:
        from hoopwright.screen_compare import report_routes, report_sleeves

        report = report_sleeves if args.sleeves else report_routes
        sys.stdout.write(report(case, results, units))
    if args.figure:
        from hoopwright.record.figures.compare import figure
        from hoopwright.record.figures.output import save

        save(figure(results, units), args.figure)
    return status.ALL_HOLD if any(r.state == "holds" for r in results) else status.SOME_FAIL


def _material(case: Case, name: str) -> Material:
    """A material of the table, or of the case itself."""
    from hoopwright.case.faults import CaseError, Fault
    from hoopwright.materials import table

    own = {m.name: m for m in (case.sleeve_material, case.shell_material)}
    known = {**table(), **own}
    if name in known:
        return known[name]
    close = difflib.get_close_matches(name[:60], list(table()), n=3, cutoff=0.4)
    advice = "write " + " or ".join(f'"{c}"' for c in close) if close else "run `hoopwright materials`"
    raise CaseError((Fault("--sleeves", "", name[:60], "not a known material", advice),))
