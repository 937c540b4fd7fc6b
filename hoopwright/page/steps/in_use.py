"""Step 10, In use: what happens after pressing, at which moment, and where in the section and the seat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.page.model import Bench, Document, Mark, Step
from hoopwright.page.steps.common import Wanted, wanted_temperatures
from hoopwright.page.views.at_the_press import rows_stand
from hoopwright.page.views.in_use import AFTER, AfterRow, Moments, after_rows, moments_view
from hoopwright.page.views.maps import (
    MapView,
    TemperatureColumn,
    chosen_moment,
    opening_view,
    slip_view,
    stress_view,
    temperatures_view,
)
from hoopwright.page.views.verdict import verdict_view

NO_MOMENTS = Moments()
MAPPED = ("shell_yields", "sleeve_yields")
"""Rows that the map of the stress is of."""


@dataclass(frozen=True)
class InUseView:
    """The step.

    current: the rows are of the case as it stands. says: why there are no rows, "" where there are. lacks:
    what the case does not say of its use. no_maps: why there are no maps, "" where there are.
    """

    current: bool
    says: str
    lacks: tuple[Wanted, ...]
    rows: tuple[AfterRow, ...] = ()
    moments: Moments = NO_MOMENTS
    no_maps: str = ""
    stress: MapView | None = None
    opening: MapView | None = None
    slip: MapView | None = None
    temperatures: tuple[TemperatureColumn, ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def has_seat(self) -> bool:
        return self.opening is not None or self.slip is not None


def view(bench: Bench) -> Mapping[str, Any]:
    return {"in_use": _view(bench)}


def _view(bench: Bench) -> InUseView:
    check, lacks = bench.answer("check"), tuple(_lacks(bench))
    current = rows_stand(bench)
    if check is None:
        return InUseView(current, _why_not(bench, "Nothing was judged yet for this case."), lacks)
    maps, why = _maps(bench)
    rows = after_rows(bench, check, current=current)
    if maps is None:
        moments = moments_view(bench, check, None, "", current=current)
        return InUseView(current, "", lacks, rows, moments, why)
    moment = chosen_moment(maps, bench.asked.get("moment", ""))
    return InUseView(
        current,
        "",
        lacks,
        rows,
        moments_view(bench, check, maps, moment["id"], current=current),
        stress=stress_view(bench, maps, moment),
        opening=opening_view(bench, maps),
        slip=slip_view(bench, maps),
        temperatures=temperatures_view(bench, maps),
        doubts=tuple(dict.fromkeys(row.why for row in rows if row.why and row.id in MAPPED)),
    )


def _maps(bench: Bench) -> tuple[Document | None, str]:
    """The maps, where they are of the case as it stands and nothing speaks against it; else why not."""
    maps = bench.answer("maps")
    state = verdict_view(bench).state
    if bench.faults:
        return None, "The case has a fault. The maps are drawn once it is put right."
    if maps is None or state == "old" or not bench.is_current("maps"):
        begun = "" if maps is None else "The maps of the file as it was are taken away. "
        return None, begun + _why_not(bench, "They are not drawn yet.")
    if maps["withheld"] or state == "contradicted":
        why = maps["withheld"] or "what was found contradicts itself"
        return None, f"No maps are shown: {why}."
    if not maps["moments"]:
        return None, "The case does not say how the joint is used, so there is no moment to map."
    return maps, ""


def _why_not(bench: Bench, else_: str) -> str:
    if bench.faults:
        return "The case has a fault."
    if bench.at_work is not None:
        return "Being computed."
    return f"Not computed: {bench.failed}" if bench.failed else else_


def _lacks(bench: Bench) -> Iterator[Wanted]:
    """What the case does not say of its use."""
    yield from wanted_temperatures(bench, "use")
    if "service" not in bench.tables:
        text = "No load in use is given, so nothing is judged under loads."
        yield Wanted(text, "use#f-service-none", "Give a load, or why there is none")


def mark(bench: Bench) -> Mark:
    """Given once everything behind pressing is judged; nothing is filled in here."""
    check = bench.answer("check")
    if bench.case is None or check is None or not bench.is_current("check"):
        return "nothing"
    judged = any(c["where"]["stage"] in AFTER for row in check["checks"] for c in row["cells"])
    if not judged:
        return "nothing"
    return "partly" if any(_lacks(bench)) else "given"


STEP = Step("in-use", 10, "In use", "After", ("check", "maps"), view, mark)
