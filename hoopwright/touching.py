"""Where in a range of interference a seat begins to touch, since the greatest stress may lie there.

While the same pairs touch, a frictionless fit is linear in the interference, and the von Mises stress at
a point, the norm of something linear, is greatest at one of the ends. What begins to touch carries part of
the load, and a stress that rose up to there may fall from there on. Pairs that begin to touch one by one at
the end of a seat are not looked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from hoopwright.fit import FitStudy
from hoopwright.state import State, frictionless

HALVINGS = 5
"""Times the range is halved to find where a seat begins to touch."""


def turning_points(
    study: FitStudy, temperatures: Iterable[float], least: float, greatest: float
) -> tuple[float, ...]:
    """Shifts of the interference, mm, at which a stress may be greatest: the least, the greatest, and
    between them where a seat begins to touch at any of some temperatures, K above 20 °C. On the coarsest
    mesh, without friction."""
    found = dict.fromkeys((least, greatest))
    for rise in temperatures:
        for blank in dict.fromkeys((False, study.case.sleeve.finished_later)):
            found |= dict.fromkeys(_beginnings(study, frictionless(least, rise, blank=blank), greatest))
    return tuple(found)


def _beginnings(study: FitStudy, at_least: State, greatest: float) -> Iterator[float]:
    """The same in one state, given at the least interference."""
    least = at_least.shift
    loose, tight = (_touching(study, at_least, shift) for shift in (least, greatest))
    for seat in np.flatnonzero(tight & ~loose):
        low, high = least, greatest
        for _ in range(HALVINGS):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if _touching(study, at_least, middle)[seat] else (middle, high)
        yield high


def _touching(study: FitStudy, state: State, shift: float) -> np.ndarray:
    """Which seats touch, (seats,) bool."""
    solution = study.at(replace(state, shift=shift)).coarsest
    share = solution.mesh.meshed_joint.interface.seat_share
    return np.asarray((share[:, solution.press.closed] > 0.0).any(axis=1))
