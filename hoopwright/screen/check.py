"""Results as text for a terminal of 80 columns."""

from __future__ import annotations

import math
import textwrap

from hoopwright.cautions import CAUTIONS, LIMITS
from hoopwright.checks import Margin
from hoopwright.display import Units
from hoopwright.estimate import WHOLE
from hoopwright.pipeline import Results
from hoopwright.screen.advice import advice
from hoopwright.screen.intervals import intervals
from hoopwright.screen.service import service_lines
from hoopwright.verdict import verdict

WIDTH = 80
STATE_MARK = {"holds": "holds", "fails": "FAILS", "unresolved": "undecided"}
DECIMALS = {"N": 0, "mm": 2}


def report(results: Results, units: Units) -> str:
    """The whole screen: verdict, margins, fit, FE beside Lamé, cautions."""
    parts = [_head(results), *_paragraph(verdict(results)), "", *_margins(results, units),
             *advice(results.margins), "", *_fit(results, units), *service_lines(results.study, units), "",
             *_against_lame(results, units), "", *_cautions()]
    return "\n".join(parts) + "\n"


def _head(results: Results) -> str:
    made_up = " (invented data)" if results.case.invented else ""
    return "\n".join(_paragraph(results.case.title + made_up)) + "\n"


def _paragraph(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH - 1, initial_indent=indent, subsequent_indent=indent) or [""]


def _margins(results: Results, units: Units) -> list[str]:
    assessed = [m for m in results.margins if m.margin is not None]
    rest = [m for m in results.margins if m.margin is None]
    lines = []
    if assessed:
        lines += [f"{'check':22s} {'demand':>7s} {'limit':>7s} {'':6s} {'fact':>4s} {'margin':>6s} "
                  f"{'z ' + units.label('mm'):>6s} {'θ':>4s} state", "-" * (WIDTH - 1)]
        lines += [_row(m, units) for m in assessed]
        lines += [*_doubts(assessed), *intervals(results)]
    if rest:
        lines += ["", "Not assessed:"]
        lines += [line for m in rest for line in _open_row(m, units)]
    return lines


def _row(m: Margin, units: Units) -> str:
    assert m.demand
    assert m.capacity
    assert m.margin is not None
    demand, capacity = (_fitted(e.value, m.unit, units) for e in (m.demand, m.capacity))
    margin = _margin(m.margin)
    return (f"{m.title:22.22s} {demand:>7s} {capacity:>7s} {units.label(m.unit):6s} {m.factor:4.2f} "
            f"{margin:>6s} {_where(m, units):11s} {STATE_MARK[m.state]}").rstrip()


def _fitted(value: float, unit: str, units: Units) -> str:
    """At most seven characters: decimals go before digits do."""
    usual = units.number(value, unit)
    whole = units.number(value, unit, decimals=0)
    return usual if len(usual) <= 7 else whole if len(whole) <= 7 else f"{float(whole):.1e}"


def _where(m: Margin, units: Units) -> str:
    """z and the angle round the shell; each blank where the check has none. The body is in the title."""
    decimals = 1 if units.system == "metric" else 2
    z = "" if m.where.z is None else units.number(m.where.z, "mm", decimals=decimals)
    return f"{z:>6s} " + ("" if m.where.theta is None else f"{m.where.theta:.0f}°").rjust(4)


def _margin(value: float) -> str:
    """At most six characters."""
    if math.isinf(value):
        return "none"
    if abs(value) >= 1e3:
        return ">999" if value > 0.0 else "<-999"
    return f"{value:+.2f}" if abs(value) < 99.995 else f"{value:+.0f}"


def _doubts(margins: list[Margin]) -> list[str]:
    """Each reason for distrust once, with the checks that rest on it."""
    doubted: dict[str, list[str]] = {}
    for m in margins:
        if m.doubt:
            doubted.setdefault(m.doubt, []).append(m.title)
    return [line for reason, titles in doubted.items()
            for line in _paragraph(f"In doubt: {', '.join(titles)}: {reason}.", "  ")]


def _open_row(m: Margin, units: Units) -> list[str]:
    known = m.demand or m.capacity
    value = f" {units.text(known.value, m.unit)}" if known else ""
    which = "" if known is None else " demanded" if m.demand else " available"
    told = f"{value}{which};" if known else ""
    return _paragraph(f"{m.title}:{told} {m.note or 'not in the case'}", "  ")


def _fit(results: Results, units: Units) -> list[str]:
    study = results.study
    nominal, spread = 1e3 * study.nominal_interference, 1e3 * study.spread
    mean, _ = study.nominal.estimates(lambda s: s.mean_pressure, WHOLE)
    lines = ["Fit", f"  interference on diameter  {units.both(nominal, 'um')}"]
    if spread:
        lines.append(f"  95 % interval of it       {units.text(nominal - spread, 'um')} to "
                     f"{units.text(nominal + spread, 'um')}")
    lines.append(f"  mean contact pressure     {units.both(mean.value, 'MPa')}, "
                 f"numerical error {units.text(mean.error, 'MPa', decimals=4 if mean.error < 10.0 else 0)}")
    middle = study.stations()[len(study.stations()) // 2:][:1]
    state = study.nominal.free[0]
    closure = -2e3 * state.radial_move("sleeve.bore", middle)[0]
    growth = 2e3 * state.radial_move("shell.outside", middle)[0]
    lines.append(f"  bore closes by            {units.both(closure, 'um')} at mid-sleeve")
    lines.append(f"  outside grows by          {units.both(growth, 'um')} at mid-sleeve")
    return lines


def _against_lame(results: Results, units: Units) -> list[str]:
    comparison = results.comparison
    lines = ["Finite elements beside Lamé (frictionless, nominal interference)"]
    for p in comparison.pairings:
        percent = 100.0 * p.difference
        apart = "" if math.isnan(percent) else f"{percent:+8.3f} %" if abs(percent) < 1e3 else "far apart"
        lines.append(f"  {p.what:26s} {units.text(p.fe.value, p.unit, decimals=3):>13s} "
                     f"{units.text(p.closed_form, p.unit, decimals=3):>13s}  {apart}".rstrip())
    if comparison.applies:
        text = ("They must agree here, and do." if not comparison.contradicts else
                "They must agree here and do NOT: no margin of this run holds.")
    else:
        text = "Lamé is a guide only here: " + "; ".join(comparison.reasons) + "."
    return lines + _paragraph(text, "  ")


def _cautions() -> list[str]:
    lines = ["Cautions"]
    for text in CAUTIONS:
        lines += textwrap.wrap(text, WIDTH - 1, initial_indent="  - ", subsequent_indent="    ")
    lines += ["Limits of the method"]
    for text in LIMITS:
        lines += textwrap.wrap(text, WIDTH - 1, initial_indent="  - ", subsequent_indent="    ")
    return lines
