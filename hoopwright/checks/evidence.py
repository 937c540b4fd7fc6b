"""Input of every check: the case, and its press fits at the ends of the interference range."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.fit import Bracket
from hoopwright.study import CaseStudy


@dataclass(frozen=True)
class Evidence:
    """Case, solutions and range of interference that a check judges.

    least, greatest: shift of the diametral interference from nominal at the loosest and the tightest fit
    the sizes allow, mm; equal where a single fit is examined.
    """

    case: Case
    study: CaseStudy
    least: float
    greatest: float

    @property
    def loosest(self) -> Bracket:
        """The fit at the least interference."""
        return self.study.at(self.least)

    @property
    def tightest(self) -> Bracket:
        """The fit at the greatest interference."""
        return self.study.at(self.greatest)


def evidence_of(case: Case, study: CaseStudy) -> Evidence:
    """Evidence over the 95 % interval of the interference."""
    return Evidence(case, study, -study.interference_half_width, study.interference_half_width)
