"""`hoopwright compare` as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.display.rows import Row, further_text, in_order_of, row_margin
from hoopwright.display.units import Units, margin_text, state_cell
from hoopwright.screen.presets import brief_lines
from hoopwright.screen.wrapping import WIDTH, bullets, paragraph, title_lines

LEGEND = (
    "margin: the smallest as planned; best: the smallest at the interference that makes it largest, by "
    "which the routes are ranked. so far: it holds as far as judged."
)
SHORT = {"cannot be made": "no", "holds as far as judged": "so far", "not comparable": "apart"}
"""States too long for the table."""
Route = dict[str, Any]


def report_routes(d: dict[str, Any], units: Units) -> str:
    """Routes side by side, best first, then what each needs and comes to."""
    d = in_order_of(units, d)
    numbered: list[tuple[int, Route]] = list(enumerate(d["routes"], start=1))
    lines = [
        *title_lines(d["case"]),
        "",
        *paragraph(d["verdict"]),
        *brief_lines(d["presets"], named_above=True),
        "",
        f"{'route':22s} {'bore, ' + units.label('mm'):>8s} {'wall, ' + units.label('mm'):>8s} "
        f"{'margin':>7s} {'best':>7s} {'window, ' + units.label('um'):>12s} state",
        "-" * (WIDTH - 1),
        *(_row(k, r, units) for k, r in numbered if r["comparable"]),
        *_apart([_row(k, r, units) for k, r in numbered if not r["comparable"]]),
        *paragraph(LEGEND, "  "),
    ]
    for k, r in numbered:
        lines += ["", *paragraph(f"{k} {r['name']}: {r['verdict']}{_at_best(r, units)}")]
        for name in ("needs", "cost"):
            lines += paragraph(f"{name}: {r[name]}", "  ") if r[name] else []
        lines += paragraph(r["note"], "  ") if r["note"] else []
    return "\n".join([*lines, *_further(d), "", *bullets(d["cautions"])]) + "\n"


def _apart(rows: list[str]) -> list[str]:
    """The routes that are not judged on the same ways to fail."""
    return ["not comparable: judged on fewer ways to fail than the others", *rows] if rows else []


def report_sleeves(d: dict[str, Any], units: Units) -> str:
    """The same sleeve in two or more materials: margins by check."""
    d = in_order_of(units, d)
    routes: list[Route] = d["routes"]
    labels = [chr(65 + k) for k in range(len(routes))]
    by_id = [{c["id"]: c for c in r["checks"]} for r in routes]
    titles = {c["id"]: c["title"] for r in routes for c in r["checks"]}
    lines = [
        *title_lines(d["case"]),
        "",
        *paragraph(d["verdict"]),
        *brief_lines(d["presets"], named_above=True),
        "",
        f"The same sleeve in {len(routes)} materials, on the same loads",
        "",
        *(
            f"  {label}  {r['name']}" + ("" if r["comparable"] else "  (not comparable)")
            for label, r in zip(labels, routes, strict=True)
        ),
        "",
        f"{'margin':24s} " + " ".join(f"{label:>9s}" for label in labels),
        "-" * (WIDTH - 1),
    ]
    for identity, title in titles.items():
        found = [rows.get(identity) for rows in by_id]
        if any(row is not None and row["state"] != "not assessed" for row in found):
            lines.append(f"{title:24s} " + " ".join(f"{_cell(row):>9s}" for row in found))
    for word, end in (("from", "least"), ("to", "greatest")):
        cells = " ".join(f"{_window_end(r['window'], end, units):>9s}" for r in routes)
        lines.append(f"{f'window, {word} ' + units.label('um'):24s} {cells}")
    lines.append("")
    for label, r in zip(labels, routes, strict=True):
        lines += paragraph(f"{label}: {r['verdict']}")
        lines += paragraph(r["note"], "  ") if r["note"] else []
    legend = "x marks a check that fails, ? one that is undecided."
    return "\n".join([*lines, *_further(d), "", legend, *bullets(d["cautions"])]) + "\n"


def _further(d: dict[str, Any]) -> list[str]:
    text = further_text(row for route in d["routes"] for row in route["checks"])
    return ["", *paragraph(text)] if text else []


def _at_best(r: Route, units: Units) -> str:
    if r["best_margin"] is None:
        return ""
    tight = units.both(r["best_interference_um"], "um")
    return f" At best {margin_text(r['best_margin'])}, with {tight} of interference."


def _row(k: int, r: Route, units: Units) -> str:
    worst = next((c for c in r["checks"] if c["id"] == r["governing"]), None)
    window = r["window"]
    width = (
        "no fit"
        if window is None
        else "withheld"
        if window["withheld"]
        else "empty"
        if window["empty"]
        else units.number(window["width_um"], "um")
    )
    best = "" if r["best_interference_um"] is None else margin_text(r["best_margin"])
    return (
        f"{k} {r['name']:20.20s} {units.number(r['bore_after_cutting_mm'], 'mm'):>8s} "
        f"{units.number(r['wall_left_mm'], 'mm'):>8s} {'' if worst is None else row_margin(worst):>7s} "
        f"{best:>7s} {width:>12s} {SHORT.get(r['state']) or state_cell(r['state'])}"
    )


def _cell(row: Row | None) -> str:
    if row is None or row["state"] == "not assessed":
        return "-"
    mark = {"fails": " x", "unresolved": " ?"}.get(row["state"], "  ")
    return row_margin(row) + mark


def _window_end(window: dict[str, Any] | None, end: str, units: Units) -> str:
    if window is not None and window["withheld"]:
        return "withheld"
    if window is None or window["empty"]:
        return "empty"
    return units.number(window[end]["measured_interference_um"], "um") + "  "
