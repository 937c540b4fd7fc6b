"""What a distribution that brings a further row may rely on; DEVELOPERS.md has a worked one."""

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, not_in_the_case, row_of
from hoopwright.estimate import Estimate
from hoopwright.explanations import Explanation, explanation_of
from hoopwright.rows.model import FurtherRow
from hoopwright.working.closing import closed, given_property, size_source
from hoopwright.working.sheet import ByHand, Sheet, Working

__all__ = [
    "ByHand",
    "Estimate",
    "Evidence",
    "Explanation",
    "FurtherRow",
    "Location",
    "Margin",
    "Sheet",
    "Stage",
    "When",
    "Working",
    "closed",
    "explanation_of",
    "given_property",
    "not_in_the_case",
    "row_of",
    "size_source",
]
