"""The verdict on a repair route, in one or two sentences."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoopwright.sizing.routes import RouteResult, rank


def route_verdict(result: RouteResult) -> str:
    """The verdict on a route, to follow its name."""
    if result.state == "cannot be made":
        return "cannot be made."
    worst = result.governing
    if worst is None:
        return "nothing could be judged from this case."
    value = "without end" if worst.margin is None or math.isinf(worst.margin) else f"{worst.margin:+.2f}"
    judged = sum(m.margin is not None for m in result.margins)
    count = f"{judged} check" + ("s" if judged > 1 else "")
    text = {
        "holds": f"holds on {count}; least margin {value}, {worst.title}.",
        "fails": f"fails: {worst.title}, margin {value} ({count}).",
        "undecided": f"undecided: too close to the limit or in doubt; least margin {value}, {worst.title}.",
        "not judged": "nothing could be judged.",
    }[result.state]
    if result.window is not None and result.window.empty:
        text += " No interference would satisfy every check."
    elif result.window is not None and result.state == "fails":
        text += " Another interference would hold."
    return text


def comparison_verdict(results: Sequence[RouteResult]) -> str:
    """Which of the alternatives is best and what it comes to, in one or two sentences."""
    best, count = min(results, key=rank), len(results)
    if best.state == "holds":
        return f"Best of {count}: {best.route.name}; it {route_verdict(best)}"
    if best.best is not None:
        return (
            f"Best of {count}: {best.route.name}, with another interference; as planned it "
            f"{route_verdict(best)}"
        )
    return f"None of the {count} holds as it stands."
