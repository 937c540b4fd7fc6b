"""`hoopwright compare` as text for a terminal of 80 columns."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoopwright.case.model import Case
from hoopwright.cautions import ROUTES
from hoopwright.checks.margin import Margin
from hoopwright.display import Units
from hoopwright.screen.wrapping import WIDTH, bullets, paragraph
from hoopwright.sizing.route_verdict import route_verdict
from hoopwright.sizing.routes import RouteResult

MEANING = "margin: least as planned; best: the largest least margin in the window, which the order goes by."
MARK = {
    "holds": "holds",
    "fails": "FAILS",
    "undecided": "undecided",
    "not judged": "not judged",
    "cannot be made": "no",
}


def report_routes(case: Case, results: Sequence[RouteResult], units: Units) -> str:
    """Routes side by side, best first, then what each needs and comes to."""
    lines = [
        *paragraph(case.title + (" (invented data)" if case.invented else "")),
        "",
        *paragraph(_verdict(results)),
        "",
        f"{'route':26s} {'bore, ' + units.label('mm'):>8s} {'wall, ' + units.label('mm'):>8s} "
        f"{'margin':>6s} {'best':>6s} {'window, ' + units.label('um'):>12s} state",
        "-" * (WIDTH - 1),
    ]
    lines += [_row(k, r, units) for k, r in enumerate(results, start=1)]
    lines += paragraph(MEANING, "  ")
    for k, r in enumerate(results, start=1):
        lines += ["", *paragraph(f"{k} {r.route.name}: {route_verdict(r)}{_aim(r, units)}")]
        if r.route.needs:
            lines += paragraph(f"needs: {r.route.needs}", "  ")
        if r.route.cost:
            lines += paragraph(f"cost: {r.route.cost}", "  ")
        if r.reason:
            lines += paragraph(r.reason, "  ")
    return "\n".join([*lines, "", *bullets((ROUTES,))]) + "\n"


def report_sleeves(case: Case, results: Sequence[RouteResult], units: Units) -> str:
    """The same sleeve in two or more materials: margins by check."""
    lines = [
        *paragraph(case.title + (" (invented data)" if case.invented else "")),
        "",
        "The same sleeve in " + str(len(results)) + " materials, on the same loads",
        "",
    ]
    lines += [f"  {chr(65 + k)}  {r.route.name}" for k, r in enumerate(results)]
    lines += [
        "",
        f"{'margin':24s} " + " ".join(f"{chr(65 + k):>9s}" for k in range(len(results))),
        "-" * (WIDTH - 1),
    ]
    rows = {m.id: m.title for r in results for m in r.margins}
    for identity, title in rows.items():
        found = [next((m for m in r.margins if m.id == identity), None) for r in results]
        if any(m is not None and m.margin is not None for m in found):
            lines.append(f"{title:24s} " + " ".join(f"{_cell(m):>9s}" for m in found))
    windows = [_window(r, units) for r in results]
    lines += [
        f"{'window, from ' + units.label('um'):24s} " + " ".join(f"{w[0]:>9s}" for w in windows),
        f"{'window, to ' + units.label('um'):24s} " + " ".join(f"{w[1]:>9s}" for w in windows),
        "",
    ]
    for k, r in enumerate(results):
        lines += paragraph(f"{chr(65 + k)}: {route_verdict(r)}")
        lines += paragraph(r.reason, "  ") if r.reason else []
    return (
        "\n".join(
            [*lines, "", "x marks a check that fails, ? one that is undecided.", *bullets((ROUTES,))]
        )
        + "\n"
    )


def _aim(r: RouteResult, units: Units) -> str:
    if r.best is None or math.isinf(r.best[0]):
        return ""
    return f" At best {r.best[0]:+.2f}, with {units.both(1e3 * r.best[1], 'um')} of interference."


def _verdict(results: Sequence[RouteResult]) -> str:
    best = results[0]
    if best.state == "holds":
        return f"Best of {len(results)}: {best.route.name}; it {route_verdict(best)}"
    if best.best is not None:
        return (
            f"Best of {len(results)}: {best.route.name}, with another interference; as planned it "
            f"{route_verdict(best)}"
        )
    return f"None of the {len(results)} routes holds as it stands."


def _row(k: int, r: RouteResult, units: Units) -> str:
    worst = r.governing
    margin = (
        ""
        if worst is None or worst.margin is None
        else ("none" if math.isinf(worst.margin) else f"{worst.margin:+.2f}")
    )
    window = (
        "" if r.window is None else "empty" if r.window.empty else units.number(1e3 * r.window.width, "um")
    )
    best = "" if r.best is None else "none" if math.isinf(r.best[0]) else f"{r.best[0]:+.2f}"
    return (
        f"{k} {r.route.name:24.24s} {units.number(r.bore, 'mm'):>8s} {units.number(r.wall, 'mm'):>8s} "
        f"{margin:>6s} {best:>6s} {window or 'no fit':>12s} {MARK[r.state]}"
    ).rstrip()


def _cell(m: Margin | None) -> str:
    if m is None or m.margin is None:
        return "-"
    mark = {"fails": " x", "unresolved": " ?"}.get(m.state, "  ")
    return ("none" if math.isinf(m.margin) else f"{m.margin:+.2f}") + mark


def _window(r: RouteResult, units: Units) -> tuple[str, str]:
    if r.window is None or r.window.empty:
        return "empty", "empty"
    return (
        units.number(1e3 * r.window.least, "um") + "  ",
        units.number(1e3 * r.window.greatest, "um") + "  ",
    )
