"""The look that all figures share, and their bytes: the same results give the same picture.

Only matplotlib's object layer is used, under settings that are put back afterwards, so that a program
that plots for itself is not disturbed. Text is text: "$" starts no formula.
"""

from __future__ import annotations

import io
import logging
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from hoopwright.case.quantity import converted
from hoopwright.display import PINT_NAME, Units


@contextmanager
def _quietly() -> Iterator[None]:
    """No word about cache folders and fonts from matplotlib, which speaks through logging."""
    logger = logging.getLogger("matplotlib")
    level = logger.level
    logger.setLevel(logging.ERROR)
    try:
        yield
    finally:
        logger.setLevel(level)


with _quietly():
    import matplotlib
    from matplotlib import font_manager
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.textpath import TextPath

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MM = 1.0 / 25.4
"""Inches in a millimetre: figure sizes are given in mm of paper."""
WIDTH = 170.0
"""mm: a text column on A4 and on Letter with a margin of 20 mm."""
DPI = 200
SMALL, NORMAL = 7.0, 8.0
"""Text sizes in points, at the size the figure is printed."""

INK = "#1a1a1a"
QUIET = "#6b6b6b"
FAINT = "#c9c9c9"
# Three colours whose lightness steps far enough apart to be told in grey and by colour-blind eyes.
DARK, MIDDLE, LIGHT = "#14375e", "#c2571a", "#7fb2dd"
SLEEVE, SHELL = "#9db4cc", "#e6d9c0"
"""Fills of the two bodies where no stress is shown."""
STRESS_MAP = "viridis"

SETTINGS: dict[str, Any] = {
    "font.family": ["sans-serif"], "font.sans-serif": ["DejaVu Sans"], "font.size": NORMAL,
    "text.parse_math": False, "text.usetex": False, "text.color": INK,
    "axes.titlesize": NORMAL, "axes.titleweight": "bold", "axes.titlelocation": "left",
    "axes.labelsize": NORMAL, "axes.labelcolor": INK, "axes.edgecolor": QUIET, "axes.linewidth": 0.6,
    "axes.spines.top": False, "axes.spines.right": False, "axes.axisbelow": True,
    "axes.formatter.useoffset": False, "axes.formatter.use_mathtext": False,
    "xtick.labelsize": SMALL, "ytick.labelsize": SMALL, "xtick.color": QUIET, "ytick.color": QUIET,
    "xtick.labelcolor": INK, "ytick.labelcolor": INK, "xtick.major.width": 0.6, "ytick.major.width": 0.6,
    "xtick.major.size": 2.5, "ytick.major.size": 2.5,
    "grid.color": "#e4e4e4", "grid.linewidth": 0.5, "lines.linewidth": 1.3, "lines.markersize": 4.0,
    "legend.fontsize": SMALL, "legend.frameon": False, "legend.handlelength": 2.6,
    "hatch.linewidth": 0.4, "hatch.color": INK, "figure.dpi": 100.0, "savefig.dpi": DPI,
    "savefig.facecolor": "white", "svg.hashsalt": "hoopwright", "svg.fonttype": "path",
    "pdf.fonttype": 42, "pdf.compression": 6, "path.simplify": True,
}
METADATA: dict[str, dict[str, str | None]] = {
    "png": {"Software": None},
    "svg": {"Date": None, "Creator": "hoopwright", "Format": None, "Type": None},
    "pdf": {"CreationDate": None, "Creator": "hoopwright", "Producer": None},
}


@contextmanager
def look() -> Iterator[None]:
    """Our settings on top of matplotlib's own defaults, whatever a user's matplotlibrc says; all are
    put back at the end."""
    settings: dict[Any, Any] = {k: v for k, v in matplotlib.rcParamsDefault.items()
                                if not k.startswith(("backend", "interactive"))}
    settings.update(SETTINGS)
    with _quietly(), warnings.catch_warnings():
        warnings.simplefilter("ignore", matplotlib.MatplotlibDeprecationWarning)
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        with matplotlib.rc_context(settings):
            yield


def new_figure(*, width: float = WIDTH, height: float, constrained: bool = True) -> Figure:
    """An empty figure of that size on paper, mm. Use inside `look()`."""
    figure = Figure(figsize=(width * MM, height * MM), layout="constrained" if constrained else None)
    FigureCanvasAgg(figure)
    return figure


def settled(figure: Figure) -> Figure:
    """The figure with its layout worked out once and kept: drawing it again moves nothing."""
    engine = figure.get_layout_engine()
    if engine is not None and figure.axes:
        engine.execute(figure)
        figure.set_layout_engine("none")
    return figure


def rendered(figure: Figure, kind: str) -> bytes:
    """The figure as "png", "svg" or "pdf"; the same bytes for the same figure."""
    buffer = io.BytesIO()
    with look():
        if kind == "svg":  # what savefig would do, without the rehearsal that it draws first
            dpi = figure.dpi
            FigureCanvasSVG(figure).print_svg(buffer, metadata=METADATA[kind])
            figure.dpi = dpi
        else:
            figure.savefig(buffer, format=kind, metadata=METADATA[kind])
    return buffer.getvalue()


def factor(unit: str, units: Units) -> float:
    """What a value in a machine unit (mm, um, MPa, N, N*m) is multiplied by to be shown."""
    label = units.label(unit)
    return converted(1.0, unit, PINT_NAME.get(label, label)) if label != unit else 1.0


def axis_z(axes: Axes, units: Units, width: float) -> None:
    """The usual axis along the shell, from its left face to its right one (width, mm)."""
    axes.set_xlabel(f"z from the left face [{units.label('mm')}]")
    axes.set_xlim(0.0, width * factor("mm", units))


@cache
def text_width(text: str, size: float) -> float:
    """Width of one line of text on paper, mm. Use inside `look()`."""
    if not text.strip():
        return 0.0
    return float(TextPath((0.0, 0.0), text, size=size).get_extents().width) * 25.4 / 72.0


@cache
def _known_letters() -> frozenset[int]:
    with look():
        return frozenset(font_manager.get_font(font_manager.findfont("DejaVu Sans")).get_charmap())


def readable(text: str) -> bool:
    """Whether the font of the figures has every letter of the text."""
    return all(ord(c) in _known_letters() for c in text)


def spread(wanted: list[float], widths: list[float], *, low: float, high: float, gap: float) -> list[float]:
    """Centres for labels in a row: as near as may be to where they are wanted, in the same order,
    no two closer than gap, all inside [low, high] where they fit. All in one unit.
    """
    groups: list[_Group] = []
    for middle, width in zip(wanted, widths, strict=True):
        groups.append(_Group([width], middle - 0.5 * width).inside(low, high, gap))
        while len(groups) > 1 and groups[-2].start + groups[-2].length(gap) + gap > groups[-1].start:
            right, left = groups.pop(), groups.pop()
            groups.append(left.joined(right, gap).inside(low, high, gap))
    centres: list[float] = []
    for group in groups:
        at = group.start
        for width in group.widths:
            centres.append(at + 0.5 * width)
            at += width + gap
    return centres


@dataclass(frozen=True)
class _Group:
    """Labels that touch, and where the first of them would like to begin."""

    widths: list[float]
    wished: float
    start: float = 0.0

    def length(self, gap: float) -> float:
        return sum(self.widths) + gap * (len(self.widths) - 1)

    def joined(self, right: _Group, gap: float) -> _Group:
        """Both in a row, the wish being the mean over their labels."""
        n, m = len(self.widths), len(right.widths)
        wished = (n * self.wished + m * (right.wished - self.length(gap) - gap)) / (n + m)
        return _Group([*self.widths, *right.widths], wished)

    def inside(self, low: float, high: float, gap: float) -> _Group:
        return replace(self, start=max(low, min(self.wished, high - self.length(gap))))
