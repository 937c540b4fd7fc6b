"""A further way to fail, as another distribution declares it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoopwright.checks.evidence import Evidence
    from hoopwright.checks.margin import Margin
    from hoopwright.explanations import Explanation
    from hoopwright.working.sheet import Working


@dataclass(frozen=True)
class FurtherRow:
    """What an entry point of the group `hoopwright.rows` stands for.

    check: judges the row, at any interference that the evidence says. working: the lines that lead to its
    margin; asked for only where there is a demand or a limit. explanation: with its id, title, stages and
    unit, which are those of the row.
    """

    check: Callable[[Evidence], Margin]
    working: Callable[[Evidence, Margin], Working]
    explanation: Explanation


@dataclass(frozen=True)
class InstalledRow:
    """A further row, and the distribution and the entry point that bring it."""

    row: FurtherRow
    distribution: str
    version: str
    entry_point: str

    @property
    def id(self) -> str:
        return self.row.explanation.id

    @property
    def title(self) -> str:
        return self.row.explanation.title

    @property
    def origin(self) -> str:
        """The distribution with its version, as a reader is shown it."""
        return f"{self.distribution} {self.version}"
