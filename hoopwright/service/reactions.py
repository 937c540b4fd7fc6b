"""Loads on each seat, reaction of each tube, and residual of every load case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.geometry.shell import Shell
from hoopwright.loads.cases import LoadCase
from hoopwright.loads.seat_load import SeatLoad
from hoopwright.loads.support import SupportReaction
from hoopwright.loads.traction import resultant


@dataclass(frozen=True)
class Resultant:
    """Resultant of one load or reaction.

    force: (x, y, z), N; moment: (x, y, z), N·mm, about the point on the axis at `z`, mm.
    """

    name: str
    force: np.ndarray
    moment: np.ndarray
    z: float


@dataclass(frozen=True)
class LoadCaseReactions:
    """Loads, reactions and residual of one load case.

    residual_force, residual_moment: magnitude of the sum of all entries, N, and of its moment about the
    middle of the shell, N·mm; None where a clamped band takes whatever reaction is needed.
    """

    case: LoadCase
    loads: tuple[Resultant, ...]
    reactions: tuple[Resultant, ...]
    residual_force: float | None
    residual_moment: float | None


def reactions_of(case: LoadCase, shell: Shell) -> LoadCaseReactions:
    """Loads and reactions of one load case, by name; seats that carry nothing are left out."""
    loads = tuple(_resultant(load) for load in case.loads if load.tractions)
    if case.clamped is not None:
        return LoadCaseReactions(case, loads, (), None, None)
    reactions = tuple(_resultant(reaction) for reaction in case.reactions)
    force, moment = resultant(case.loads_and_reactions)
    about = moment - np.cross([0.0, 0.0, 0.5 * shell.width], force)
    return LoadCaseReactions(
        case, loads, reactions, float(np.linalg.norm(force)), float(np.linalg.norm(about))
    )


def _resultant(entry: SeatLoad | SupportReaction) -> Resultant:
    force, moment = resultant(entry.tractions)
    return Resultant(entry.name, force, moment - np.cross([0.0, 0.0, entry.z], force), entry.z)
