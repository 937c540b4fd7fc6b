"""hoopwright keys: list the tables and keys of a case file, or print its JSON Schema."""

from __future__ import annotations

import argparse
import difflib
import sys
from pathlib import Path

from hoopwright import status
from hoopwright.commands.arguments import print_json
from hoopwright.errors import HoopwrightError


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "keys",
        help="list the tables and keys of a case, or print the schema for an editor",
        description="List every table and key of a case with meaning, unit, limits, default and example.",
    )
    parser.add_argument(
        "table", nargs="?", metavar="TABLE", help="one table alone, e.g. press or shell.bore"
    )
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print one JSON document instead of text")
    form.add_argument("--schema", action="store_true", help="print the JSON Schema of a case")
    parser.add_argument(
        "--out", dest="file", metavar="FILE", help="with --schema: write it to this file instead"
    )
    parser.add_argument(
        "--units",
        choices=("metric", "inch"),
        default="metric",
        help="units of the examples (default: metric)",
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.case.faults import shortened
    from hoopwright.case.read import CASE

    wanted = (args.table or "").strip("[]")
    tables = [pair for pair in CASE.walk() if not wanted or f"{pair[0]}.".startswith(f"{wanted}.")]
    if not tables:
        near = difflib.get_close_matches(wanted, [path for path, _ in CASE.walk()], n=1)
        advice = f"did you mean {near[0]}?" if near else "`hoopwright keys` lists all"
        raise HoopwrightError.at(shortened(wanted), "no such table in a case", advice)
    if args.file and not args.schema:
        raise HoopwrightError.at("hoopwright keys", "--out goes with --schema")
    if args.schema:
        if wanted:
            raise HoopwrightError.at(
                "hoopwright keys", "--schema is of the whole case", "leave the table out"
            )
        return _schema(args)
    if args.json:
        from hoopwright.case.listing import listing
        from hoopwright.document.heading import tool_part

        shown = [path for path, _ in tables]
        print_json(args, tool_part("keys") | {"tables": [t for t in listing(CASE) if t["table"] in shown]})
    else:
        from hoopwright.screen.keys import report

        sys.stdout.write(report(tables, args.units))
    return status.ALL_HOLD


def _schema(args: argparse.Namespace) -> int:
    from hoopwright.case.read import CASE
    from hoopwright.case.schema import schema_text

    if not args.file:
        sys.stdout.write(schema_text(CASE))
        return status.ALL_HOLD
    from hoopwright.record.atomic_write import write_file

    write_file(Path(args.file), schema_text(CASE).encode(), overwrite=True)
    print(f"written: {args.file}")
    return status.ALL_HOLD
