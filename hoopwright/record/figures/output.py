"""A single figure to a file that the user names."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from hoopwright.record.figures.style import METADATA, rendered
from hoopwright.record.folder import OutputError, write_file

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def save(figure: Figure, file: str) -> Path:
    """Write the figure as its ending says. Raises OutputError for an unknown ending or where the file
    cannot be written or is there already."""
    kind = Path(file).suffix.lstrip(".").lower()
    if kind not in METADATA:
        raise OutputError(f"{file}: not a known kind of figure; end the name in .png, .svg or .pdf")
    return write_file(Path(file), rendered(figure, kind))
