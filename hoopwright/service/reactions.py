"""Loads on each seat, reaction of each tube, and residual of every load case."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hoopwright.case.service_model import ServiceInput
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.tubes import footprint
from hoopwright.loads.cases import LoadCase
from hoopwright.loads.support import TubeSupport
from hoopwright.loads.traction import FourierTraction, resultant


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


def reactions_of(case: LoadCase, service: ServiceInput, shell: Shell) -> LoadCaseReactions:
    """Loads and reactions of one load case of `service`."""
    middle = 0.5 * shell.width
    loads = tuple(_entry(name, pieces, z) for name, pieces, z in _seats(case, service) if pieces)
    if case.clamped is not None or not isinstance(service.support, tuple):
        return LoadCaseReactions(case, loads, (), None, None)
    reactions, begin = [], 0
    for tube in service.support:
        count = 2 * len(footprint(tube, shell.outside, strips=TubeSupport(service.support).strips))
        reactions.append(_entry(tube.name, case.reactions[begin : begin + count], tube.z_centre))
        begin += count
    force, moment = resultant(case.loads_and_reactions)
    about = moment - np.cross([0.0, 0.0, middle], force)
    return LoadCaseReactions(
        case, loads, tuple(reactions), float(np.linalg.norm(force)), float(np.linalg.norm(about))
    )


def _seats(
    case: LoadCase, service: ServiceInput
) -> Iterable[tuple[str, tuple[FourierTraction, ...], float]]:
    """Name, tractions and z, mm, of every seat that a load case loads."""
    bearing = next((b for b in service.bearings if b.name == case.name), None)
    if bearing is not None or service.crank is None:
        z = 0.5 * (bearing.start + bearing.end) if bearing else 0.0
        return [("bearing seat", case.tractions, z)]
    ends = {"left cup": service.crank.left, "right cup": service.crank.right}
    between = 0.5 * (service.crank.left.end + service.crank.right.start)

    def left(t: FourierTraction) -> bool:
        return (t.level if t.on_end_face else 0.5 * (t.start + t.end)) < between

    return [
        (
            name,
            tuple(t for t in case.tractions if left(t) == (name == "left cup")),
            0.5 * (cup.start + cup.end),
        )
        for name, cup in ends.items()
    ]


def _entry(name: str, tractions: Iterable[FourierTraction], z: float) -> Resultant:
    force, moment = resultant(tractions)
    return Resultant(name, force, moment - np.cross([0.0, 0.0, z], force), z)
