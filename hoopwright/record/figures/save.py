"""Save a single figure to a file that the user names."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from hoopwright.errors import OutputError
from hoopwright.record.atomic_write import write_file
from hoopwright.record.figures.labelled_svg import labelled
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
    content = rendered(figure, kind)
    if kind == "svg":
        content = labelled(content, Path(file).stem, title=_title(figure), description=_description(figure))
    return write_file(Path(file), content)


def _title(figure: Figure) -> str:
    titles = (axes.get_title(loc="left") or axes.get_title() for axes in figure.axes)
    return ", ".join(dict.fromkeys(title for title in titles if title)) or "Figure"


def _description(figure: Figure) -> str:
    """What is plotted against what, and what the lines are."""
    said = []
    for axes in figure.axes:
        along, up = axes.get_xlabel(), axes.get_ylabel()
        _, names = axes.get_legend_handles_labels()
        parts = [f"{up} against {along}" if up and along else up or along, ", ".join(dict.fromkeys(names))]
        said.append(": ".join(part for part in parts if part))
    return "; ".join(one for one in said if one) or _title(figure)
