"""Shared style and reproducible rendering of all figures: equal results give equal bytes.

Only matplotlib's object-oriented interface is used, with settings that are restored afterwards, so that a
calling program's own plots are not affected. Text is literal: "$" starts no formula.
"""

from __future__ import annotations

import io
import logging
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from hoopwright.case.quantity import converted
from hoopwright.display.units import PINT_NAME, Units
from hoopwright.record.temporary import no_temporary_folder


@contextmanager
def _silence_matplotlib() -> Iterator[None]:
    """Silence matplotlib's log messages about cache folders and fonts."""
    logger = logging.getLogger("matplotlib")
    level = logger.level
    logger.setLevel(logging.ERROR)
    try:
        yield
    finally:
        logger.setLevel(level)


@contextmanager
def _cache_folder_needed() -> Iterator[None]:
    """Say in one line that there is no folder that can be written to: matplotlib does not start without."""
    try:
        yield
    except OSError as error:
        raise no_temporary_folder(error) from None


with _silence_matplotlib(), _cache_folder_needed():
    import matplotlib
    from matplotlib import font_manager
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.textpath import TextPath

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MM = 1.0 / 25.4
"""Inches in a millimetre: figure sizes are given in mm on paper."""
WIDTH = 170.0
"""Figure width, mm: a text column on A4 or Letter with margins of 20 mm."""
DPI = 200
SMALL, NORMAL = 7.0, 8.0
"""Font sizes in points, at printed size."""

INK = "#1a1a1a"
QUIET = "#6b6b6b"
FAINT = "#c9c9c9"
# Three colours whose lightness differs enough to tell them apart in greyscale and with colour blindness.
DARK, MIDDLE, LIGHT = "#14375e", "#c2571a", "#7fb2dd"
SLEEVE, SHELL = "#9db4cc", "#e6d9c0"
"""Fill colours of the bodies where no stress is shown."""
STRESS_MAP = "viridis"

SETTINGS: dict[str, Any] = {
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": NORMAL,
    "text.parse_math": False,
    "text.usetex": False,
    "text.color": INK,
    "axes.titlesize": NORMAL,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.labelsize": NORMAL,
    "axes.labelcolor": INK,
    "axes.edgecolor": QUIET,
    "axes.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
    "axes.formatter.useoffset": False,
    "axes.formatter.use_mathtext": False,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.major.width": 0.6,
    "ytick.major.width": 0.6,
    "xtick.major.size": 2.5,
    "ytick.major.size": 2.5,
    "grid.color": "#e4e4e4",
    "grid.linewidth": 0.5,
    "lines.linewidth": 1.3,
    "lines.markersize": 4.0,
    "legend.fontsize": SMALL,
    "legend.frameon": False,
    "legend.handlelength": 2.6,
    "hatch.linewidth": 0.4,
    "hatch.color": INK,
    "figure.dpi": 100.0,
    "savefig.dpi": DPI,
    "savefig.facecolor": "white",
    "svg.hashsalt": "hoopwright",
    "svg.fonttype": "path",
    "pdf.fonttype": 42,
    "pdf.compression": 6,
    "path.simplify": True,
}
METADATA: dict[str, dict[str, str | None]] = {
    "png": {"Software": None},
    "svg": {"Date": None, "Creator": "hoopwright", "Format": None, "Type": None},
    "pdf": {"CreationDate": None, "Creator": "hoopwright", "Producer": None},
}

_settings_in_use = threading.RLock()
"""matplotlib has one set of settings for all threads, so that one figure is drawn at a time."""


@contextmanager
def plot_style() -> Iterator[None]:
    """Apply our settings over matplotlib's defaults, ignoring any matplotlibrc; restore all at the end."""
    settings: dict[Any, Any] = {
        k: v for k, v in matplotlib.rcParamsDefault.items() if not k.startswith(("backend", "interactive"))
    }
    settings.update(SETTINGS)
    with _settings_in_use, _silence_matplotlib(), warnings.catch_warnings():
        warnings.simplefilter("ignore", matplotlib.MatplotlibDeprecationWarning)
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        with matplotlib.rc_context(settings):
            yield


def new_figure(*, width: float = WIDTH, height: float, constrained: bool = True) -> Figure:
    """An empty figure of the given size, mm on paper. Use inside `look()`."""
    figure = Figure(figsize=(width * MM, height * MM), layout="constrained" if constrained else None)
    FigureCanvasAgg(figure)
    return figure


def lay_out(figure: Figure) -> Figure:
    """The figure with its layout computed once and frozen, so that drawing it again moves nothing."""
    engine = figure.get_layout_engine()
    if engine is not None and figure.axes:
        engine.execute(figure)
        figure.set_layout_engine("none")
    return figure


def rendered(figure: Figure, kind: str) -> bytes:
    """The figure as the bytes of a "png", "svg" or "pdf" file; equal figures give equal bytes."""
    buffer = io.BytesIO()
    with plot_style():
        if kind == "svg":  # what savefig does, without its extra drawing pass
            dpi = figure.dpi
            FigureCanvasSVG(figure).print_svg(buffer, metadata=METADATA[kind])
            figure.dpi = dpi
        else:
            figure.savefig(buffer, format=kind, metadata=METADATA[kind])
    return buffer.getvalue()


def factor(unit: str, units: Units) -> float:
    """Factor from an internal unit (mm, um, MPa, N, N*m) to its display unit."""
    label = units.label(unit)
    return converted(1.0, unit, PINT_NAME.get(label, label)) if label != unit else 1.0


def covering_value(values: np.ndarray, areas: np.ndarray, share: float) -> float:
    """The least value that no more than 1 − share of the area exceeds: where a scale may be cut off.

    values, areas: (n,), value and area of each piece.
    """
    order = np.argsort(values)
    covered = np.cumsum(areas[order]) / areas.sum()
    return float(values[order][min(int(np.searchsorted(covered, share)), len(values) - 1)])


def axis_z(axes: Axes, units: Units, width: float) -> None:
    """Label and scale the x axis as z along the shell, from its left to its right face (width, mm)."""
    axes.set_xlabel(f"z from the left face [{units.label('mm')}]")
    axes.set_xlim(0.0, width * factor("mm", units))


def subtitle(axes: Axes, text: str) -> None:
    """Write a small line between the axes and their title, for which the layout makes no room."""
    axes.text(0.0, 1.02, text, transform=axes.transAxes, fontsize=SMALL, color=QUIET, in_layout=False)


@cache
def text_width(text: str, size: float) -> float:
    """Width of one line of text, mm on paper. Use inside `look()`."""
    if not text.strip():
        return 0.0
    return float(TextPath((0.0, 0.0), text, size=size).get_extents().width) * 25.4 / 72.0


@cache
def _font_code_points() -> frozenset[int]:
    with plot_style():
        return frozenset(font_manager.get_font(font_manager.findfont("DejaVu Sans")).get_charmap())


def font_covers(text: str) -> bool:
    """Whether the font of the figures has every character of the text."""
    return all(ord(c) in _font_code_points() for c in text)


def place_labels(
    wanted: list[float], widths: list[float], *, low: float, high: float, gap: float
) -> list[float]:
    """Centres of labels in a row: as near as possible to `wanted`, in the same order, and without overlap.

    Labels stay `gap` apart, and inside [low, high] where they fit. All lengths in one unit.
    """
    groups: list[_LabelGroup] = []
    for middle, width in zip(wanted, widths, strict=True):
        groups.append(_LabelGroup([width], middle - 0.5 * width).clamped_to(low, high, gap))
        while len(groups) > 1 and groups[-2].start + groups[-2].length(gap) + gap > groups[-1].start:
            right, left = groups.pop(), groups.pop()
            groups.append(left.merged_with(right, gap).clamped_to(low, high, gap))
    centres: list[float] = []
    for group in groups:
        at = group.start
        for width in group.widths:
            centres.append(at + 0.5 * width)
            at += width + gap
    return centres


@dataclass(frozen=True)
class _LabelGroup:
    """Adjoining labels, and the preferred and actual start of the first."""

    widths: list[float]
    preferred_start: float
    start: float = 0.0

    def length(self, gap: float) -> float:
        return sum(self.widths) + gap * (len(self.widths) - 1)

    def merged_with(self, right: _LabelGroup, gap: float) -> _LabelGroup:
        """Both groups in a row, with the preferred start averaged over all their labels."""
        n, m = len(self.widths), len(right.widths)
        preferred_start = (
            n * self.preferred_start + m * (right.preferred_start - self.length(gap) - gap)
        ) / (n + m)
        return _LabelGroup([*self.widths, *right.widths], preferred_start)

    def clamped_to(self, low: float, high: float, gap: float) -> _LabelGroup:
        return replace(self, start=max(low, min(self.preferred_start, high - self.length(gap))))
