"""Step 5, Routes: other ways to repair the shell, judged on the same rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from markupsafe import Markup

from hoopwright.case.model import Case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.display import Units
from hoopwright.display.rows import in_order_of
from hoopwright.page.figures.marks import hoop
from hoopwright.page.figures.routes import Wall, scale_of, wall_figure
from hoopwright.page.model import Bench, Document, Mark, Step
from hoopwright.page.steps.more import more_of
from hoopwright.page.views.rows import RowsView, rows_view
from hoopwright.page.views.words import capital, margin_shown, typeset
from hoopwright.sizing.routes import route_case

STRIPS = {
    "holds": ("holds", "Holds"),
    "holds as far as judged": ("part", "Holds as far as judged"),
    "undecided": ("undecided", "Undecided"),
    "not judged": ("unjudged", "Not judged"),
    "not comparable": ("unjudged", "Not comparable"),
    "fails": ("fails", "Fails"),
    "cannot be made": ("fails", "Cannot be made"),
}
"""Shape and word of the strip, by the state of a route."""
OLD = ("old", "Old sizes")
NO_FIT = "Stand apart: no fit is pressed"
FEWER_ROWS = "Stand apart: judged on fewer ways to fail"


@dataclass(frozen=True)
class Strip:
    """The verdict on a route. look: of its frame. margin: of the row that governs, "" where none does."""

    look: str
    word: str
    governs: str
    margin: str
    hoop: Markup


@dataclass(frozen=True)
class Card:
    """One route. own: it is the case as it stands. facts: label and value. says: its verdict and its note.
    pairs: changes of the case that make it this route; without any, plan says what would have to change."""

    name: str
    own: bool
    strip: Strip
    figure: Markup
    facts: tuple[tuple[str, str], ...]
    says: tuple[str, ...]
    pairs: tuple[tuple[str, str], ...]
    plan: str
    rows: RowsView


@dataclass(frozen=True)
class RoutesView:
    """The step. says: why there are no cards, "" where there are. heading: of those that stand apart, and
    why."""

    says: str
    verdict: str
    cards: tuple[Card, ...]
    apart: tuple[Card, ...]
    heading: str
    why_apart: str
    digest: str


def view(bench: Bench) -> Mapping[str, Any]:
    found, case = bench.answer("compare"), bench.case
    more = more_of(bench, "routes", ())
    if found is None or case is None:
        return {"more": more, "routes": RoutesView(_says(bench), "", (), (), "", "", bench.seen)}
    found = in_order_of(bench.units, found)
    current = bench.is_current("compare")
    made = list(zip(found["routes"], _cards(bench, case, found), strict=True))
    apart = [route for route, _ in made if not route["comparable"]]
    return {
        "more": more,
        "routes": RoutesView(
            "",
            typeset(found["verdict"]) if current else "These answers are for the sizes before.",
            tuple(card for route, card in made if route["comparable"]),
            tuple(card for route, card in made if not route["comparable"]),
            NO_FIT if all(route["window"] is None for route in apart) else FEWER_ROWS,
            _why_apart(apart),
            bench.seen,
        ),
    }


def mark(bench: Bench) -> Mark:
    return "given" if bench.case is not None and bench.case.routes else "nothing"


def _says(bench: Bench) -> str:
    if bench.faults:
        return "The case has a fault. Its routes are compared once it is put right."
    if bench.case is not None and not bench.case.routes:
        return "The case lists no other route, so there is nothing to compare. One is added below."
    if bench.at_work is not None:
        return "The routes are being judged."
    return (
        f"The routes were not judged: {bench.failed}" if bench.failed else "The routes are not judged yet."
    )


def _why_apart(apart: Sequence[Document]) -> str:
    """What others are judged on and these are not."""
    titles = dict.fromkeys(title for route in apart for title in route["not_judged_as_others"])
    if not titles:
        return ""
    return f"Not judged on what the others are: {', '.join(titles)}. Do not rank them with the others."


class Given(NamedTuple):
    """A route as the case gives it, and the material of its part as it names it, "" where it does not."""

    route: RouteInput
    material: str


def _given(bench: Bench, case: Case) -> dict[str, Given]:
    tables: Sequence[Mapping[str, Any]] = bench.tables.get("route", ())
    materials = [str(table.get("material", "")) for table in tables]
    materials += [""] * (len(case.routes) - len(materials))
    return {one.name: Given(one, name) for one, name in zip(case.routes, materials, strict=True)}


def _cards(bench: Bench, case: Case, found: Document) -> list[Card]:
    given, current = _given(bench, case), bench.is_current("compare")
    pairs = [(route, given.get(route["name"])) for route in found["routes"]]
    walls = [_wall(case, route, one) for route, one in pairs]
    scale = scale_of(walls)
    figures = [wall_figure(wall, scale, bench.units, f"route-{k}") for k, wall in enumerate(walls)]
    return [
        _card(case, route, one, figure, bench.units, current)
        for (route, one), figure in zip(pairs, figures, strict=True)
    ]


def _wall(case: Case, route: Document, given: Given | None) -> Wall:
    part = 0.0
    if given is not None and given.route.thread is None:
        sleeve = route_case(case, given.route).sleeve
        inside = min(zone.diameter for zone in sleeve.bore)
        part = 0.5 * (max(land.mean_diameter for land in sleeve.outside) - inside)
    return Wall(route["wall_left_mm"], part, case.min_wall_mm)


def _card(
    case: Case, route: Document, given: Given | None, figure: Markup, units: Units, current: bool
) -> Card:
    own = given is not None and is_of_the_case(case, given.route)
    pairs = () if given is None or own else changes_for(case, *given)
    return Card(
        name=route["name"],
        own=own,
        strip=_strip(route, current),
        figure=figure,
        facts=tuple(_facts(route, units).items()),
        says=tuple(typeset(capital(text)) for text in _sentences(route)),
        pairs=pairs,
        plan=""
        if own or given is None or given.route.thread is not None
        else why_no_change(case, given.route),
        rows=rows_view({"checks": route["checks"]}, units, current=current, live=False),
    )


def _strip(route: Document, current: bool) -> Strip:
    look, word = STRIPS[route["state"]] if current else OLD
    row = next((c for c in route["checks"] if c["id"] == route["governing"]), None)
    governs = "" if row is None else f"{row['title']}, {row['where']['stage']}"
    return Strip(look, word, governs, "" if row is None else margin_shown(row["margin"]), hoop(look))


def _facts(route: Document, units: Units) -> dict[str, str]:
    window = route["window"]
    width = (
        "no fit"
        if window is None
        else "withheld"
        if window["withheld"]
        else "none"
        if window["empty"]
        else units.text(window["width_um"], "um")
    )
    best = route["best_interference_um"]
    facts = {
        "wall left": units.text(route["wall_left_mm"], "mm"),
        "bore to": units.text(route["bore_after_cutting_mm"], "mm"),
        "window": width,
        "at best": ""
        if best is None
        else f"{margin_shown(route['best_margin'])} at {units.text(best, 'um')}",
        "needs": route["needs"],
        "cost, yours": route["cost"],
    }
    return {label: typeset(value) for label, value in facts.items() if value}


def _sentences(route: Document) -> list[str]:
    """The verdict where it says more than the strip does, and the note."""
    verdict = "" if route["state"].startswith("holds") else route["verdict"]
    return [text for text in (verdict, route["note"]) if text]


# -- the case as a route ---------------------------------------------------------------------


def is_of_the_case(case: Case, route: RouteInput) -> bool:
    """Whether the case as it stands is this route."""
    return route.thread is None and route_case(case, route) == case


def changes_for(case: Case, route: RouteInput, material: str) -> tuple[tuple[str, str], ...]:
    """Path and value of the changes that make the case this route; none where it takes more than values.

    material: of its part, by the name that the case gives it.
    """
    return () if not material or why_no_change(case, route) else (("sleeve.material", material),)


def why_no_change(case: Case, route: RouteInput) -> str:
    """What a change to this route would take that the page does not do, "" where nothing."""
    if route.thread is not None:
        return "The case is about a sleeve; this route presses none."
    if route.kind != "sleeve" or not route.bore == route.part_bore == route.interference:
        return "It has sizes of its own: to plan with it, change them under Sizes."
    if case.fatigue.sleeve is not None and route.part_material != case.sleeve_material:
        metal = case.sleeve_material.name
        return f"To plan with it, change the sleeve's material and its fatigue data, which are of {metal}."
    return ""


STEP = Step("routes", 5, "Routes", "Plan", ("check", "compare"), view, mark)
