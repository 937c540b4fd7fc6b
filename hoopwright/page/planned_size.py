"""The diameters that give an interference, for a change of it from the page."""

from __future__ import annotations

from collections.abc import Iterator

from hoopwright.case.model import Case
from hoopwright.errors import CaseError, Fault
from hoopwright.geometry import Land
from hoopwright.geometry.joint import joint
from hoopwright.interference import effective_interference, mean_interference
from hoopwright.sizing.finished import bore_is_cut

PATH = "interference"
"""Path of a change that is no key of a case: diameters_for has the keys that it comes to."""
INCH = 25.4


def fixed_because(case: Case) -> str:
    """Why no size can be chosen for another interference, "" where one can: what is cut or was read is what
    it is."""
    if _sleeve_is_open(case) or _bore_is_open(case):
        return ""
    return "sleeve and bore are both cut or read: another interference is a question for Turn to"


def diameters_for(case: Case, nominal_um: float) -> tuple[tuple[str, str], ...]:
    """Path and value of every diameter that gives a likely effective interference, µm, in the units of the
    case: of the sleeve's outside, or of the bore where the sleeve is finished.

    All lands change alike. Raises CaseError where both parts are finished.
    """
    fixed = fixed_because(case)
    if fixed:
        raise CaseError((Fault(case.file, "[sleeve]", "", fixed, "change the parts, or their readings"),))
    seats = effective_interference(case, joint(case.shell, case.sleeve)).fits
    change = 1e-3 * nominal_um - mean_interference(seats)
    if _sleeve_is_open(case):
        return tuple(
            _pairs(case, "sleeve.outside", case.sleeve.unfaced.outside, case.sleeve_lands_listed, change)
        )
    return tuple(_pairs(case, "shell.bore", case.shell.bore, case.shell_lands_listed, -change))


def _sleeve_is_open(case: Case) -> bool:
    return case.sleeve_turned is not True and not any(m.surface == "outside" for m in case.sleeve_measured)


def _bore_is_open(case: Case) -> bool:
    return not bore_is_cut(case) and not any(m.surface == "bore" for m in case.shell_measured)


def _pairs(
    case: Case, surface: str, lands: tuple[Land, ...], listed: bool, change: float
) -> Iterator[tuple[str, str]]:
    for k, land in enumerate(lands):
        where = f"{surface}[{k}].diameter" if listed else f"{surface}_diameter"
        start, end = (_written(case, d + change) for d in (land.diameter_start, land.diameter_end))
        if land.diameter_start == land.diameter_end:
            yield where, start
        else:
            yield from ((f"{where}_from", start), (f"{where}_to", end))


def _written(case: Case, diameter: float) -> str:
    """A diameter, mm, as the case writes sizes: to a tenth of a micrometre, or a millionth of an inch."""
    if case.units == "inch":
        return f"{diameter / INCH:.6f} in"
    return f"{diameter:.4f} mm"
