"""hoopwright page FOLDER: serve the bench page of the case files in a folder, for a browser."""

from __future__ import annotations

import argparse
from importlib.util import find_spec
from pathlib import Path

from hoopwright.errors import CaseError

NEEDED = ("starlette", "uvicorn", "jinja2", "segno")
"""Packages of the extra [page]."""


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "page",
        help="open the page in a browser: from an empty folder to a verdict, drawn",
        description="Serve the bench page of the case files in a folder, on this machine alone, and open "
        'it in a browser. It needs a few packages more: pip install "hoopwright[page]".',
    )
    parser.add_argument("folder", nargs="?", default=".", metavar="FOLDER", help="(default: here)")
    parser.add_argument(
        "--host",
        default="",
        metavar="H",
        help="serve other machines too, on this address of yours (0.0.0.0: on all); the address that is "
        "printed carries a token and is a QR code for a phone too: whoever has it can change the files "
        "(default: this machine alone)",
    )
    parser.add_argument(
        "--port", type=_port, metavar="P", help="0 for any that is free (default: the usual one, if free)"
    )
    parser.add_argument("--no-open", action="store_true", help="print the address, open no browser")
    parser.set_defaults(run=run)


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or int(text[:6]) > 65535:
        raise argparse.ArgumentTypeError(f"{text}: not a port; write a number from 0 to 65535")
    return int(text)


def run(args: argparse.Namespace) -> int:
    if missing := [name for name in NEEDED if find_spec(name) is None]:
        problem = f"the page needs packages that are not installed ({', '.join(missing)})"
        raise CaseError.at("", problem, 'run: pip install "hoopwright[page]"')
    from hoopwright.page.serve import serve

    return serve(Path(args.folder), host=args.host, port=args.port, opens=not args.no_open)
