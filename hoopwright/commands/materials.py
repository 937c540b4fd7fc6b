"""hoopwright materials: print the materials table with the source of every value."""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from hoopwright import status
from hoopwright.commands.arguments import add_json, print_json
from hoopwright.errors import HoopwrightError

if TYPE_CHECKING:
    from hoopwright.materials import Material


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
    parser.add_argument("--show", metavar="NAME", help="explain this one alone")
    add_json(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.materials import table
    from hoopwright.materials.listing import listing

    own, mark = _own(args.own) if args.own else ({}, "")
    built_in = table()
    if args.show:
        _known(args.show, {**built_in, **own})
        own, built_in = ({k: m for k, m in rows.items() if k == args.show} for rows in (own, built_in))
    if args.json:
        from hoopwright.document.materials import document

        print_json(args, document({**own, **built_in}))
        return status.ALL_HOLD
    texts = [listing(own, mark=mark)] if own else []
    sys.stdout.write("\n".join([*texts, *([listing(built_in)] if built_in else [])]))
    return status.ALL_HOLD


def _own(file: str) -> tuple[dict[str, Material], str]:
    """The materials of a file of the user's own, and how they are marked."""
    from hoopwright.case.own_materials import read_file

    found = read_file(Path(file))
    return {one.name: one for one in found.materials}, f"your own, {found.name}"


def _known(name: str, materials: Mapping[str, Material]) -> None:
    """Raise CaseError for a name that is none of the materials."""
    if name in materials:
        return
    from hoopwright.case.faults import shortened

    near = difflib.get_close_matches(name[:60], materials, n=1, cutoff=0.4)
    advice = f"did you mean {near[0]!r}?" if near else "`hoopwright materials` lists all"
    raise HoopwrightError.at(shortened(name), "no such material", advice)
