"""A drawing from its case to its two files."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hoopwright.came_out.answer import came_out
from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.drawing.as_dxf import as_dxf
from hoopwright.drawing.as_pdf import as_pdf
from hoopwright.drawing.layout import sheet, stamp_lines
from hoopwright.drawing.marks import Sheet
from hoopwright.drawing.sizes import Content, content
from hoopwright.record.atomic_write import write_files
from hoopwright.record.file_names import safe_name
from hoopwright.sizing.plan import SizePlan, size_case

FILE_PARTS = "{stem}_drawing.pdf", "{stem}_drawing.dxf"


@dataclass(frozen=True)
class Drawing:
    """What is drawn, its sheet, and the units of both."""

    content: Content
    sheet: Sheet
    units: Units

    @classmethod
    def of(cls, case: Case, units: Units) -> Drawing:
        """The drawing of a case. Raises fem.MeshError or fem.SolveError as `size` does."""
        return cls.of_plan(size_case(case), units)

    @classmethod
    def of_plan(cls, plan: SizePlan, units: Units) -> Drawing:
        """The drawing of a plan that is solved. The sentences are in the units of its case."""
        spoken = Units(plan.case.units)
        found = content(plan, came_out(plan, spoken), spoken)
        return cls(found, sheet(found, units), units)

    @property
    def stamp(self) -> tuple[str, ...]:
        """What stands across the sheet."""
        return stamp_lines(self.content)

    def pdf(self) -> bytes:
        return as_pdf(self.sheet)

    def dxf(self) -> bytes:
        """The DXF, which names the case and what stands across the sheet."""
        case, given = self.content.case, self.content.case.drawing
        named = {
            "case SHA-256": case.sha256,
            "number": given.number,
            "revision": given.revision,
            "state": self.content.state,
            "stamp": "; ".join(self.stamp),
        }
        return as_dxf(self.sheet, self.units, properties={k: v for k, v in named.items() if v})


def file_paths(folder: Path, stem: str) -> tuple[Path, ...]:
    """Where PDF and DXF of a case lie. stem: of its file."""
    name = safe_name(stem, fallback="case")
    return tuple(folder / part.format(stem=name) for part in FILE_PARTS)


def write_drawing(made: Drawing, folder: Path, stem: str) -> tuple[Path, ...]:
    """Write PDF and DXF into a folder, named after the case file, and return their paths.

    Raises OutputError where one exists or cannot be written, and then leaves neither behind.
    """
    paths = file_paths(folder, stem)
    write_files(dict(zip(paths, (made.pdf(), made.dxf()), strict=True)))
    return paths
