"""Save a single figure to a file that the user names."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from hoopwright.errors import OutputError
from hoopwright.record.atomic_write import write_file
from hoopwright.record.figures.style import METADATA, rendered

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def save(figure: Figure, file: str) -> Path:
    """Write the figure in the format of the file's extension and return the path.

    Raises OutputError for an unknown extension, or where the file exists or cannot be written.
    """
    kind = Path(file).suffix.lstrip(".").lower()
    if kind not in METADATA:
        raise OutputError.at(file, "not a known figure format", "end the name in .png, .svg or .pdf")
    return write_file(Path(file), rendered(figure, kind))
