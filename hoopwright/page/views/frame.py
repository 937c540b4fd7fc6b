"""What stands round every step: title block, step bar, list of steps, cautions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.cautions import CAUTIONS
from hoopwright.page.assets import CSS, JS
from hoopwright.page.figures.marks import step_mark
from hoopwright.page.model import Bench, Group, Mark, Step
from hoopwright.page.views.words import typeset

MARKS: dict[Mark, str] = {
    "given": "given",
    "partly": "partly given",
    "nothing": "nothing yet",
    "fault": "a fault",
}


@dataclass(frozen=True)
class StepLink:
    """A step in the list. url: relative to the pages of the case."""

    number: int
    name: str
    url: str
    mark: Markup
    mark_said: str
    current: bool


@dataclass(frozen=True)
class StepGroup:
    name: Group
    steps: tuple[StepLink, ...]


@dataclass(frozen=True)
class FrameView:
    """The frame of a page.

    title: of the case, its file name where it has none. shop: temperature there, "" where not read.
    position: "6 of 11". fields: names and values of hidden fields of every form. css, js: addresses.
    """

    title: str
    file: str
    saved: str
    shop: str
    system: str
    units: str
    step: StepLink
    groups: tuple[StepGroup, ...]
    before: StepLink | None
    after: StepLink | None
    position: str
    cautions: tuple[str, ...]
    fields: tuple[tuple[str, str], ...]
    css: tuple[str, ...]
    js: tuple[str, ...]


def frame_view(
    bench: Bench,
    steps: Sequence[Step],
    current: str,
    *,
    saved: str = "",
    address: Callable[[str], str] = "/static/{}".format,
    fields: Sequence[tuple[str, str]] = (),
) -> FrameView:
    """The frame round one step. address: of a static file; saved: when the file was last written."""
    links = [_link(step, bench, current) for step in steps]
    at = [step.id for step in steps].index(current)
    groups: dict[Group, list[StepLink]] = {}
    for step, link in zip(steps, links, strict=True):
        groups.setdefault(step.group, []).append(link)
    case = bench.case
    shop = "" if case is None else bench.units.temperature(20.0 + case.size.shop_rise_K)
    return FrameView(
        title=_title(bench),
        file=bench.file,
        saved=saved,
        shop=typeset(shop),
        system=bench.units.system,
        units="inch" if bench.units.system == "inch" else "mm",
        step=links[at],
        groups=tuple(StepGroup(name, tuple(found)) for name, found in groups.items()),
        before=links[at - 1] if at > 0 else None,
        after=links[at + 1] if at + 1 < len(links) else None,
        position=f"{links[at].number} of {len(links)}",
        cautions=tuple(map(typeset, CAUTIONS)),
        fields=tuple(fields),
        css=tuple(map(address, CSS)),
        js=tuple(map(address, JS)),
    )


def _title(bench: Bench) -> str:
    """The title of the case as typed, where the file can be read that far."""
    title = bench.tables.get("title")
    return title if isinstance(title, str) and title.strip() else bench.file


def _link(step: Step, bench: Bench, current: str) -> StepLink:
    mark = step.mark(bench)
    return StepLink(step.number, step.name, step.id, step_mark(mark), MARKS[mark], step.id == current)
