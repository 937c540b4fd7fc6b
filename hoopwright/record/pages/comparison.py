"""Pages of a comparison as blocks for the template."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.display import Units, flagged_margin, margin_text, state_cell
from hoopwright.display.rows import Row, further_text, in_order_of, row_margin, window_text
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
from hoopwright.record.pages.presets import presets
from hoopwright.record.pages.provenance import provenance, signatures
from hoopwright.record.pages.title_block import title_block, verdict_block

Route = dict[str, Any]
Numbered = list[tuple[int, Route]]
"""Routes with their places in the comparison."""
APART = "Not comparable: judged on fewer ways to fail than the others"


def comparison_pages(d: dict[str, Any], *, hashes: Mapping[str, str]) -> dict[str, Any]:
    """Input of the template. d: content of results.json. hashes: SHA-256 of the other files, by name."""
    units = Units(d["record"]["shown_in"])
    d = in_order_of(units, d)
    routes: list[Route] = d["routes"]
    numbered = list(enumerate(routes, start=1))
    comparable, apart = (
        [(k, r) for k, r in numbered if r["comparable"] is is_so] for is_so in (True, False)
    )
    further = further_text(row for route in routes for row in route["checks"])
    blocks: list[Block] = [
        title_block(d),
        verdict_block(d),
        heading("Side by side"),
        *([_overview(comparable, units)] if comparable else []),
        *([text(APART + ":"), _overview(apart, units)] if apart else []),
        text(
            "Margin: the smallest as planned. Best: the smallest, at the interference that makes it "
            f"largest. {further}".strip(),
            small=True,
        ),
        *_margins(comparable, "Margins as planned"),
        *_margins(apart, APART),
        figure("compare"),
        heading("One by one"),
        *(keep_together(*_route(k, r)) for k, r in numbered),
        *presets(d, units),
        heading("Cautions"),
        bullets(d["cautions"], small=True),
        keep_together(*provenance(d, hashes), *signatures(("Compared by", "Chosen by"))),
    ]
    return frame(d, "Comparison", blocks, hashes)


def _overview(routes: Numbered, units: Units) -> Block:
    rows = [
        [
            f"{k}  {r['name']}",
            units.text(r["bore_after_cutting_mm"], "mm"),
            units.text(r["wall_left_mm"], "mm"),
            _governing_margin(r),
            "" if r["best_interference_um"] is None else margin_text(r["best_margin"]),
            _window(r, units),
            state_cell(r["state"]),
        ]
        for k, r in routes
    ]
    strong = [row for row, (_, r) in enumerate(routes) if r["state"] != "holds"]
    return table(["", "bore cut to", "wall left", "margin", "best", "window", "state"], rows, strong=strong)


def _governing_margin(r: Route) -> str:
    governing = next((c for c in r["checks"] if c["id"] == r["governing"]), None)
    return "" if governing is None else row_margin(governing)


def _window(r: Route, units: Units) -> str:
    window = r["window"]
    if window is None:
        return "no fit"
    if window["withheld"]:
        return "withheld"
    return "empty" if window["empty"] else window_text(window, units)


def _margins(routes: Numbered, title: str) -> list[Block]:
    """Table of margins, a row per check and a column per route, nearest the limit first."""
    by_route = [_judged(r) for _, r in routes]
    titles = {identity: row["title"] for rows in by_route for identity, row in rows.items()}

    def smallest(identity: str) -> float:
        found = [rows[identity]["margin"] for rows in by_route if identity in rows]
        return min((m for m in found if m is not None), default=float("inf"))

    table_rows = [
        [titles[identity], *(_cell(rows.get(identity)) for rows in by_route)]
        for identity in sorted(titles, key=smallest)
    ]
    if not table_rows:
        return []
    head = ["check", *(str(k) for k, _ in routes)]
    return [keep_together(heading(title), table(head, table_rows))]


def _judged(r: Route) -> dict[str, Row]:
    """The judged rows of a route by id."""
    return {c["id"]: c for c in r["checks"] if c["state"] != "not assessed"}


def _cell(row: Row | None) -> str:
    return "–" if row is None else flagged_margin(row["margin"], row["state"])


def _route(k: int, r: Route) -> list[Block]:
    summary = f"{k}  {r['name']}: {r['verdict']}"
    rows = [("needs", r["needs"]), ("cost", r["cost"]), ("note", as_sentence(r["note"]))]
    return [text(summary), facts(rows)]
