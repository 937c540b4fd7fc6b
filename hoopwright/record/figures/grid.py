"""What maps over angle and length share: the axes, the colours and the seam."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from hoopwright.display import Units
from hoopwright.record.figures import style
from hoopwright.service.study import ServiceStudy

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WORDS = {0: "forward", 90: "up", 180: "rearward", 270: "down", 360: "forward"}


def closed_round(field: np.ndarray) -> np.ndarray:
    """The last axis run once round: the first angle again at the end."""
    return np.concatenate([field, field[..., :1]], axis=-1)


def angles(service: ServiceStudy) -> np.ndarray:
    """Of the grid in degrees, ending where it began."""
    theta = np.degrees(service.theta)
    return np.append(theta, theta[0] + 360.0)


def map_of(
    axes: Axes, service: ServiceStudy, z: np.ndarray, field: np.ndarray, units: Units, **look: Any
) -> Any:
    """Filled contours of a field (z, angles), MPa, over z and the angle."""
    return axes.contourf(
        z * style.factor("mm", units), angles(service),
        closed_round(field).T * style.factor("MPa", units), **look)


def dress(axes: Axes, units: Units, width: float) -> None:
    """z along, the angle up, with words for its four directions."""
    style.axis_z(axes, units, width)
    axes.set_ylim(0.0, 360.0)
    axes.set_yticks(list(WORDS), [f"{word} {at}°" for at, word in WORDS.items()])


def bar(axes: Axes, drawn: Any, levels: np.ndarray, label: str, *, location: str) -> None:
    """A colour bar with a few plain numbers."""
    made = axes.figure.colorbar(drawn, ax=axes, location=location, pad=0.02, aspect=30)
    made.set_label(label, fontsize=style.SMALL)
    shown = levels[:: max(1, (len(levels) - 1) // 4)]
    decimals = 0 if np.abs(levels).max() >= 20.0 else 1 if np.abs(levels).max() >= 5.0 else 2
    made.set_ticks([float(v) for v in shown], labels=[f"{v:.{decimals}f}" for v in shown])


def mark(axes: Axes, units: Units, z: float, theta: float, text: str, width: float) -> None:
    """A cross with a word beside it, on the side where there is room."""
    at = z * style.factor("mm", units)
    right = z < 0.6 * width
    for colour, size, edge in (("white", 7.0, 2.6), (style.INK, 6.0, 1.2)):
        axes.plot([at], [theta], marker="x", color=colour, markersize=size, markeredgewidth=edge,
                  clip_on=False)
    axes.annotate(text, (at, theta), xytext=(6 if right else -6, 0), textcoords="offset points",
                  ha="left" if right else "right", va="bottom" if theta < 300.0 else "top",
                  fontsize=style.SMALL,
                  bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.0})
