"""A way out, and how it is judged: as `check` judges the case that it proposes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from hoopwright.came_out.changes import Change, LandSize, changes_of, with_sizes
from hoopwright.case.model import Case
from hoopwright.checks.margin import Margin
from hoopwright.errors import CaseError
from hoopwright.fem import MeshError, SolveError
from hoopwright.geometry.validation import joint_faults, shell_faults, sleeve_faults
from hoopwright.pipeline import Results, check_case
from hoopwright.sizing.band import Band
from hoopwright.verdict import verdict_state

WayState = Literal[
    "holds", "holds as far as judged", "undecided", "fails", "contradicted", "not judged", "cannot be done"
]
ORDER: tuple[WayState, ...] = get_args(WayState)
GOOD: tuple[WayState, ...] = ("holds", "holds as far as judged")


@dataclass(frozen=True)
class Judged:
    """What a check says of a case. margins: worst first; empty where it was not solved, and then why."""

    state: WayState
    margins: tuple[Margin, ...] = ()
    why: str = ""


@dataclass(frozen=True)
class Way:
    """One way out.

    id: stable name. effort: how much of it cannot be undone; the least comes first. margins: of the case it
    proposes, worst first. why: why it cannot be done or what it lacks, "" where neither. cut: the part that
    bands are of, "sleeve" or "shell". sizes: proposed, one per land that is cut; changes: the same as
    lines of the case. advice: to whoever does it. wall: left on the thin side where the shell is bored, mm.
    """

    id: str
    title: str
    effort: int
    state: WayState
    margins: tuple[Margin, ...] = ()
    why: str = ""
    cut: str = ""
    bands: tuple[Band, ...] = ()
    sizes: tuple[LandSize, ...] = ()
    changes: tuple[Change, ...] = ()
    advice: tuple[str, ...] = ()
    wall: float | None = None

    @property
    def good(self) -> bool:
        return self.state in GOOD

    @property
    def governing(self) -> Margin | None:
        """What fails, or else what is undecided, or else the least margin; None where nothing is judged."""
        for state in ("fails", "unresolved", "holds"):
            found = next((m for m in self.margins if m.state == state), None)
            if found is not None:
                return found
        return None


class Judge:
    """Checks of proposed cases, each solved once."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self._known: dict[tuple[LandSize, ...], Judged] = {}

    def of(self, sizes: tuple[LandSize, ...]) -> Judged:
        """What a check says of the case with these sizes."""
        if sizes not in self._known:
            self._known[sizes] = _checked(with_sizes(self.case, sizes))
        return self._known[sizes]

    def changes(self, sizes: tuple[LandSize, ...]) -> tuple[Change, ...]:
        return changes_of(self.case, sizes)


def judged(results: Results) -> Judged:
    """What a check found."""
    return Judged(verdict_state(results), results.margins)


def _checked(case: Case) -> Judged:
    faults = [*shell_faults(case.shell), *sleeve_faults(case.sleeve)]
    faults = faults or list(joint_faults(case.shell, case.sleeve))
    if faults:
        return Judged("cannot be done", why=f"{faults[0].part}: {faults[0].problem}")
    try:
        return judged(check_case(case))
    except CaseError as error:
        return Judged("cannot be done", why=error.faults[0].problem)
    except (MeshError, SolveError, ValueError) as error:  # the last where the loads do not fit the parts
        return Judged("cannot be done", why=f"not solved: {error}")
