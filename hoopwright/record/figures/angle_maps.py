"""Common parts of the unrolled maps: axes over z and θ, colour bar, and the seam at 360°."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from hoopwright.display import Units
from hoopwright.record.figures import style
from hoopwright.service.study import ServiceStudy

if TYPE_CHECKING:
    from matplotlib.axes import Axes

DIRECTIONS = {0: "forward", 90: "up", 180: "rearward", 270: "down", 360: "forward"}


def repeat_first_angle(field: np.ndarray) -> np.ndarray:
    """The field with its first angle repeated at the end, so that contours close at the seam.

    field: (..., angles). Returns (..., angles + 1).
    """
    return np.concatenate([field, field[..., :1]], axis=-1)


def angles_deg(service: ServiceStudy) -> np.ndarray:
    """Angles of the service grid in degrees, the first one repeated at 360° more."""
    theta = np.degrees(service.theta)
    return np.append(theta, theta[0] + 360.0)


def plot_contours(
    axes: Axes,
    service: ServiceStudy,
    z: np.ndarray,
    field: np.ndarray,
    units: Units,
    *,
    filled: bool = True,
    **options: Any,
) -> Any:
    """Plot contours of a field (z, angles), MPa, over z and θ. options: of contourf, or contour."""
    return (axes.contourf if filled else axes.contour)(
        z * style.factor("mm", units),
        angles_deg(service),
        repeat_first_angle(field).T * style.factor("MPa", units),
        **options,
    )


def label_axes(axes: Axes, units: Units, width: float) -> None:
    """Label z to the right and θ upwards, with words for its four directions."""
    style.axis_z(axes, units, width)
    axes.set_ylim(0.0, 360.0)
    axes.set_yticks(list(DIRECTIONS), [f"{word} {at}°" for at, word in DIRECTIONS.items()])


def add_colour_bar(
    axes: Axes | list[Axes], contours: Any, levels: np.ndarray, label: str, *, location: str
) -> None:
    """Add a colour bar with few ticks in plain decimals, beside one map or below several."""
    aspect = 60 if isinstance(axes, list) else 30
    made = contours.axes.figure.colorbar(contours, ax=axes, location=location, pad=0.02, aspect=aspect)
    made.set_label(label, fontsize=style.SMALL)
    shown = levels[:: max(1, (len(levels) - 1) // 4)]
    decimals = 0 if np.abs(levels).max() >= 20.0 else 1 if np.abs(levels).max() >= 5.0 else 2
    made.set_ticks([float(v) for v in shown], labels=[f"{v:.{decimals}f}" for v in shown])


def mark_point(axes: Axes, units: Units, z: float, theta: float, text: str, width: float) -> None:
    """Mark a point with a cross and a label on the side that has room."""
    at = z * style.factor("mm", units)
    right = z < 0.6 * width
    for colour, size, edge in (("white", 7.0, 2.6), (style.INK, 6.0, 1.2)):
        axes.plot(
            [at], [theta], marker="x", color=colour, markersize=size, markeredgewidth=edge, clip_on=False
        )
    axes.annotate(
        text,
        (at, theta),
        xytext=(6 if right else -6, 0),
        textcoords="offset points",
        ha="left" if right else "right",
        va="bottom" if theta < 300.0 else "top",
        fontsize=style.SMALL,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.0},
    )
