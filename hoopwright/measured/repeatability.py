"""How far a reading scatters from one to the next: as stated for its gauge, as its readings show, or, where
neither is known, assumed from the gauge.

A stated repeatability counts as long as it explains the scatter of the readings (1 % level). Scatter
seen in few readings follows Student's t. Where the case states none, and fewer readings show it than
would be as good as a guess, a figure taken from the kind of the gauge, its step and its accuracy is
pooled with what they show, and the wider of the two counts: no reading is free of scatter, and two that
happen to agree do not make it so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf, sqrt

from scipy import special

from hoopwright.geometry.readings import Gauge
from hoopwright.measured.uncertainty_budget import UncertaintyComponent, coverage_factor

BY_KIND = {(2, "bore"): 0.003, (2, "outside"): 0.002, (3, "bore"): 0.002, (3, "outside"): 0.002}
"""Least standard deviation assumed of one reading by hand, mm, by contacts and surface: a two-point gauge
is rocked in a bore to find the smallest reading, a micrometer and a three-point gauge align themselves.
Common practice, no source; on the high side, twice what the presets of such instruments have."""
SHARE_OF_STEP = 0.5
"""And at least this share of the step of the display. Our choice."""
SHARE_OF_ACCURACY = 0.5
"""And at least this share of the stated accuracy, which is given for one reading by a practised hand. Our
choice."""
ASSUMED_DOF = 3.0
"""Degrees of freedom of an assumed figure, which is known to four tenths of its value: ν = ½ (Δu/u)⁻²
(JCGM 100, G.4.2, from memory). Readings that show their scatter as well as that stand for themselves."""
LEVEL = 0.01
"""Chance of scatter so great at which a stated repeatability no longer explains it."""


@dataclass(frozen=True)
class Scatter:
    """Standard deviation of one reading with a gauge, mm, with its degrees of freedom; dof 0: not known."""

    gauge: Gauge
    std: float = 0.0
    dof: float = 0.0


@dataclass(frozen=True)
class Repeatability:
    """Standard deviation of one reading, mm, with its degrees of freedom. name: as the budget names it;
    note: what the reader is told of it, or "". seen: whether the readings show it."""

    std: float
    dof: float
    name: str
    note: str = ""
    seen: bool = False

    def component(self, share: float) -> UncertaintyComponent:
        """Its part of an error that takes this share of it."""
        return UncertaintyComponent(self.name, self.std * share, "normal", self.dof)


def repeatability_of(scatter: Scatter, surface: str) -> Repeatability:
    """Repeatability to count for readings of a surface, "bore" or "outside", with a gauge whose readings
    scatter so."""
    stated = scatter.gauge.repeatability
    seen = Repeatability(scatter.std, scatter.dof, "scatter of the readings", seen=True)
    if stated is not None:
        greatest = stated * sqrt(special.chdtri(scatter.dof, LEVEL) / scatter.dof) if scatter.dof else inf
        if scatter.std <= greatest:
            return Repeatability(stated, inf, "repeatability of the gauge")
        note = "the readings scatter more than the gauge's repeatability explains (1 % level)"
        return Repeatability(scatter.std, scatter.dof, seen.name, note, seen=True)
    if scatter.dof >= ASSUMED_DOF:
        return seen
    guess = _assumed(scatter.gauge, surface)
    dof = guess.dof + scatter.dof
    assumed = replace(
        guess, std=sqrt((guess.dof * guess.std**2 + scatter.dof * scatter.std**2) / dof), dof=dof
    )
    if scatter.dof and _reach(seen) >= _reach(assumed):
        note = (
            f"few readings show their scatter: it counts {coverage_factor(scatter.dof):.1f} times, not "
            "twice (Student's t). Read more often, or give [gauge] repeatability"
        )
        return replace(seen, note=note)
    return assumed


def expected_std(gauge: Gauge, surface: str) -> float:
    """Standard deviation that a reading is expected to have before any is seen, mm."""
    return _assumed(gauge, surface).std if gauge.repeatability is None else gauge.repeatability


def pooled(scatters: Iterable[Scatter], gauge: Gauge) -> Scatter:
    """Scatter of one gauge from all that was read with it: √(Σ ν s² / Σ ν)."""
    found = [s for s in scatters if s.gauge.instrument == gauge.instrument and s.dof]
    dof = sum(s.dof for s in found)
    return Scatter(gauge, sqrt(sum(s.dof * s.std**2 for s in found) / dof), dof) if dof else Scatter(gauge)


def _assumed(gauge: Gauge, surface: str) -> Repeatability:
    """What is assumed of a gauge of which no repeatability is given."""
    std, source = max(
        (BY_KIND[gauge.contacts, surface], "kind"),
        (SHARE_OF_STEP * gauge.resolution, "resolution"),
        (SHARE_OF_ACCURACY * gauge.accuracy, "accuracy"),
    )
    note = (
        f"no repeatability of {gauge.name} is given, and too few readings show it: "
        f"{1e3 * std:.3g} µm ({1e3 * std / 25.4:.2g} thou) is assumed from its {source}. Give [gauge] "
        "repeatability, or read more often"
    )
    return Repeatability(std, ASSUMED_DOF, f"repeatability, taken from the gauge's {source}", note)


def _reach(repeatability: Repeatability) -> float:
    """Half-width of the 95 % interval of one reading, mm."""
    return repeatability.std * coverage_factor(repeatability.dof)
