"""hoopwright materials: print the materials table with the source of every value."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "materials",
        help="list the materials with the source of every value",
        description="List the materials a case may name, with the source of every value.",
    )
    parser.add_argument(
        "--with",
        dest="own",
        metavar="FILE",
        help="list the materials of this file of your own first, as a case that names it has them",
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.materials.listing import listing

    if args.own:
        from pathlib import Path

        from hoopwright.case.own_materials import read_file

        found = read_file(Path(args.own))
        own = {one.name: one for one in found.materials}
        sys.stdout.write(listing(own, mark=f"your own, {found.name}") + "\n")
    sys.stdout.write(listing())
    return status.ALL_HOLD
