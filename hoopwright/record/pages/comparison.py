"""Pages of a comparison as blocks for the template."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import (
    Block,
    as_sentence,
    bullets,
    facts,
    figure,
    heading,
    keep_together,
    table,
    text,
)
from hoopwright.record.pages.frame import frame
from hoopwright.record.pages.provenance import provenance, signatures
from hoopwright.record.pages.title_block import title_block

Route = dict[str, Any]
MAX_BARS = 32


def comparison_pages(d: dict[str, Any], *, hashes: Mapping[str, str]) -> dict[str, Any]:
    """Input of the template. d: content of results.json. hashes: SHA-256 of the other files, by name."""
    units = Units(d["record"]["shown_in"])
    routes: list[Route] = d["routes"]
    holds = any(r["state"] == "holds" for r in routes)
    blocks: list[Block] = [
        title_block(d),
        {
            "kind": "verdict",
            "tone": "good" if holds else "bad",
            "text": d["verdict"],
            "word": "A WAY HOLDS" if holds else "NONE HOLDS",
        },
        heading("Side by side"),
        _overview(routes, units),
        text(
            "Margin: the smallest as planned. Best: the smallest, at the interference that makes it "
            "largest.",
            small=True,
        ),
        *([figure("compare")] if _bars_fit_page(routes) else []),
        *_margins(routes),
        heading("One by one"),
        *(keep_together(*_route(k, r)) for k, r in enumerate(routes, start=1)),
        heading("Cautions"),
        bullets(d["cautions"], small=True),
        keep_together(*provenance(d, hashes), *signatures(("Compared by", "Chosen by"))),
    ]
    return frame(d, "Comparison", blocks)


def _bars_fit_page(routes: list[Route]) -> bool:
    """Whether the bars of all margins fit on a page; otherwise the table of margins has to do."""
    checks = {c["id"] for r in routes for c in r["checks"] if c["margin"] is not None}
    return len(checks) * (len(routes) + 1) <= MAX_BARS


def _overview(routes: list[Route], units: Units) -> Block:
    rows = [
        [
            f"{k}  {r['name']}",
            units.text(r["bore_after_cutting_mm"], "mm"),
            units.text(r["wall_left_mm"], "mm"),
            _governing_margin(r),
            "" if r["best_margin"] is None else f"{r['best_margin']:+.2f}",
            _window(r, units),
            r["state"],
        ]
        for k, r in enumerate(routes, start=1)
    ]
    strong = [k for k, r in enumerate(routes) if r["state"] != "holds"]
    return table(["", "bore cut to", "wall left", "margin", "best", "window", "state"], rows, strong=strong)


def _governing_margin(r: Route) -> str:
    found = next((c["margin"] for c in r["checks"] if c["id"] == r["governing"]), None)
    return "" if found is None else f"{found:+.2f}"


def _window(r: Route, units: Units) -> str:
    window = r["window"]
    if window is None:
        return "no fit"
    if window["empty"]:
        return "none"
    low, high = (window[k]["effective_interference_um"] for k in ("least", "greatest"))
    return f"{units.number(low, 'um')} to {units.text(high, 'um')}"


def _margins(routes: list[Route]) -> list[Block]:
    """Table of margins, a row per check and a column per route, nearest the limit first."""
    titles = {c["id"]: c["title"] for r in routes for c in r["checks"]}
    by_route = [{c["id"]: c for c in r["checks"]} for r in routes]

    def smallest_margin(identity: str) -> float:
        return min(
            (
                c[identity]["margin"]
                for c in by_route
                if identity in c and c[identity]["margin"] is not None
            ),
            default=float("inf"),
        )

    order = sorted(titles, key=smallest_margin)
    rows = [
        [titles[i], *(_cell(c.get(i)) for c in by_route)]
        for i in order
        if smallest_margin(i) < float("inf")
    ]
    if not rows:
        return []
    return [heading("Margins as planned"), table(["check", *map(str, range(1, len(routes) + 1))], rows)]


def _cell(check: dict[str, Any] | None) -> str:
    if check is None or check["margin"] is None:
        return "–"
    mark = {"fails": " fails", "unresolved": " undecided"}.get(check["state"], "")
    return f"{check['margin']:+.2f}{mark}"


def _route(k: int, r: Route) -> list[Block]:
    summary = f"{k}  {r['name']}: {r['verdict']}"
    rows = [("needs", r["needs"]), ("cost", r["cost"]), ("note", as_sentence(r["note"]))]
    return [text(summary), facts(rows)]
