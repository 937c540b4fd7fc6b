"""The verdict on a repair route and on a comparison of several, in one or two sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from hoopwright.display import margin_text
from hoopwright.sizing.routes import RouteResult, rank


def route_verdict(result: RouteResult) -> str:
    """The verdict on a route, to follow its name."""
    if result.state == "cannot be made":
        return "cannot be made."
    worst = result.governing
    if worst is None:
        return "nothing could be judged from this case."
    value = margin_text(worst.margin)
    judged = sum(m.margin is not None for m in result.margins)
    count = f"{judged} way" + ("s" if judged > 1 else "") + " to fail"
    text = {
        "holds": f"holds on {count}; least margin {value}, {worst.title}.",
        "holds as far as judged": f"holds as far as judged, on {count}; least margin {value}, "
        f"{worst.title}.",
        "fails": f"fails: {worst.title}, margin {value} ({count}).",
        "undecided": f"undecided: too close to the limit or in doubt; least margin {value}, {worst.title}.",
        "not judged": "nothing could be judged.",
    }[result.state]
    if result.window is not None and result.window.empty:
        text += " No interference would satisfy every check."
    elif result.window is not None and result.state == "fails":
        text += " Another interference would hold."
    return text


ComparisonState = Literal["holds", "holds as far as judged", "undecided", "fails"]


def comparison_state(results: Sequence[RouteResult]) -> ComparisonState:
    """Whether the best of the alternatives holds as planned; undecided where the most that can be said is
    that one may."""
    states = {r.state for r in results}
    if "holds" in states:
        return "holds"
    if "holds as far as judged" in states:
        return "holds as far as judged"
    return "undecided" if states & {"undecided", "not judged"} else "fails"


def comparison_verdict(results: Sequence[RouteResult]) -> str:
    """Which of the alternatives is best and what it comes to, in one or two sentences."""
    best, count = min(results, key=rank), len(results)
    if best.state in ("holds", "holds as far as judged"):
        return f"Best of {count}: {best.route.name}; it {route_verdict(best)}"
    if best.best is not None:
        return (
            f"Best of {count}: {best.route.name}, with another interference; as planned it "
            f"{route_verdict(best)}"
        )
    return f"None of the {count} holds as it stands."
