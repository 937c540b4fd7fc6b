"""Arguments that several commands have in common."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from hoopwright.case.model import Case

FILES, FOLDERS = ("cases", "old", "new", "file", "figure", "readings_figure"), ("out", "record", "folder")
"""Arguments that name a file, and those that name a folder."""
ONE_CASE_ONLY = ("figure", "readings_figure")
"""Options whose output is one file."""


def add_cases(parser: argparse.ArgumentParser) -> None:
    """One case or several, and how much is said of them."""
    parser.add_argument(
        "cases", nargs="+", metavar="CASE", help="case file (TOML), or several; - reads standard input"
    )
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults and files written")


def add_units(parser: argparse.ArgumentParser, of: str = "text") -> None:
    parser.add_argument(
        "--units", choices=("metric", "inch"), help=f"units of the {of} (default: as the case says)"
    )


def add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--json",
        action="store_true",
        help="print one JSON document instead of text, of faults too; of several cases one a line",
    )


FIGURES = ("png", "svg", "pdf")
"""Formats of a figure that a user may ask for."""


def figure_name(name: str) -> str:
    """The name of a figure, refused before anything is solved. Raises ArgumentTypeError for a format that
    cannot be written."""
    if name.rpartition(".")[2].lower() not in FIGURES:
        raise argparse.ArgumentTypeError(
            f"{name}: not a figure that can be written; end the name in .png, .svg or .pdf"
        )
    return name


def add_figure(parser: argparse.ArgumentParser, shows: str, *, option: str = "--figure") -> None:
    parser.add_argument(
        option, metavar="FILE", type=figure_name, help=f"also draw {shows} (png, svg or pdf)"
    )


def print_json(args: argparse.Namespace, document: dict[str, Any]) -> None:
    """Print the one document of a case, on one line where it is one of several."""
    from hoopwright.document.heading import as_json

    args.documented = True
    sys.stdout.write(as_json(document, on_one_line=len(getattr(args, "cases", ())) > 1))


def in_units_of_reader(case: Case, args: argparse.Namespace) -> Case:
    """The case with the units in which text is to speak; documents speak in those of the case."""
    return replace(case, units=args.units) if args.units and not args.json else case


def clash(args: argparse.Namespace) -> str:
    """What does not go together among the arguments, "" where all does."""
    if not hasattr(args, "cases"):
        return ""
    if len(args.cases) > 1:
        given = [option for option in ONE_CASE_ONLY if getattr(args, option, None)]
        if given:
            return f"--{given[0].replace('_', '-')} takes one case at a time"
    if args.cases.count("-") > 1:
        return "standard input can be read only once"
    if "-" in args.cases and getattr(args, "out", None):
        what = "drawing is named after" if args.command == "drawing" else "record holds"
        return f"a {what} its case file, and standard input has none; save it to a file first"
    return ""


class Completion(argparse.Action):
    """Print the script that completes the command in a shell, and exit."""

    def __call__(self, parser: argparse.ArgumentParser, *given: Any) -> None:
        import shtab

        for action in _actions(parser):
            if action.dest in FILES:
                action.complete = shtab.FILE  # type: ignore[attr-defined]
            elif action.dest in FOLDERS:
                action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
        sys.stdout.write(shtab.complete(parser, given[1]))
        sys.stdout.flush()
        parser.exit()


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """The arguments of a parser and of its commands."""
    for action in parser._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)
