"""hoopwright new: write a commented starter case of a piece, or ask for its values one by one."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from hoopwright import status
from hoopwright.starters import PIECES, starter_text


def add(commands: argparse._SubParsersAction) -> None:
    pieces = "; ".join(f"{name}: {what}" for name, what in PIECES.items())
    parser = commands.add_parser(
        "new",
        help="write a commented starter case file, or ask for its values",
        description="Write a commented starter case that checks as it is, and beside it the schema by "
        "which an editor completes and checks it. On a terminal, and without arguments, ask for its "
        f"values one by one. Pieces: {pieces}.",
    )
    parser.add_argument("file", nargs="?", help="file to write; without it the case is printed")
    parser.add_argument("--piece", choices=tuple(PIECES), help="kind of piece (default: crank-shell)")
    parser.add_argument("--units", choices=("metric", "inch"), help="units of its sizes (default: metric)")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    if args.file is None and args.piece is None and args.units is None and _on_terminal():
        return _ask()
    text = starter_text(args.piece or "crank-shell", args.units or "metric")
    if args.file is None:
        sys.stdout.write(text)
        return status.ALL_HOLD
    _write(args.file, text)
    return status.ALL_HOLD


def _on_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _ask() -> int:
    """Ask for a case, write it, and say which faults are left in it."""
    from hoopwright.case.read import parse_case
    from hoopwright.commands.questions import case_from_questions
    from hoopwright.errors import CaseError

    try:
        text = case_from_questions()
        file = _written(text)
    except EOFError:
        raise KeyboardInterrupt from None
    try:
        parse_case(text, file=file)
    except CaseError as error:
        print(f"These do not go together yet; put them right in the file:\n{error}", file=sys.stderr)
        return status.BAD_INPUT
    return status.ALL_HOLD


def _written(text: str) -> str:
    """Ask for the file until it could be written, so that no answer is lost; its name."""
    from prompt_toolkit import prompt

    from hoopwright.errors import OutputError

    while True:
        file = prompt("File to write: ", default="mine.toml").strip()
        try:
            _write(file, text)
        except OutputError as error:
            print(error)
            continue
        return file


def _write(file: str, text: str) -> None:
    from hoopwright.case.schema import LINE
    from hoopwright.record.atomic_write import write_file

    write_file(Path(file), f"{LINE}\n{text}".encode())
    print(f"written: {file}; now run: hoopwright check {file}")
    if Path(file).is_file():
        _write_schema(Path(file).parent)


def _write_schema(folder: Path) -> None:
    """Write what the first line of a case names, so that an editor completes and checks it; a file of that
    name that is not a schema of ours stays, and a case is whole without it."""
    from hoopwright.case.read import CASE
    from hoopwright.case.schema import FILE, TITLE, schema_text
    from hoopwright.record.atomic_write import OutputError, write_file

    beside = folder / FILE
    try:
        if beside.exists() and f'"title": "{TITLE}"' not in beside.read_text("utf-8", "replace"):
            print(f"left as it is, not a schema of a case: {beside}", file=sys.stderr)
            return
        write_file(beside, schema_text(CASE).encode(), overwrite=True)
        print(f"written: {beside}, for an editor that completes and checks the case by it")
    except (OSError, OutputError) as error:
        print(f"no schema for an editor: {error}", file=sys.stderr)
