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
        return "nothing could be judged from this case." + _without(result)
    value = margin_text(worst.margin)
    judged = sum(m.margin is not None for m in result.margins)
    count = f"{judged} way" + ("s" if judged > 1 else "") + " to fail"
    text = {
        "holds": f"holds on {count}; least margin {value}, {worst.title}.",
        "holds as far as judged": f"holds as far as judged, on {count}; least margin {value}, "
        f"{worst.title}.",
        "fails": f"fails: {worst.title}, margin {value} ({count}).",
        "undecided": f"undecided: too close to the limit or in doubt; least margin {value}, {worst.title}.",
        "not comparable": f"not comparable; on {count} the least margin is {value}, {worst.title}.",
        "not judged": "nothing could be judged.",
    }[result.state]
    return text + _without(result) + _other_interference(result)


def _without(result: RouteResult) -> str:
    """What others are judged on and this route is not; "" where nothing."""
    return f" Not judged, as others are: {', '.join(result.gaps)}." if result.gaps else ""


def _other_interference(result: RouteResult) -> str:
    """Whether another interference would do; "" where the route has no window to say so."""
    if result.window is None or result.window.withheld:
        return ""
    if result.window.empty:
        return " No interference would satisfy every check."
    return " Another interference would hold." if result.state == "fails" else ""


ComparisonState = Literal["holds", "holds as far as judged", "undecided", "fails"]


def comparison_state(results: Sequence[RouteResult]) -> ComparisonState:
    """Whether the best of the alternatives that can be compared holds as planned; undecided where the most
    that can be said is that one may."""
    comparable = [r for r in results if r.comparable]
    states = {r.state for r in comparable}
    if "holds" in states:
        return "holds"
    if "holds as far as judged" in states:
        return "holds as far as judged"
    unsettled = not comparable or bool(states & {"undecided", "not judged"})
    return "undecided" if unsettled else "fails"


def comparison_verdict(results: Sequence[RouteResult]) -> str:
    """Which of the alternatives is best and what it comes to, and which cannot be compared, in a few
    sentences."""
    apart = "; ".join(r.route.name for r in results if not r.comparable)
    also = f" Not comparable: {apart}." if apart else ""
    if any(r.contradicted for r in results):
        return (
            "What was read at the press contradicts the sizes and the friction given, on which every "
            "alternative rests, so none holds until that is explained (`hoopwright press` says how far off "
            "it is)." + also
        )
    return _best_of([r for r in results if r.comparable]) + also


def _best_of(comparable: Sequence[RouteResult]) -> str:
    if not comparable:
        return "None can be compared: each lacks what another is judged on."
    best, count = min(comparable, key=rank), len(comparable)
    if best.state in ("holds", "holds as far as judged"):
        return f"Best of {count}: {best.route.name}; it {route_verdict(best)}"
    if best.best is not None:
        return (
            f"Best of {count}: {best.route.name}, with another interference; as planned it "
            f"{route_verdict(best)}"
        )
    return f"None of the {count} holds as it stands."
