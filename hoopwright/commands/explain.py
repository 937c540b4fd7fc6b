"""hoopwright explain ROW: what a row is about; with --all --out, the manual of all rows."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status
from hoopwright.commands.arguments import add_json, print_json


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "explain",
        help="what a way to fail is about: how it looks, formula, range, limits, sources",
        description="Explain a row of the table of margins: what fails and how it looks in the shop, the "
        "formula, its range, what is left out, sources and tests. Without a row: list them.",
    )
    parser.add_argument("row", nargs="*", metavar="ROW", help="a row, by its title, its name or its words")
    parser.add_argument("--all", action="store_true", help="explain every row")
    add_json(parser)
    parser.add_argument(
        "--out", metavar="FILE", help="with --all: write the manual, a PDF, with the mechanics and a repair"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.document.explain import document
    from hoopwright.explanations import RowNameError, row_named
    from hoopwright.rows.installed import every_explanation
    from hoopwright.screen.explain import listing, report

    wanted = " ".join(args.row)
    if args.out and not args.all:
        raise _fault("--out", "it is for the manual of all rows", "add --all")
    if args.all and wanted:
        raise _fault("--all", f"it stands beside the row {wanted!r}", "leave one of them out")
    if args.out:
        return _write_manual(args)
    every = every_explanation()
    try:
        rows = (row_named(wanted, every),) if wanted else every
    except RowNameError as error:
        raise _fault("explain", error.problem, error.advice) from None
    shown = document(rows)
    if args.json:
        print_json(args, shown)
    else:
        sys.stdout.write((report if wanted or args.all else listing)(shown["rows"]))
    return status.ALL_HOLD


def _write_manual(args: argparse.Namespace) -> int:
    """Write the manual, and say where, on stderr where stdout carries the JSON document."""
    from pathlib import Path

    from hoopwright.document.explain import document
    from hoopwright.errors import OutputError
    from hoopwright.record.atomic_write import write_file
    from hoopwright.record.manual import manual
    from hoopwright.record.progress import waiting
    from hoopwright.rows.installed import every_explanation

    if Path(args.out).suffix.lower() != ".pdf":
        raise OutputError.at(args.out, "the manual is a PDF", "end the name in .pdf")
    with waiting("working the repair of the manual"):
        made = manual()
    where = write_file(Path(args.out), made)
    if args.json:
        print_json(args, document(every_explanation()))
    print(f"written: {where}", file=sys.stderr)
    return status.ALL_HOLD


def _fault(key: str, problem: str, advice: str) -> Exception:
    from hoopwright.errors import CaseError, Fault

    return CaseError((Fault("", "", key, problem, advice),))
