"""Command line: parse the arguments, run one command, return its exit status."""

from __future__ import annotations

import argparse
import errno
import gc
import io
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext, redirect_stdout, suppress
from typing import Any, NoReturn

from hoopwright import address_space, status
from hoopwright.commands import (
    check,
    compare,
    diff,
    drawing,
    explain,
    keys,
    materials,
    new,
    page,
    presets,
    press,
    record,
    sheet,
    size,
    validate,
    verify,
)
from hoopwright.commands.arguments import Completion, clash, print_json
from hoopwright.document import faults as faults_document
from hoopwright.document.heading import as_json
from hoopwright.errors import Fault, HoopwrightError
from hoopwright.version import VERSION

COMMANDS = (
    check,
    size,
    press,
    compare,
    drawing,
    sheet,
    record,
    verify,
    diff,
    validate,
    explain,
    new,
    page,
    materials,
    presets,
    keys,
)
COMMAND_NAMES = tuple(command.__name__.rpartition(".")[2] for command in COMMANDS)

COLLECT_AFTER = 20_000
"""Objects made since the collector last looked; Python's own number, 700, costs 1 to 2 % of a check."""
DISK_FAULTS = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO)
EPILOG = """\
exit status:
  0  holds: all ways to fail were judged and hold
  1  one of them fails, or is undecided
  2  bad input: the case file, an argument, or a further row that is installed
  3  the model could not be solved, for want of memory too, or contradicts the closed form
  4  the output could not be written
  5  holds as far as judged: something that is needed was left out
141  whoever reads the output stopped reading
An aid to judgement, not an approval; see the cautions it prints.
"""


class UsageError(Exception):
    """Arguments that do not make a command; the parser that found it knows its usage."""

    def __init__(self, parser: argparse.ArgumentParser, problem: str) -> None:
        super().__init__(problem)
        self.parser, self.problem = parser, problem


class Parser(argparse.ArgumentParser):
    """A parser that takes options by their whole names only, and leaves it to the caller to end the
    process. Its commands are parsers of the same kind."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**{"allow_abbrev": False} | settings)

    def error(self, message: str) -> NoReturn:
        raise UsageError(self, message)


def build_parser() -> argparse.ArgumentParser:
    parser = Parser(
        prog="hoopwright",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Will a sleeve pressed into a thin-walled shell hold? Finite-element stress margins.",
    )
    parser.add_argument("--version", action="version", version=f"hoopwright {VERSION}")
    parser.add_argument(
        "--completion",
        choices=("bash", "zsh", "tcsh", "fish"),
        action=Completion,
        help="print what completes commands and files in a shell, and exit",
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command", required=True)
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
    words = sys.argv[1:] if argv is None else list(argv)
    parser = build_parser()
    try:
        args = parser.parse_args(words)
        if problem := clash(args):
            parser.error(problem)
    except UsageError as error:
        _refuse(error, words)
    if not hasattr(args, "cases"):
        args.case = getattr(args, "record", None)
        return _run(args)
    codes: list[int] = []
    with _silenced() if args.quiet else nullcontext():
        for case in args.cases:
            if codes and not args.quiet and not getattr(args, "json", False):
                print()
            args.case = case
            codes.append(_run(args))
    return min(codes, key=status.WORST_FIRST.index)


def _refuse(error: UsageError, words: Sequence[str]) -> NoReturn:
    """Say what is wrong with the arguments, as a document too where one was asked for, and exit."""
    error.parser.print_usage(sys.stderr)
    print(f"{error.parser.prog}: error: {error.problem}", file=sys.stderr)
    if "--json" in words:
        named = next((word for word in words if word in COMMAND_NAMES), None)
        fault = Fault("", "", "", error.problem, f"see {error.parser.prog} --help")
        sys.stdout.write(as_json(faults_document.document(named, None, status.BAD_INPUT, (fault,))))
    sys.exit(status.BAD_INPUT)


@contextmanager
def _silenced() -> Iterator[None]:
    with open(os.devnull, "w", encoding="utf-8") as nothing, redirect_stdout(nothing):
        yield


def _run(args: argparse.Namespace) -> int:
    """Run the command on one case. Expected errors become one line on stderr; a bug keeps its traceback."""
    args.documented = False
    try:
        if args.run not in (new.run, materials.run, presets.run, keys.run):
            address_space.require_least()
        code: int = args.run(args)
        sys.stdout.flush()  # while a failure can still be told
        return code
    except BrokenPipeError:
        raise
    except Exception as error:
        known = _expected_error(error)
        if known is None:
            raise
        text, faults, code = known
        print(text, file=sys.stderr)
        if getattr(args, "json", False) and not args.documented:
            with suppress(OSError):  # what could not be written may be this
                print_json(args, faults_document.document(args.command, args.case, code, faults))
                sys.stdout.flush()
        return code


def _expected_error(error: Exception) -> tuple[str, tuple[Fault, ...], int] | None:
    """Text, faults and exit status of an error that a user can cause; None for a bug."""
    if address_space.refused(error):
        text, code = address_space.message(), status.NOT_SOLVED
    elif isinstance(error, HoopwrightError):
        return str(error), error.faults, error.status
    elif isinstance(error, OSError) and error.errno in DISK_FAULTS:
        text, code = f"output not written: {error.strerror}", status.NOT_WRITTEN
    else:
        return None
    return text, (Fault("", "", "", text),), code


def run_cli() -> None:
    """Entry point of the installed command.

    The matrix library is limited to one thread wherever something is solved; so that it does not start more
    than that here, each with memory of its own, it is told before it is first imported. What a command
    makes it needs to its end: the collector of garbage looks for cycles less often.
    """
    gc.set_threshold(COLLECT_AFTER)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _replace_unencodable(json="--json" in sys.argv)
    sys.exit(main() if address_space.limit() is None else address_space.guarded(main))


def _replace_unencodable(*, json: bool) -> None:
    """Make stdout and stderr write ? for characters the terminal cannot encode. json: write UTF-8 whatever
    the terminal (RFC 8259); what is not valid text, such as a surrogate in a file name, still becomes ?."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8" if json else None, errors="replace")
