"""Step 11, Record: sheet, drawing and record made, listed, opened, verified and compared."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.page.jobs import MADE, about_sides
from hoopwright.page.model import Bench, Done, Form, Mark, Step, first_value
from hoopwright.page.steps.common import Wanted
from hoopwright.page.steps.more import more_of
from hoopwright.page.views import at_the_press
from hoopwright.page.views.difference import difference_view
from hoopwright.page.views.outputs import (
    after_care,
    compared_view,
    is_of_now,
    lists_view,
    made_view,
    verified_view,
)

NOT_JUDGED = "The case cannot be read yet, so nothing is made of it."
REJECTED = ("ask", "record.name", "record.new")
"""Where what was not done is told."""


def view(bench: Bench) -> Mapping[str, Any]:
    lists = lists_view(bench)
    told = [bench.rejected[key][1] for key in REJECTED if key in bench.rejected]
    return {
        "file": bench.file,
        "digest": bench.seen,
        "wanted": () if bench.case is not None else (Wanted(NOT_JUDGED, "piece", "Look at the case"),),
        "told": told,
        "made": made_view(bench),
        "lists": lists,
        "after": after_care(lists),
        "gone": [one for one in verified_view(bench) if bench.outputs.record(one.name) is None],
        "choice": compared_view(bench),
        "differences": difference_view(bench),
        "more": more_of(bench, "record", ()),
    }


def mark(bench: Bench) -> Mark:
    verified = [one for one in bench.orders if one.command == "verify" and one.current]
    if any(one.document is not None and not one.document["holds"] for one in verified):
        return "fault"
    if any(is_of_now(bench, one) for one in bench.outputs.records):
        return "given"
    lists = lists_view(bench)
    return "partly" if lists.records or lists.papers else "nothing"


def make(bench: Bench, form: Form) -> Done:
    """Have a sheet, a drawing or a record made, in the units of the page."""
    wanted = [command for command in MADE if command in form.get("what", ())]
    if not wanted:
        return Done(rejected={"ask": ("", "Say what is to be made: a shop sheet, a drawing, a record.")})
    doubt = at_the_press.doubt_of(bench)
    if doubt:  # what is made knows nothing of readings that no check counts: it would say that it holds
        return Done(rejected={"ask": ("", f"Not made. {doubt}")})
    return Done(ask=tuple((command, bench.units.system) for command in wanted))


def verify(bench: Bench, form: Form) -> Done:
    """Have a record recomputed."""
    name = first_value(form, "name")
    if bench.outputs.record(name) is None:
        return Done(rejected={"record.name": (name, f"There is no record {name!r} in the folder.")})
    return Done(ask=(("verify", name),))


def compare(bench: Bench, form: Form) -> Done:
    """Have a record compared with another, or with the case as it stands."""
    old, new = first_value(form, "old"), first_value(form, "new")
    for key, name in (("record.name", old), ("record.new", new)):
        if (name or key == "record.name") and bench.outputs.record(name) is None:
            return Done(rejected={key: (name, f"There is no record {name!r} in the folder.")})
    if old == new:
        return Done(rejected={"record.new": (new, "A record does not differ from itself: choose another.")})
    return Done(ask=(("diff", about_sides(bench.units.system, old, new)),))


STEP = Step(
    "record",
    11,
    "Record",
    "After",
    ("check",),
    view,
    mark,
    {"make": make, "verify": verify, "compare": compare},
)
