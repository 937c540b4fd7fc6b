"""Service loads on the screen: each case in words, and what seats and tubes carry."""

from __future__ import annotations

import textwrap
from math import atan2, degrees, hypot

from hoopwright.cautions import ODD_LOBES
from hoopwright.display import Units
from hoopwright.service.account import Entry, account_of
from hoopwright.study import CaseStudy

WIDTH = 79


def service_lines(study: CaseStudy, units: Units) -> list[str]:
    """Empty where the case gives no service loads and no out-of-round bore."""
    service, case = study.service, study.case
    if service is None:
        return []
    lines = ["", "Service loads"]
    for one in service.cases if case.service else ():
        assert case.service
        account = account_of(one, case.service, case.shell)
        lines += _wrapped(f"{one.name}: {one.description.said(units.given)}", "  ", "    ")
        lines += _wrapped("on " + "; ".join(_said(e, units) for e in account.loads), "    ", "      ")
        if account.reactions:
            lines += _wrapped("held by " + "; ".join(_said(e, units) for e in account.reactions),
                              "    ", "      ")
    if case.out_of_round is not None:
        oval, lobes = (units.text(1e3 * size, "um")
                       for size in (case.out_of_round.ovality, case.out_of_round.three_lobe))
        lines += _wrapped(f"bore out of round by {oval} (oval) and {lobes} (three lobes); {ODD_LOBES}",
                          "  ", "    ")
    return lines


def _said(entry: Entry, units: Units) -> str:
    """Force across the shell with its direction, force along it where there is one."""
    x, y, z = entry.force.tolist()
    across = f"{units.text(hypot(x, y), 'N')} at {degrees(atan2(y, x)) % 360.0:.0f}°"
    along = f" and {units.text(z, 'N')} along z" if abs(z) > 0.5 else ""
    return f"{entry.name} {across}{along}"


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest)
