"""Step 6, Fit: how tight it may be, what ends it, and every margin at another interference at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures.fit import ENDS, MIDDLE, NARROW, THOU, WIDE, fit_figure, span
from hoopwright.page.figures.marks import hoop
from hoopwright.page.model import Bench, Document, Mark, Step
from hoopwright.page.planned_size import PATH, diameters_for, fixed_because
from hoopwright.page.readings import cell_of
from hoopwright.page.views.at_the_press import rows_stand
from hoopwright.page.views.rows import RowsView, numbers_of, rows_view
from hoopwright.page.views.words import capital, typeset

STEPS = {"metric": (0.5, 2.0), "inch": (0.02 * THOU, 0.1 * THOU)}
"""Small and large step of the slider, µm."""


@dataclass(frozen=True)
class Bound:
    """One end of the window in words: where, the same in the other units, and what happens beyond."""

    where: str
    other: str
    what: str


@dataclass(frozen=True)
class Plan:
    """What the slider is made from.

    figures: for a phone, a tablet and a wide page. start, stop: of the slider; step, leap: of its keys;
    likely: of the case; all in µm. number, other: the interference of the case, and with its unit in the
    other system. unit: shown; system: of units. address: of the curves. fixed: why the size cannot be set
    from here, "" where it can. needs_solve: cells that the curves leave to a check. temperature: at
    which sizes are given. path: of the change that is asked for.
    """

    figures: tuple[Markup, ...]
    bounds: tuple[Bound, ...]
    start: float
    stop: float
    step: float
    leap: float
    likely: float
    number: str
    unit: str
    other: str
    system: str
    address: str
    fixed: str
    needs_solve: tuple[str, ...]
    empty: bool
    hoop: Markup
    temperature: str
    path: str = PATH


@dataclass(frozen=True)
class FitView:
    """The step. plan: None until there are curves of the sizes as they stand; says: why there is none."""

    plan: Plan | None
    says: str
    rows: RowsView
    digest: str


def view(bench: Bench) -> Mapping[str, Any]:
    curves, current = bench.answer("curves"), bench.is_current("curves") and not bench.faults
    check_is_current = rows_stand(bench)
    plan = _plan(bench, curves) if curves is not None and current and bench.case is not None else None
    rows = rows_view(
        bench.answer("check"),
        bench.units,
        current=check_is_current,
        live=plan is not None and check_is_current,
        case=bench.case,
        opened=bench.asked.get("row", ""),
        opened_at=bench.asked.get("at", ""),
    )
    return {"fit": FitView(plan, "" if plan else _says(bench, curves), rows, bench.seen)}


def mark(bench: Bench) -> Mark:
    """The interference is given where the case is sound: it follows from two diameters."""
    return "given" if bench.case is not None else "nothing"


def _says(bench: Bench, curves: Document | None) -> str:
    """Why there is no slider."""
    if bench.faults:
        return "The case has a fault. The window is shown once it is put right."
    if bench.at_work is not None:
        return "The window is being searched."
    if curves is not None and bench.is_current("curves"):
        return f"No window is given: {curves['window']['withheld']}."
    if bench.failed:
        return f"The window was not found: {bench.failed}"
    return "The window is not searched yet."


def _plan(bench: Bench, curves: Document) -> Plan | None:
    if curves["window"]["withheld"] or bench.case is None:
        return None
    units, likely = bench.units, curves["fit"]["likely_um"]
    numbers = numbers_of(curves["cells"])
    layouts = ((NARROW, "fit-n"), (MIDDLE, "fit-m"), (WIDE, "fit-w"))
    start, stop = span(curves)
    step, leap = STEPS["inch" if units.system == "inch" else "metric"]
    return Plan(
        figures=tuple(fit_figure(curves, units, layout, prefix, numbers) for layout, prefix in layouts),
        bounds=tuple(_bounds(curves, units)),
        start=start,
        stop=stop,
        step=step,
        leap=leap,
        likely=likely,
        number=units.number(likely, "um"),
        unit=units.label("um"),
        other=typeset(_other(units).text(likely, "um")),
        system=units.system,
        address=f"curves.json?of={bench.version[:16]}",
        fixed=fixed_because(bench.case),
        needs_solve=tuple(
            f"{capital(one['title'])}, {one['stage']}: {one['why']}." for one in curves["needs_solve"]
        ),
        empty=curves["window"]["empty"],
        hoop=hoop("old"),
        temperature=typeset(units.temperature(20.0)),
    )


def _other(units: Units) -> Units:
    return Units("metric" if units.system == "inch" else "inch")


def _bounds(curves: Document, units: Units) -> Iterator[Bound]:
    """What happens below and above the window, or what leaves none."""
    window = curves["window"]
    if window["empty"]:
        for clash in window["clash"]:
            um, title = clash["effective_interference_um"], capital(clash["title"])
            if um is None:
                yield Bound(title, "", "never holds, at any interference")
            else:
                where, other = _both(um, units)
                yield Bound(f"{title} {clash['what']} {where}", other, "")
        return
    for end, side in zip(ENDS, ("Below", "Above"), strict=True):
        where, other = _both(window[end]["effective_interference_um"], units)
        yield Bound(f"{side} {where}", other, _what_ends(curves, end, units))


def _both(um: float, units: Units) -> tuple[str, str]:
    return typeset(units.text(um, "um")), typeset(_other(units).text(um, "um"))


def _what_ends(curves: Document, end: str, units: Units) -> str:
    named, cell = curves["ends"][end], cell_of(curves, curves["ends"][end])
    if named is None:
        return "nothing was searched: no row ends the window up to here"
    title = cell["title"] if cell else curves["window"][end]["title"]
    degrees = named["temperature_degC"]
    parts = (
        title,
        named["stage"],
        "" if degrees is None else typeset(f"at {units.temperature(degrees)}"),
        f"under {named['load_case']}" if named["load_case"] else "",
    )
    return ", ".join(part for part in parts if part)


__all__ = ["FitView", "diameters_for", "mark", "view"]


STEP = Step("fit", 6, "Fit", "Plan", ("check", "curves"), view, mark)
