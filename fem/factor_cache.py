"""Cache of factorised systems by contact set."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

import numpy as np

MAX_RELEASED = 8
"""Pairs released from one factorisation; for more of them a new factorisation is cheaper."""
MAX_CACHED_UNKNOWNS = 60_000
"""Unknowns of all cached systems together: contact sets rarely recur, and 20,000 unknowns take 40 MB."""
MIN_CACHED = 2
"""Systems cached whatever their size: frictionless and stuck fits take turns."""


class FactorisedSet(Protocol):
    """A system factorised for one contact set.

    closed, held: (pairs,) bool, pairs tied radially and axially. unknowns: number of equations.
    """

    @property
    def closed(self) -> np.ndarray: ...

    @property
    def held(self) -> np.ndarray: ...

    @property
    def unknowns(self) -> int: ...


AnySet = TypeVar("AnySet", bound=FactorisedSet)


@dataclass
class FactorCache(Generic[AnySet]):
    """Factorised systems, found by contact set; the least recently used is evicted first.

    max_released: pairs that a system may have closed beyond those asked for. max_unknowns: limit on the
    unknowns of all cached systems together; MIN_CACHED of them stay even beyond it.
    """

    max_released: int = MAX_RELEASED
    max_unknowns: int = MAX_CACHED_UNKNOWNS
    _systems: list[AnySet] = field(default_factory=list)  # in order of last use, the latest at the end

    def __len__(self) -> int:
        return len(self._systems)

    def __iter__(self) -> Iterator[AnySet]:
        return iter(self._systems)

    def superset_of(self, closed: np.ndarray, held: np.ndarray) -> AnySet | None:
        """The system with the fewest closed pairs beyond `closed`, none up to max_released of them.

        closed, held: (pairs,) bool. Returns None where no system holds the same pairs axially and has all
        of `closed` closed.
        """
        near = [
            k
            for k, system in enumerate(self._systems)
            if np.array_equal(system.held, held)
            and not np.any(closed & ~system.closed)
            and np.count_nonzero(system.closed & ~closed) <= self.max_released
        ]
        if not near:
            return None
        nearest = min(near, key=lambda k: np.count_nonzero(self._systems[k].closed))
        self._systems.append(self._systems.pop(nearest))
        return self._systems[-1]

    def add(self, system: AnySet) -> None:
        """Cache a system as the latest used, and evict what no longer finds room."""
        self._systems.append(system)
        while len(self) > MIN_CACHED and sum(s.unknowns for s in self) > self.max_unknowns:
            del self._systems[0]
