"""What a way to repair comes to, in a sentence or two."""

from __future__ import annotations

import math

from hoopwright.sizing.routes import RouteResult


def route_verdict(result: RouteResult) -> str:
    """What a route comes to."""
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
