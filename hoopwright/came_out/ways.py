"""The ways out of a fit that does not hold, each judged as `check` judges the case it proposes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from hoopwright.came_out.changes import LandSize, land_size
from hoopwright.came_out.resizing import LandFate, fates, middles_of
from hoopwright.came_out.suited import Suited, suited
from hoopwright.came_out.way import Judge, Judged, Way, WayState
from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.sizing.band import Band
from hoopwright.sizing.turn_to import reading_errors
from hoopwright.sizing.verdict import conflict_text, not_makeable_text
from hoopwright.sizing.window import Window
from hoopwright.study import CaseStudy

SMALL_CUT = 0.020
"""Cut on diameter, mm, below which tools hardly cut clean. Common practice, no source."""
EFFORT = {"as_it_is": 0, "turn_further": 1, "turn_another": 2, "compound": 3, "bore": 4, "bore_and_turn": 5}
"""Ways in the order of what cannot be undone: a sleeve can be made again, the shell cannot."""
TITLES = {
    "as_it_is": "Press it as it is",
    "turn_further": "Turn this sleeve further",
    "turn_another": "Turn another sleeve",
    "compound": "Retaining compound",
    "bore": "Bore the shell to suit this sleeve",
    "bore_and_turn": "Bore it true, turn another sleeve",
}
PART = {"sleeve": "sleeve", "shell": "bore"}


@dataclass(frozen=True)
class FinishedParts:
    """Two finished parts. window: of their fit."""

    case: Case
    study: CaseStudy
    window: Window
    units: Units

    @cached_property
    def judge(self) -> Judge:
        return Judge(self.case)

    @cached_property
    def sleeve(self) -> Suited:
        """A sleeve to suit this bore."""
        return suited(self.case, self.study, self.window, "sleeve")

    @cached_property
    def bore(self) -> Suited:
        """A bore to suit this sleeve."""
        return suited(self.case, self.study, self.window, "shell")

    @cached_property
    def sleeve_fates(self) -> tuple[LandFate, ...]:
        return fates(self.case, self.sleeve)


def way(name: str, state: WayState, why: str = "", **rest: object) -> Way:
    """A way by its name."""
    return Way(name, TITLES[name], EFFORT[name], state, why=why, **rest)  # type: ignore[arg-type]


def turn_further(parts: FinishedParts) -> Way:
    """Take metal off the sleeve that there is."""
    return _cut_further(parts, "turn_further", parts.sleeve, parts.sleeve_fates)


def bore_to_suit(parts: FinishedParts) -> Way:
    """Take metal off the bore so that it suits the sleeve that there is."""
    return _cut_further(parts, "bore", parts.bore, fates(parts.case, parts.bore))


def turn_another(parts: FinishedParts) -> Way:
    """Make another sleeve for the bore that there is."""
    found = parts.sleeve
    why = lacking(parts, found)
    if why:
        return way("turn_another", "cannot be done", why)
    sizes = sizes_of(found, zip(found.bands, middles_of(found.bands), strict=True))
    return judged_way(parts, "turn_another", found, sizes, advice=_alike_text(found))


def _cut_further(parts: FinishedParts, name: str, found: Suited, of: tuple[LandFate, ...]) -> Way:
    why = lacking(parts, found)
    if why:
        return way(name, "cannot be done", why)
    without = [fate for fate in of if fate.fate in ("no metal", "no size")]
    if without:
        return way(name, "cannot be done", _no_metal(parts, found, without))
    cut = [fate for fate in of if fate.aim is not None]
    if not cut:
        part = PART[found.cut]
        return way(
            name, "cannot be done", f"the {part} lies in its band already; its size is not what fails"
        )
    sizes = sizes_of(found, ((fate.band, fate.aim) for fate in cut if fate.aim is not None))
    wall = wall_of(parts.case, sizes) if found.cut == "shell" else None
    return judged_way(parts, name, found, sizes, advice=_advice(parts, found, cut), wall=wall)


def judged_way(
    parts: FinishedParts,
    name: str,
    found: Suited,
    sizes: tuple[LandSize, ...],
    *,
    advice: tuple[str, ...] = (),
    wall: float | None = None,
) -> Way:
    """A way with its bands, judged by a check of the case with these sizes."""
    said: Judged = parts.judge.of(sizes)
    return way(
        name,
        said.state,
        said.why,
        margins=said.margins,
        cut=found.cut,
        bands=found.bands,
        sizes=sizes,
        changes=parts.judge.changes(sizes),
        advice=advice,
        wall=wall,
    )


def wall_of(case: Case, sizes: Iterable[LandSize]) -> float:
    """Wall left on the thin side of a shell with these bores, mm."""
    cut = {size.index: size.diameter_mm for size in sizes if size.part == "shell"}
    bores = [cut.get(k, b.greatest_diameter) for k, b in enumerate(case.shell.bore)]
    outside = min(b.least_diameter for b in case.shell.outside)
    return 0.5 * (outside - max(bores) - case.runout_mm)


def sizes_of(found: Suited, aims: Iterable[tuple[Band, float]]) -> tuple[LandSize, ...]:
    """The sizes aimed at, known as well as they will be read."""
    return tuple(
        land_size(
            found.cut,
            band.index,
            aim,
            reading_errors(found.case, found.cut, band.index).half_width(),
            found.case.units,
        )
        for band, aim in aims
    )


def lacking(parts: FinishedParts, found: Suited) -> str:
    """Why no band can be worked to; "" where it can."""
    if found.window.withheld:
        return found.window.withheld
    if found.found is None:
        other = "bore" if found.cut == "sleeve" else "sleeve"
        return f"no size suits this {other}: {conflict_text(found.window)}"
    if not found.found.makeable:
        return not_makeable_text(found.found, found.window, parts.units)
    return ""


def _no_metal(parts: FinishedParts, found: Suited, without: list[LandFate]) -> str:
    """Why a part cannot be cut to suit the other."""
    cut, part = found.cut, PART[found.cut]
    only = "turning only makes it smaller" if cut == "sleeve" else "a bore only gets larger"
    too = "small" if cut == "sleeve" else "large"
    by = [parts.units.both(1e3 * abs(fate.off), "um") for fate in without]
    if len(without) == len(found.bands) and all(fate.off < 0.0 for fate in without):
        most = max(without, key=lambda fate: -fate.off)
        return f"the {part} is {by[without.index(most)]} too {too} already, and {only}"
    lands = []
    for fate, size in zip(without, by, strict=True):
        this = f"land {fate.band.index + 1} of the {part}" if len(found.bands) > 1 else f"the {part}"
        if fate.fate == "no size":
            lands.append(f"{this}: no size that it has metal for can be read within its band")
        elif fate.off < 0.0:
            lands.append(f"{this} is {size} too {too} already")
        else:
            lands.append(f"{this} is not true enough to clean up within its band")
    return f"{'; '.join(lands)}, and {only}"


def _advice(parts: FinishedParts, found: Suited, cut: list[LandFate]) -> tuple[str, ...]:
    units = parts.units
    advice = [
        f"take {units.both(1e3 * fate.take, 'um')} "
        f"{'off' if found.cut == 'sleeve' else 'out'} on diameter"
        + (f" at land {fate.band.index + 1}" if len(found.bands) > 1 else "")
        for fate in cut
    ]
    if min(fate.take for fate in cut) < SMALL_CUT:
        material = parts.case.sleeve_material if found.cut == "sleeve" else parts.case.shell_material
        diameter = max(b.high for b in found.bands)
        warm = units.text(1e3 * 10.0 * material.expansion * diameter, "um")
        how = "finish with fine cloth" if found.cut == "sleeve" else "hone it"
        by = "18 °F" if units.system == "inch" else "10 K"
        advice.append(
            f"few tools cut so little clean: {how}, measuring often, and let it cool: {by} warm reads "
            f"{warm} large"
        )
    return (*advice, *_alike_text(found))


def _alike_text(found: Suited) -> tuple[str, ...]:
    """What goes without saying where there is one land only."""
    if len(found.bands) < 2:
        return ()
    return (
        "cut all lands in one setting: where one comes out tighter than the next, even by a little, the "
        "joint may open beside the step; reading them again will tell",
    )
