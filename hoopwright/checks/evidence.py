"""What every check is given: the case, and its press fit at the interference in question."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.fit import Bracket
from hoopwright.study import CaseStudy


@dataclass(frozen=True)
class Evidence:
    """study: the FE fits of the case. least, greatest: shift of the diametral interference from
    nominal, mm, at the loosest and the tightest fit to be expected of the sizes; equal when one fit
    is examined by itself.
    """

    case: Case
    study: CaseStudy
    least: float
    greatest: float

    @property
    def loosest(self) -> Bracket:
        return self.study.at(self.least)

    @property
    def tightest(self) -> Bracket:
        return self.study.at(self.greatest)


def evidence_of(case: Case, study: CaseStudy) -> Evidence:
    """Evidence at both ends of the 95 % interval of the interference."""
    return Evidence(case, study, -study.spread, study.spread)
