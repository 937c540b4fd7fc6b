"""What to do with two finished parts: press them as they are, or the ways out, best first."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hoopwright.came_out.bored_true import bore_and_turn
from hoopwright.came_out.compound import compound
from hoopwright.came_out.resizing import LandFate
from hoopwright.came_out.way import ORDER, Way, judged
from hoopwright.came_out.ways import FinishedParts, bore_to_suit, turn_another, turn_further, way
from hoopwright.case.model import Case
from hoopwright.display import Units, margin_text, percent_text
from hoopwright.left_out import left_out, with_grounds_named
from hoopwright.pipeline import Results, check_case
from hoopwright.sizing.plan import SizePlan
from hoopwright.suspected import open_suspects
from hoopwright.verdict import VerdictState, conclusion

NEVER = (
    "Never knurl, peen or shim it to size: ridges and foil bear in spots, so the pressure judged here is "
    "not there, and they fret loose."
)
PRESSED = (
    "The case gives readings of the press, or a proof, so it has been pressed in: nothing can be cut "
    "without pressing it out first, and then both parts are to be read again."
)


@dataclass(frozen=True)
class CameOut:
    """The answer on two finished parts.

    as_it_is: pressing them so. off: of every land of the sleeve, from its band; empty where no band was
    found or asked for. ways: all that are judged, best first, and as_it_is among them. cannot: those that
    cannot be done or lack something, each with why. never, note: "" where nothing has to be said.
    """

    as_it_is: Way
    off: tuple[LandFate, ...]
    ways: tuple[Way, ...]
    cannot: tuple[Way, ...]
    verdict: str
    never: str = ""
    note: str = ""

    @property
    def press(self) -> bool:
        return self.as_it_is.good

    @property
    def state(self) -> VerdictState:
        """Of pressing them as they are, as `check` has it; fails where that is not to be done."""
        state = self.as_it_is.state
        return "fails" if state in ("not judged", "cannot be done") else state  # type: ignore[return-value]


def came_out(plan: SizePlan, units: Units, results: Results | None = None) -> CameOut | None:
    """The answer on the parts of a case; None where they are not both finished, or the press contradicts
    them. results: of a check of the case, if there are any."""
    if plan.decision is None:
        return None
    case = plan.case
    results = results or check_case(case)
    found = judged(results)
    as_it_is = way("as_it_is", found.state, margins=found.margins)
    if as_it_is.good and not plan.decision.likely_enough:
        chance, asked = percent_text(plan.decision.probability), f"{100.0 * case.size.confidence:g} %"
        why = f"the fit lies in the window with a chance of only {chance}; {asked} is asked for"
        as_it_is = replace(as_it_is, state="fails", why=why)
    if open_suspects(case):
        return _not_known(case, as_it_is)
    pressed = case.press.was_read or case.proof is not None
    if as_it_is.good or as_it_is.state == "contradicted" or pressed:
        said = conclusion(results)
        verdict = f"Press it as it is. {said}" if as_it_is.good else as_it_is.why or said
        note = PRESSED if pressed else ""
        return CameOut(as_it_is, (), (as_it_is,), (), with_grounds_named(case, verdict), note=note)
    parts = FinishedParts(case, plan.study, plan.window, units)
    ways = _ways(parts, as_it_is)
    ranked = sorted(ways, key=lambda one: (0 if one.good else ORDER.index(one.state), one.effort))
    tried = tuple(one for one in ranked if one.margins)
    cannot = tuple(one for one in ranked if not one.margins)
    off = parts.sleeve_fates
    verdict = with_grounds_named(case, _verdict(parts, as_it_is, tried, off))
    return CameOut(as_it_is, off, tried, cannot, verdict, never=NEVER)


def _not_known(case: Case, as_it_is: Way) -> CameOut:
    """The answer where a reading stands out: none, since what the parts are is not known."""
    why = "what the parts are is not known until that is read again, or confirmed = true says that it is so"
    state = as_it_is.state if as_it_is.state in ("fails", "contradicted") else "undecided"
    found = replace(as_it_is, state=state, why=why)
    return CameOut(found, (), (found,), (), with_grounds_named(case, f"Do not press it yet: {why}."))


def _ways(parts: FinishedParts, as_it_is: Way) -> list[Way]:
    another = turn_another(parts)
    ways = [
        as_it_is,
        turn_further(parts),
        another,
        compound(parts.case, as_it_is.margins),
        bore_to_suit(parts),
    ]
    return ways if another.good else [*ways, bore_and_turn(parts)]


def _verdict(parts: FinishedParts, as_it_is: Way, tried: tuple[Way, ...], off: tuple[LandFate, ...]) -> str:
    row = as_it_is.governing
    size = _off_text(parts.units, off)
    rests = as_it_is.why
    if not rests and row is not None:
        fails = "fails" if row.state == "fails" else "is too close to its limit or in doubt"
        rests = f"{row.title}, {row.stage}, {fails} ({margin_text(row.margin)})"
    head = f"Do not press it as it is: {'; '.join(part for part in (size, rests) if part)}."
    best = tried[0]
    if not best.good:
        return f"{head} No way out that holds was found."
    nearest = best.governing
    assert nearest is not None
    margin = f"{margin_text(nearest.margin)}, {nearest.title}, {nearest.stage}"
    missing = left_out(parts.case, best.margins)
    also = f" As far as judged: {'; '.join(missing)}." if missing else ""
    return f"{head} {best.title}, to the size below: that holds, least margin {margin}.{also}"


def _off_text(units: Units, off: tuple[LandFate, ...]) -> str:
    """How far the sleeve lies outside the band that suits its bore; "" where it does not."""
    outside = [fate for fate in off if fate.off]
    if not outside:
        return ""
    small = {fate.off < 0.0 for fate in outside}
    if len(small) == 1:
        by = units.both(1e3 * max(abs(fate.off) for fate in outside), "um")
        return f"the sleeve is {by} too {'small' if small.pop() else 'large'} for this bore"
    lands = ", ".join(
        f"land {fate.band.index + 1} {units.both(1e3 * abs(fate.off), 'um')} too "
        f"{'small' if fate.off < 0.0 else 'large'}"
        for fate in outside
    )
    return f"the sleeve's lands do not suit this bore, {lands}"
