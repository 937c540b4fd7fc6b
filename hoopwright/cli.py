"""The command: parse, call one function, return a status."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence

from hoopwright import __version__, status
from hoopwright.commands import check, compare, materials, new, press, record, size, verify

COMMANDS = (check, size, press, compare, record, verify, new, materials)

EPILOG = """\
exit status:
  0  every assessed check holds
  1  a check fails or is unresolved
  2  bad input: the case file, or an argument
  3  the model could not be solved, or contradicts the closed form
  4  the output could not be written
An aid to judgement, not an approval; see the cautions it prints.
"""


def build_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hoopwright", epilog=EPILOG, formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Will a sleeve pressed into a thin-walled shell hold? Finite-element stress margins.")
    parser.add_argument("--version", action="version", version=f"hoopwright {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add(commands)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; argv as for the shell. Expected errors become one line and a status; a bug
    keeps its traceback."""
    args = build_parser().parse_args(argv)
    try:
        return args.run(args)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return status.ALL_HOLD
    except KeyboardInterrupt:
        print("stopped; nothing was written", file=sys.stderr)
        return 130
    except Exception as error:
        known = _explained(error, args)
        if known is None:
            raise
        line, code = known
        print(line, file=sys.stderr)
        return code


def _explained(error: Exception, args: argparse.Namespace) -> tuple[str, int] | None:
    """The line and the status for an error that a user can cause; None for a bug.

    The modules that define those errors are imported only now: a run without errors never needs them.
    """
    from fem.errors import MeshError, SolveError
    from hoopwright.case.faults import CaseError
    from hoopwright.record.folder import OutputError
    from hoopwright.record.kept import RecordError

    case = getattr(args, "case", "")
    if isinstance(error, CaseError | RecordError):
        return str(error), status.BAD_INPUT
    if isinstance(error, MeshError):
        return f"{case}: {error}", status.BAD_INPUT
    if isinstance(error, SolveError):
        return f"{case}: not solved: {error}", status.NOT_SOLVED
    if isinstance(error, OutputError):
        return str(error), status.NOT_WRITTEN
    return None


def run_cli() -> None:
    """Entry point of the installed command.

    The matrices here are small, and threads of the matrix library that wait for each other take longer than
    one alone. Read when numpy is first imported.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _take_every_letter(json="--json" in sys.argv)
    sys.exit(main())


def _take_every_letter(*, json: bool) -> None:
    """Write ? where a terminal lacks a letter. json: JSON goes out as UTF-8 whatever the terminal is
    (RFC 8259); a name that is no text still gets a ?."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8" if json else None, errors="replace")
