"""hoopwright drawing CASE: the sleeve to make and the shell's bore, as PDF and DXF."""

from __future__ import annotations

import argparse
from pathlib import Path

from hoopwright.commands.arguments import add_cases, add_json, add_units, in_units_of_reader, print_json
from hoopwright.drawing.needed import require_packages

KINDS = ("pdf", "dxf")


def add(commands: argparse._SubParsersAction) -> None:
    parser = commands.add_parser(
        "drawing",
        help="draw the sleeve to make and the bore it goes into: one page PDF, and DXF",
        description="Draw sleeve and shell in half section with the sizes of `size`, and write "
        "CASE_drawing.pdf and CASE_drawing.dxf. What the case does not state is not stated there; where "
        "the verdict does not allow the part to be made, that stands across the sheet. It needs a package "
        'more: pip install "hoopwright[drawing]".',
    )
    add_cases(parser)
    parser.add_argument("--out", metavar="DIR", default=".", help="where to put them (default: here)")
    add_json(parser)
    add_units(parser, "drawing and text")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    require_packages()
    from hoopwright.case.read import read_case
    from hoopwright.display import Units
    from hoopwright.drawing.document import document
    from hoopwright.drawing.files import Drawing, write_drawing
    from hoopwright.interface import solving
    from hoopwright.record.progress import waiting
    from hoopwright.screen.wrapping import paragraph
    from hoopwright.status import BY_STATE

    read = read_case(args.case)
    case, shown_in = in_units_of_reader(read, args), Units(args.units or read.units)
    with waiting(f"drawing {args.case}"), solving(case.file):
        made = Drawing.of(case, shown_in)
        written = write_drawing(made, Path(args.out), Path(args.case).stem)
    if args.json:
        files = {kind: path.name for kind, path in zip(KINDS, written, strict=True)}
        print_json(args, document(made.content, made.sheet, made.units, files))
    else:
        for line in (made.content.verdict, *(f"across the sheet: {one}" for one in made.stamp)):
            print("\n".join(paragraph(line)))
        for path in written:
            print(f"written: {path}")
    return BY_STATE[made.content.state]
