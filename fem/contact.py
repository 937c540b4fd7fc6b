"""Press fit of sleeve and shell: frictionless unilateral contact of two bodies of revolution, n = 0.

At every pair of facing nodes the contact is either closed, u_shell − u_sleeve = δ with pressure >= 0, or
open, with zero pressure and u_shell − u_sleeve > δ; δ is the radial interference. This linear
complementarity problem is solved by block principal pivoting (`block_pivoting`), which terminates because
the compliance matrix of the pairs is positive definite.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.complementarity import block_pivoting
from hoopwright.fem.contact_system import ContactSystem, TwoBodies
from hoopwright.fem.factor_cache import FactorCache
from hoopwright.fem.interface import Interface
from hoopwright.fem.numbering import masters
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import COMPONENTS, R
from hoopwright.fem.validation import at_pairs, check_finite

TENSION_TOLERANCE = 1e-10  # of the largest contact force
OVERLAP_TOLERANCE = 1e-12  # of the largest interference


@dataclass(frozen=True)
class PressFit:
    """Solution of a press fit.

    displacement: (nodes, 3), mm; pressure: contact pressure, (pairs,), MPa, compression positive;
    closed: (pairs,) bool, pairs in contact; stuck: whether the faces are also tied axially;
    steps: pivoting steps taken.
    """

    displacement: np.ndarray
    pressure: np.ndarray
    closed: np.ndarray
    stuck: bool
    steps: int


@dataclass
class FitSolver:
    """Solves press fits of one model.

    For a given contact set the fit is linear in interference and load, so its factorised system is cached
    and serves whatever other fits close the same pairs, or a few pairs less.

    ends_held: True fixes u_z on all end faces (plane strain), for comparison with closed forms.
    """

    model: Model
    interface: Interface
    ends_held: bool = False
    factors: FactorCache[ContactSystem] = field(default_factory=FactorCache)

    def press(
        self, radial_interference: np.ndarray, *, stuck: bool, temperature_rise: float = 0.0
    ) -> PressFit:
        """Solve the press fit for radial interference at the pairs, (pairs,), mm.

        stuck: solve again with the faces also tied axially at the pairs that are closed without
        friction. temperature_rise: K, of both bodies. Raises ValueError where it or an interference is NaN
        or infinite, or there is not one interference for each pair; SolveError if pivoting does not
        converge.
        """
        radial_interference = at_pairs("radial interference", radial_interference, len(self.interface.z))
        check_finite("temperature rise", temperature_rise, "K")
        load = self.model.thermal_load(temperature_rise) if temperature_rise else np.zeros(self.model.size)
        no_pairs = np.zeros(len(radial_interference), dtype=bool)
        start = ~no_pairs if temperature_rise else radial_interference > 0.0
        free = self._pivot(start, no_pairs, radial_interference, load)
        return self._pivot(free.closed, free.closed, radial_interference, load) if stuck else free

    def _pivot(
        self, closed: np.ndarray, held: np.ndarray, radial_interference: np.ndarray, load: np.ndarray
    ) -> PressFit:
        """Pivot pairs between closed and open until no pair is in tension and none overlaps.

        held: pairs tied axially whether closed or open, so that the compliance, and with it the proof
        of termination, does not change with the contact set.
        """

        def solve(closed: np.ndarray) -> tuple[tuple[np.ndarray, np.ndarray], np.ndarray]:
            displacement, force = self._system(closed, held).solve(closed, radial_interference, load)
            u = displacement.reshape(-1, COMPONENTS)
            return (u, force), self._offending(closed, radial_interference, u, force)

        (u, force), closed, step = block_pivoting(closed, solve)
        pressure = np.where(closed, np.maximum(force, 0.0), 0.0) / self.interface.weight
        return PressFit(u, pressure, closed, bool(held.any()), step)

    def _offending(
        self, closed: np.ndarray, radial_interference: np.ndarray, u: np.ndarray, force: np.ndarray
    ) -> np.ndarray:
        """Pairs that are closed and pulled, or open and overlap; u: (nodes, 3), mm; force: N per radian."""
        shell, sleeve = self.interface.shell, self.interface.sleeve
        gap = u[shell, R] - u[sleeve, R] - radial_interference
        pulled = force < -TENSION_TOLERANCE * max(float(np.max(np.abs(force))), 1e-300)
        overlaps = gap < -OVERLAP_TOLERANCE * max(float(np.max(np.abs(radial_interference))), 1e-6)
        return np.flatnonzero(np.where(closed, pulled, overlaps))

    def _system(self, closed: np.ndarray, held: np.ndarray) -> ContactSystem:
        """The cached system that serves this contact set; factorised and cached if there is none."""
        system = self.factors.superset_of(closed, held)
        if system is None:
            system = ContactSystem(self._bodies, closed, held)
            self.factors.add(system)
        return system

    @cached_property
    def _bodies(self) -> TwoBodies:
        return TwoBodies(self.model, self.interface, self.ends_held)


def tie(size: int, pairs: Interface, tied: Mapping[int, np.ndarray]) -> csr_matrix:
    """Constraint matrix T (size, size) that eliminates the shell's tied unknowns in favour of the sleeve's.

    tied: for each displacement component, which pairs are tied in it, (pairs,) bool. Columns of the
    eliminated unknowns are empty.
    """
    master = masters(size, pairs, tied)
    return csr_matrix((np.ones(size), (np.arange(size), master)), shape=(size, size))
