"""The verdict on a checked case, in one or two sentences."""

from __future__ import annotations

from hoopwright.pipeline import Results


def verdict(results: Results) -> str:
    """The conclusion of a check, never more certain than its margins."""
    if not results.trusted:
        worst = max(
            (p for p in results.comparison.pairings if not p.agrees), key=lambda p: abs(p.difference)
        )
        return (
            f"Not to be used: the finite elements and Lamé differ by "
            f"{100 * worst.difference:+.2f} % in the {worst.what}, where they must agree."
        )
    assessed = [m for m in results.margins if m.margin is not None]
    if not assessed:
        return "Nothing could be judged: the case gives no limits. See the lines not assessed."
    worst_margin = assessed[0]
    if results.failing:
        names = ", ".join(m.title for m in results.failing)
        return f"Do not cut: {len(results.failing)} of {len(assessed)} checks fail ({names})."
    if results.unresolved:
        names = ", ".join(m.title for m in results.unresolved)
        return (
            f"Undecided: {names}: too close to the limit, or resting on something in doubt. "
            "Treat it as failing until it is settled."
        )
    left = len(results.margins) - len(assessed)
    open_part = f" {left} more could not be assessed from this case." if left else ""
    return (
        f"All {len(assessed)} assessed checks hold; the least margin is "
        f"{worst_margin.margin:+.2f} ({worst_margin.title}).{open_part}"
    )
