"""All that a shop sheet is written from: a checked case, the sizes to cut to, the press plan, the proof."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.came_out.answer import CameOut
from hoopwright.checks import evidence_of
from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.pressing.plan import PressPlan
from hoopwright.pressing.proof import Proof, proof_of
from hoopwright.pressing.removal import Removal, removal_of
from hoopwright.sizing.finished import bore_is_cut, sleeve_is_turned
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.verdict import size_state, size_verdict
from hoopwright.verdict import VerdictState, verdict, verdict_state

MADE = ("holds", "holds as far as judged")
"""States in which a piece may be made."""


@dataclass(frozen=True)
class SheetPlan:
    """The results of one case for its shop sheet.

    came_out: None until both parts are finished. press: None where the sleeve cannot be pressed in as the
    case has it; then `blocked` says why, and there is no removal.
    """

    results: Results
    units: Units
    size: SizePlan
    came_out: CameOut | None
    press: PressPlan | None
    blocked: str
    proof: Proof
    removal: Removal | None

    @property
    def judged(self) -> tuple[VerdictState, str]:
        """State and verdict of the whole: of the check, or, where that allows it, of what keeps the piece
        from being made."""
        state, words = verdict_state(self.results), verdict(self.results)
        if state not in MADE:
            return state, words
        if self.blocked:
            return "fails", f"It cannot be pressed in: {self.blocked}."
        if self.came_out is not None:
            return (state, words) if self.came_out.press else (self.came_out.state, self.came_out.verdict)
        to_cut = size_state(self.size)
        return (state, words) if to_cut in MADE else (to_cut, size_verdict(self.size, self.units))

    @property
    def bored(self) -> bool:
        """Whether the shell's bore is cut."""
        return bore_is_cut(self.results.case)

    @property
    def turned(self) -> bool:
        """Whether the sleeve is turned."""
        return sleeve_is_turned(self.results.case, self.results.study)


def sheet_plan(
    results: Results,
    units: Units,
    size: SizePlan,
    came_out: CameOut | None,
    press: PressPlan | None,
    blocked: str = "",
) -> SheetPlan:
    """The plan of a sheet, with proof and removal. size: with its bands and its boring plan."""
    evidence = evidence_of(results.case, results.study)
    return SheetPlan(
        results,
        units,
        size,
        came_out,
        press,
        blocked,
        proof_of(evidence, results.margins),
        None if press is None else removal_of(evidence, results.margins, press.heat, press.past_yield),
    )
