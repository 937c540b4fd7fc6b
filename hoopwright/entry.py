"""The side from which the sleeve goes in."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.case.reader_units import lengths_in, system_of
from hoopwright.errors import CaseError, Fault
from hoopwright.geometry.land import End, opposite
from hoopwright.geometry.travel import blocking_travel, entry_end


def entry_side(case: Case) -> End:
    """The side from which the sleeve is pressed in. Raises CaseError where it is blocked from there."""
    asked: End | None = case.press.enters_from
    end = entry_end(case.shell, case.sleeve.blank) if asked is None else asked
    stop = blocking_travel(case.shell, case.sleeve.blank, end)
    if stop is not None:
        other = opposite(end)
        meets = lengths_in(f"{stop:.3g} mm", system_of(case.units))
        problem = f"from the {end} the sleeve meets a smaller bore after {meets} of travel"
        advice = f'write enters_from = "{other}", or check the lands'
        if case.sleeve.enters_from == other:
            problem = f"from the {end} the sleeve does not go in against its {case.sleeve.stop}"
            advice = f'write enters_from = "{other}", or correct [sleeve] stop'
        raise CaseError((Fault(case.file, "[press]", "enters_from", problem, advice),))
    return end
