"""The 95 % interval of every margin, two to a line of 80 columns."""

from __future__ import annotations

from hoopwright.pipeline import Results

LARGEST = 99.0
"""A margin beyond this, either way, is shown as > 99 or < -99: nothing more is learnt from its digits."""


def intervals(results: Results) -> list[str]:
    """Empty where the sizes are given without any ±."""
    cells = [
        f"{m.title:22.22s} {_text(i.low):>6s} to {_text(i.high):>6s}"
        for m in results.margins
        if (i := results.intervals.get(m.id)) is not None and i.high - i.low > 5e-3
    ]
    if not cells:
        return []
    pairs = [" ".join(f"{c:39s}" for c in cells[k : k + 2]).rstrip() for k in range(0, len(cells), 2)]
    return ["", "Margins over the 95 % interval of the sizes:", *pairs]


def _text(value: float) -> str:
    if abs(value) > LARGEST:
        return "> 99" if value > 0.0 else "< -99"
    return f"{value:+.2f}"
