"""hoopwright presets [NAME]: print the presets with the source of every value."""

from __future__ import annotations

import argparse
import sys

from hoopwright import status


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "presets",
        help="list the presets with the source of every value",
        description="List the presets that [preset] in a case may name: what each fills in where the case "
        "gives nothing, with the source of every value.",
    )
    parser.add_argument(
        "name", nargs="?", default="", help="a preset, or a key of [preset]; without it all"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from hoopwright.presets import table
    from hoopwright.screen.presets import listing

    text = listing(table(), args.name)
    if not text:
        known = "; ".join(f"{kind}: {', '.join(of_kind)}" for kind, of_kind in table().items())
        print(f"{args.name}: no such preset; there are {known}", file=sys.stderr)
        return status.BAD_INPUT
    sys.stdout.write(text)
    return status.ALL_HOLD
