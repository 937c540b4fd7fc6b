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
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:  # noqa: ARG001
    from hoopwright.materials.listing import listing

    sys.stdout.write(listing())
    return status.ALL_HOLD
