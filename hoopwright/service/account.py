"""The books of a load case: what loads each seat, what each tube gives back, and what is left over."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from geometry.shell import Shell
from geometry.tubes import footprint
from hoopwright.case.service_model import ServiceInput
from loads.cases import LoadCase
from loads.hold import TubeHold
from loads.traction import FourierTraction, resultant


@dataclass(frozen=True)
class Entry:
    """force: (x, y, z), N; moment: about the point on the axis at `z` mm, (x, y, z), N·mm."""

    name: str
    force: np.ndarray
    moment: np.ndarray
    z: float


@dataclass(frozen=True)
class Account:
    """Of one load case. left_over_force, left_over_moment: of all entries together about the middle of the
    shell, N and N·mm; None where a band is clamped and gives back whatever comes."""

    case: LoadCase
    loads: tuple[Entry, ...]
    reactions: tuple[Entry, ...]
    left_over_force: float | None
    left_over_moment: float | None


def account_of(case: LoadCase, service: ServiceInput, shell: Shell) -> Account:
    """The entries of a load case made from `service`."""
    middle = 0.5 * shell.width
    loads = tuple(_entry(name, pieces, z) for name, pieces, z in _seats(case, service) if pieces)
    if case.clamped is not None or not isinstance(service.hold, tuple):
        return Account(case, loads, (), None, None)
    reactions, begin = [], 0
    for tube in service.hold:
        count = 2 * len(footprint(tube, shell.outside, strips=TubeHold(service.hold).strips))
        reactions.append(_entry(tube.name, case.reactions[begin:begin + count], tube.z_centre))
        begin += count
    force, moment = resultant(case.everything)
    about = moment - np.cross([0.0, 0.0, middle], force)
    return Account(case, loads, tuple(reactions), float(np.linalg.norm(force)),
                   float(np.linalg.norm(about)))


def _seats(
    case: LoadCase, service: ServiceInput
) -> Iterable[tuple[str, tuple[FourierTraction, ...], float]]:
    """Name, tractions and place of every seat that a case loads."""
    bearing = next((b for b in service.bearings if b.name == case.name), None)
    if bearing is not None or service.crank is None:
        z = 0.5 * (bearing.start + bearing.end) if bearing else 0.0
        return [("bearing seat", case.tractions, z)]
    ends = {"left cup": service.crank.left, "right cup": service.crank.right}
    between = 0.5 * (service.crank.left.end + service.crank.right.start)

    def left(t: FourierTraction) -> bool:
        return (t.level if t.on_end_face else 0.5 * (t.start + t.end)) < between

    return [(name, tuple(t for t in case.tractions if left(t) == (name == "left cup")),
             0.5 * (cup.start + cup.end)) for name, cup in ends.items()]


def _entry(name: str, tractions: Iterable[FourierTraction], z: float) -> Entry:
    force, moment = resultant(tractions)
    return Entry(name, force, moment - np.cross([0.0, 0.0, z], force), z)
