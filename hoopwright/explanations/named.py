"""Which row a person means."""

from __future__ import annotations

from collections.abc import Sequence

from hoopwright.explanations.model import Explanation


class RowNameError(Exception):
    """No row, or more than one, is meant; problem and advice as in a fault of a case."""

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(problem, advice)
        self.problem, self.advice = problem, advice


def row_named(wanted: str, rows: Sequence[Explanation]) -> Explanation:
    """The one of some rows with a title or a name for machines, or the only one with these words in its
    title.

    Raises RowNameError.
    """
    name = _plain(wanted)
    for row in rows:
        if name in (_plain(row.title), _plain(row.id)):
            return row
    words = name.split()
    found = [row for row in rows if words and all(word in _plain(row.title).split() for word in words)]
    if len(found) == 1:
        return found[0]
    titles = ", ".join(row.title for row in found or rows)
    raise RowNameError(
        f"{'several rows are' if found else 'no row is'} {wanted!r}", f"write one of: {titles}"
    )


def _plain(text: str) -> str:
    return " ".join(text.lower().translate(str.maketrans("_-()", "    ")).split())
