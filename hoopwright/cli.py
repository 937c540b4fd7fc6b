"""Command line: parse the arguments, run one command, return its exit status."""

from __future__ import annotations

import argparse
import errno
import io
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext, redirect_stdout

from hoopwright import __version__, address_space, status
from hoopwright.commands import (
    check,
    compare,
    keys,
    materials,
    new,
    presets,
    press,
    record,
    size,
    verify,
)
from hoopwright.commands.arguments import Completion, clash

COMMANDS = (check, size, press, compare, record, verify, new, materials, presets, keys)

DISK_FAULTS = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO)
EPILOG = """\
exit status:
  0  holds: all ways to fail were judged and hold
  1  one of them fails, or is undecided
  2  bad input: the case file, or an argument
  3  the model could not be solved, for want of memory too, or contradicts the closed form
  4  the output could not be written
  5  holds as far as judged: something that is needed was left out
141  whoever reads the output stopped reading
An aid to judgement, not an approval; see the cautions it prints.
"""


def build_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hoopwright",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Will a sleeve pressed into a thin-walled shell hold? Finite-element stress margins.",
    )
    parser.add_argument("--version", action="version", version=f"hoopwright {__version__}")
    parser.add_argument(
        "--completion",
        choices=("bash", "zsh", "tcsh", "fish"),
        action=Completion,
        help="print what completes commands and files in a shell, and exit",
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add(commands)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command, on one case or several, and return its exit status."""
    try:
        return _main(argv)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return status.PIPE_CLOSED
    except KeyboardInterrupt:
        print("stopped; nothing was written", file=sys.stderr)
        return 130


def _main(argv: Sequence[str] | None) -> int:
    parser = build_parser()
    args = parser.parse_args(argv)
    if not hasattr(args, "cases"):
        return _run(args)
    if problem := clash(args):
        parser.error(problem)
    codes: list[int] = []
    with _silenced() if args.quiet else nullcontext():
        for case in args.cases:
            if codes and not args.quiet:
                print()
            args.case = case
            codes.append(_run(args))
    return min(codes, key=status.WORST_FIRST.index)


@contextmanager
def _silenced() -> Iterator[None]:
    with open(os.devnull, "w", encoding="utf-8") as nothing, redirect_stdout(nothing):
        yield


def _run(args: argparse.Namespace) -> int:
    """Run the command on one case. Expected errors become one line on stderr; a bug keeps its traceback."""
    try:
        if args.run not in (new.run, materials.run, presets.run, keys.run):
            address_space.require_least()
        code: int = args.run(args)
        sys.stdout.flush()  # while a failure can still be told
        return code
    except BrokenPipeError:
        raise
    except Exception as error:
        if address_space.refused(error):
            print(address_space.message(), file=sys.stderr)
            return status.NOT_SOLVED
        known = _expected_error(error, args)
        if known is None:
            raise
        line, code = known
        print(line, file=sys.stderr)
        return code


def _expected_error(error: Exception, args: argparse.Namespace) -> tuple[str, int] | None:
    """Message and exit status for an error a user can cause; None for a bug.

    The modules that define these errors are imported here, so that a run without errors does not load them.
    """
    from hoopwright.case.faults import CaseError
    from hoopwright.fem.errors import MeshError, SolveError
    from hoopwright.record.atomic_write import OutputError
    from hoopwright.record.reader import RecordError

    case = getattr(args, "case", "")
    if isinstance(error, CaseError | RecordError):
        return str(error), status.BAD_INPUT
    if isinstance(error, MeshError):
        return f"{case}: {error}", status.BAD_INPUT
    if isinstance(error, SolveError):
        return f"{case}: not solved: {error}", status.NOT_SOLVED
    if isinstance(error, OutputError):
        return str(error), status.NOT_WRITTEN
    if isinstance(error, OSError) and error.errno in DISK_FAULTS:
        return f"output not written: {error.strerror}", status.NOT_WRITTEN
    return None


def run_cli() -> None:
    """Entry point of the installed command.

    The matrices here are small, so that one BLAS thread is faster than several that wait for each other.
    The variable is read when numpy is first imported.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _replace_unencodable(json="--json" in sys.argv)
    sys.exit(main() if address_space.limit() is None else address_space.guarded(main))


def _replace_unencodable(*, json: bool) -> None:
    """Make stdout and stderr write ? for characters the terminal cannot encode. json: write UTF-8 whatever
    the terminal (RFC 8259); what is not valid text, such as a surrogate in a file name, still becomes ?."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8" if json else None, errors="replace")
