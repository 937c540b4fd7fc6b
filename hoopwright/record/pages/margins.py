"""Table of margins with numerical error and 95 % interval, then doubts, gaps and advice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import Block, as_sentence, bullets, error_text, heading, table, text

STATE_WORDS = {"holds": "holds", "fails": "FAILS", "unresolved": "undecided"}
MAX_SHOWN_MARGIN = 99.0
Check = dict[str, Any]


def margins(d: dict[str, Any], units: Units) -> list[Block]:
    checks: list[Check] = d["checks"]
    assessed = [c for c in checks if c["state"] != "not assessed"]
    rows = [_row(c, units) for c in assessed]
    strong = [k for k, c in enumerate(assessed) if c["state"] != "holds"]
    head = ["check", "demand", "limit", "factor", "margin", "± mesh", "95 % interval", "where", "state"]
    blocks = [
        heading("Margins, worst first"),
        table(head, rows, wide=(0,), strong=strong),
        text(
            "Margin of safety = limit / (factor × demand) − 1; zero is the limit. ± mesh: numerical "
            "error, an estimate from three meshes. 95 % interval: from the uncertainty of the sizes.",
            small=True,
        ),
    ]
    rest = [c for c in checks if c["state"] == "not assessed"]
    doubts = [f"{titles}: {reason}" for reason, titles in _grouped_by_text(assessed, lambda c: c["doubt"])]
    notes = [f"{titles}: {note}" for note, titles in _grouped_by_text(assessed, lambda c: c["note"])]
    for name, items in (
        ("In doubt", doubts),
        ("Not assessed", [_not_assessed(c, units) for c in rest]),
        ("Advice", notes),
    ):
        if items:
            blocks += [text(name + ":", small=True), bullets([as_sentence(i) for i in items], small=True)]
    return blocks


def _row(c: Check, units: Units) -> list[str]:
    low, high = c["margin_low"], c["margin_high"]
    interval = (
        ""
        if low is None
        else f"{low:+.2f} to "
        + (f"> {MAX_SHOWN_MARGIN:g}" if high is None or high > MAX_SHOWN_MARGIN else f"{high:+.2f}")
    )
    margin = "no demand" if c["margin"] is None else f"{c['margin']:+.2f}"
    unit = units.label(c["unit"])
    return [
        c["title"],
        f"{_short_number(c['demand'], c['unit'], units)} {unit}",
        f"{_short_number(c['capacity'], c['unit'], units)} {unit}",
        f"{c['factor']:.2f}",
        margin,
        "" if c["margin"] is None else error_text(c["numerical_error"]),
        interval,
        _where(c["where"], units),
        STATE_WORDS[c["state"]],
    ]


def _short_number(value: float, unit: str, units: Units) -> str:
    usual = units.number(value, unit)
    return usual if len(usual) <= 7 else units.number(value, unit, decimals=0)


def _where(where: dict[str, Any], units: Units) -> str:
    decimals = 1 if units.system == "metric" else 2
    z = "" if where["z_mm"] is None else f"z {units.text(where['z_mm'], 'mm', decimals=decimals)}"
    angle = f"{where['theta_deg']:.0f}°" if "theta_deg" in where else ""
    return ", ".join(part for part in (z, angle) if part)


def _not_assessed(c: Check, units: Units) -> str:
    known, word = (c["demand"], "demanded") if c["demand"] is not None else (c["capacity"], "available")
    known_value = "" if known is None else f" {units.text(known, c['unit'])} {word};"
    return f"{c['title']}:{known_value} {c['note'] or 'not in the case'}"


def _grouped_by_text(checks: list[Check], of: Callable[[Check], str]) -> list[tuple[str, str]]:
    """Each distinct text once, with the titles of the checks it applies to."""
    found: dict[str, list[str]] = {}
    for c in checks:
        if of(c):
            found.setdefault(of(c), []).append(c["title"])
    return [(words, ", ".join(titles)) for words, titles in found.items()]
