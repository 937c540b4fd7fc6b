"""A result as HTML for a notebook: the verdict, its rows as a table, and the figure of what governs."""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterable, Sequence
from html import escape
from typing import TYPE_CHECKING, Any

from hoopwright.display import Units, margin_text, state_cell
from hoopwright.display.rows import STAGES, cell_text, governing_text, margin_cell, unjudged_text
from hoopwright.display.stop_line import stop_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def html(d: dict[str, Any], units: Units, figure: Callable[[], Figure | None]) -> str:
    """The HTML of a document of any command. figure: makes the figure; None where there is none."""
    parts = [f"<p><b>{escape(d['case']['title'])}</b></p>"]
    if "verdict" in d:
        parts.append(f"<p>{escape(d['verdict'])}</p>")
    if d.get("turn_to"):
        parts.append(_bands(d["turn_to"]["bands"], units))
    if "routes" in d:
        parts.append(_routes(d["routes"], units))
    if "checks" in d:
        parts.append(_rows(d["checks"], units))
    if d.get("force_against_travel"):
        parts.append(_forces(d["force_against_travel"], units))
    if "failing" in d:
        parts.append(_failing(d["failing"]))
    cautions = "".join(f"<li>{escape(text)}</li>" for text in d["cautions"])
    return "\n".join(["<div>", *parts, _image(figure), f"<ul>{cautions}</ul>", "</div>"])


def _rows(rows: Sequence[dict[str, Any]], units: Units) -> str:
    judged = [row for row in rows if row["state"] != "not assessed"]
    lines = (
        [row["title"], *(cell_text(row, stage) for stage in STAGES), governing_text(row, units)]
        for row in judged
    )
    rest = (unjudged_text(row, units) for row in rows if row["state"] == "not assessed")
    return _table(["way to fail", *STAGES, "what governs"], lines) + _list("Not judged:", rest)


def _bands(bands: Sequence[dict[str, Any]], units: Units) -> str:
    lines = ([f"land {b['land']}", _size(b, units), _aim(b, units)] for b in bands)
    return _table(["cut to, at 20 °C", "size", "aim at"], lines)


def _aim(band: dict[str, Any], units: Units) -> str:
    """The aim of a land; of one that tapers that of each end, by its z."""
    if not band["ends"]:
        return "" if band["aim_mm"] is None else units.text(band["aim_mm"], "mm")
    ends = (end for end in band["ends"] if end["aim_mm"] is not None)
    return ", ".join(f"{units.text(end['aim_mm'], 'mm')} at z {units.along(end['z_mm'])}" for end in ends)


def _size(band: dict[str, Any], units: Units) -> str:
    if not band["makeable"]:
        return "none that the gauge can show"
    return f"{units.number(band['low_mm'], 'mm')} to {units.text(band['high_mm'], 'mm')}"


def _routes(routes: Sequence[dict[str, Any]], units: Units) -> str:
    lines = (
        [
            r["name"],
            units.text(r["bore_after_cutting_mm"], "mm"),
            units.text(r["wall_left_mm"], "mm"),
            next((margin_cell(c) for c in r["checks"] if c["id"] == r["governing"]), ""),
            state_cell(r["state"]),
            r["verdict"],
        ]
        for r in routes
    )
    return _table(["route", "bore", "wall", "least margin", "state", ""], lines)


def _forces(part: dict[str, Any], units: Units) -> str:
    lines = [[name, units.text(part[f"greatest_{name}_N"], "N")] for name in ("least", "likely")]
    lines.append(["stop at", stop_text(part["greatest_stop_N"], units)])
    return _table(["greatest force on the way in", ""], lines)


def _failing(cells: Sequence[dict[str, Any]]) -> str:
    return _list("Fails:", (f"{c['title']}, {c['stage']}, {margin_text(c['margin'])}" for c in cells))


def _table(head: Iterable[str], lines: Iterable[Iterable[str]]) -> str:
    top = "".join(f"<th>{escape(cell)}</th>" for cell in head)
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in line)}</tr>" for line in lines)
    return f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


def _list(title: str, texts: Iterable[str]) -> str:
    items = "".join(f"<li>{escape(text)}</li>" for text in texts)
    return f"<p>{escape(title)}</p><ul>{items}</ul>" if items else ""


def _image(figure: Callable[[], Figure | None]) -> str:
    """The figure as an image of its own, so that its styles and names touch nothing else on the page; ""
    where there is none, or the plotting library cannot draw here: the table says all that it shows."""
    try:
        made = figure()
        if made is None:
            return ""
        from hoopwright.record.figures.style import rendered

        data = base64.b64encode(rendered(made, "svg")).decode("ascii")
    except Exception:
        return ""
    return f'<img alt="what governs" src="data:image/svg+xml;base64,{data}">'
