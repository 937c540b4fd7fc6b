"""Benches and documents that the tests of the page share: a real document, and what it is doctored into."""

from __future__ import annotations

import copy
import hashlib
import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from small_cases import SLIPS_IN

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.errors import Fault
from hoopwright.page.model import Answer, AtWork, Bench, Mark, Step
from hoopwright.page.views.frame import frame_view
from hoopwright.page.views.rows import rows_view
from hoopwright.page.views.verdict import READ_OTHERWISE, verdict_view
from hoopwright.pipeline import check_case

CASES = Path(__file__).parents[1] / "cases"
DEMOS = ("cargo_trike_crank_shell", "cart_wheel_hub", "thin_steel_shell", "worn_bearing_housing")
Document = dict[str, Any]


@cache
def solved(text: str, file: str = "small.toml") -> Document:
    """The document of a check; not to be changed."""
    return document(check_case(parse_case(text, file=str(CASES / file))))


def demo_text(name: str) -> str:
    return (CASES / f"{name}.toml").read_text(encoding="utf-8")


def small() -> Document:
    """The document of the smallest case, to be changed at will."""
    return copy.deepcopy(solved(SLIPS_IN))


def bench_of(
    found: Document | None,
    text: str = SLIPS_IN,
    *,
    system: str = "metric",
    old: bool = False,
    faults: tuple[Fault, ...] = (),
    at_work: AtWork | None = None,
    failed: str = "",
    file: str = "small.toml",
) -> Bench:
    """A case on the page with a document as the answer of its check, of these sizes or of older ones."""
    digest = hashlib.sha256(text.encode()).hexdigest()
    return Bench(
        file=file,
        text=text,
        digest=digest,
        tables=tomllib.loads(text),
        case=None if faults else parse_case(text, file=str(CASES / file)),
        faults=faults,
        units=Units(system),
        answers={} if found is None else {"check": Answer(found, "of before" if old else digest)},
        at_work=at_work,
        failed=failed,
    )


def held(found: Document) -> Document:
    """The document as of a case that holds: no doubt, nothing that fails, and what is needed was judged."""
    for part in (one for row in found["checks"] for one in (row, *row["cells"])):
        part["doubt"] = ""
        if part["state"] in ("fails", "unresolved"):
            part |= {"state": "holds", "margin": 0.5}
    found["state"] = "holds"
    found["verdict"] = (
        "Holds: all ways to fail were judged and hold. Nearest its limit: one, pressed, +0.10."
    )
    return found


def with_row(found: Document, state: str, margin: float, doubt: str = "") -> Document:
    """The document with its first judged row, and the cell that governs it, in another state."""
    row = next(row for row in found["checks"] if row["cells"])
    cell = next(c for c in row["cells"] if c["where"]["stage"] == row["where"]["stage"])
    for part in (row, cell):
        part |= {"state": state, "margin": margin, "doubt": doubt, "margin_without_end": False}
    return found


def failing(found: Document) -> Document:
    found = with_row(held(found), "fails", -0.14)
    title = next(row for row in found["checks"] if row["cells"])["title"]
    words = f"Do not cut: 1 of {len(found['checks'])} ways to fail does not hold ({title})."
    return found | {"state": "fails", "verdict": words}


def undecided(found: Document) -> Document:
    found = with_row(held(found), "unresolved", 0.01)
    words = (
        "Undecided: shell yields: too close to the limit, or resting on something in doubt. Treat it as "
        "failing until it is settled."
    )
    return found | {"state": "undecided", "verdict": words}


def contradicted(found: Document) -> Document:
    found = held(found)
    for part in (one for row in found["checks"] for one in (row, *row["cells"])):
        if part["state"] == "holds":
            part |= {"state": "unresolved", "doubt": READ_OTHERWISE}
    words = (
        "Undecided: what was read at the press contradicts the sizes and the friction given, so no row "
        "holds until that is explained (`hoopwright press` says how far off it is)."
    )
    return found | {"state": "undecided", "verdict": words}


def sample(found: Document) -> Document:
    words = "Sample values: Holds as far as judged: no range of temperature in use is given."
    return held(found) | {"state": "holds as far as judged", "verdict": words}


def part_judged(found: Document) -> Document:
    words = (
        "Holds as far as judged: no range of temperature in use is given; no service load is given. "
        "Nearest its limit: shell yields, pressed, +0.28."
    )
    return held(found) | {"state": "holds as far as judged", "verdict": words}


DOCTORED: dict[str, Callable[[Document], Document]] = {
    "holds": held,
    "part": part_judged,
    "undecided": undecided,
    "contradicted": contradicted,
    "fails": failing,
}


def environment() -> Environment:
    """The templates as the page renders them."""
    return Environment(loader=PackageLoader("hoopwright.page"), autoescape=True, undefined=StrictUndefined)


def steps() -> tuple[Step, ...]:
    """The six steps of planning, with every mark."""
    names = (
        ("piece", "Piece", "given"),
        ("sizes", "Sizes", "given"),
        ("damage", "Damage and bore", "partly"),
        ("use", "Who uses it", "nothing"),
        ("routes", "Routes", "fault"),
        ("fit", "Fit", "given"),
    )
    return tuple(
        Step(id_, k, name, "Plan", ("check",), lambda _: {}, marked(mark))
        for k, (id_, name, mark) in enumerate(names, start=1)
    )


def marked(mark: Mark) -> Callable[[Bench], Mark]:
    return lambda _: mark


PAGE_TEXT = """{% extends "base.html" %}{% from "components/rows.html" import rows_table %}
{% block step %}{{ rows_table(table) }}{% endblock %}"""


def page(bench, opened="", **given):
    """The whole page as HTML. given: to its frame."""
    found, current = bench.answer("check"), bench.is_current("check")
    table = rows_view(found, bench.units, current=current, live=False, case=bench.case, opened=opened)
    parts = {"frame": frame_view(bench, steps(), "fit", **given), "verdict": verdict_view(bench)}
    return environment().from_string(PAGE_TEXT).render(parts, bench=bench, table=table)


def table_of(found, **given):
    return rows_view(found, Units("metric"), **({"current": True, "live": False} | given))


def cells_of(table):
    return {cell.id: cell for group in table.groups for row in group.rows for cell in row.cells}


def a_cell_fails(found, margin=-0.2):
    """Only a cell that does not govern its row says so."""
    row = next(row for row in found["checks"] if len(row["cells"]) > 1)
    cell = next(c for c in row["cells"] if c["where"]["stage"] != row["where"]["stage"])
    cell |= {"state": "fails", "margin": margin}
    return found
