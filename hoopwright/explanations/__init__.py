"""What every row is about: what fails and how it looks, formula, range, limits, sources and tests.

The texts are in the TOML files here, one table for every row by its id; what several rows share (Lamé's
rings, the pull of a cup) stands once, in `parts.toml`. Expressions are in the grammar of the working.
"""

from hoopwright.explanations.model import Block, Chapter, Explanation, Formula, Source, Symbol
from hoopwright.explanations.named import RowNameError, row_named
from hoopwright.explanations.read import LABELS, explanation_of, explanations, mechanics

__all__ = [
    "LABELS",
    "Block",
    "Chapter",
    "Explanation",
    "Formula",
    "RowNameError",
    "Source",
    "Symbol",
    "explanation_of",
    "explanations",
    "mechanics",
    "row_named",
]
