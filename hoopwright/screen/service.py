"""Service loads on the screen: each case in words, and what seats and tubes carry."""

from __future__ import annotations

import textwrap
from math import atan2, degrees, hypot
from typing import Any

from hoopwright.display.rows import load_text
from hoopwright.display.units import Units
from hoopwright.screen.wrapping import WIDTH


def service_lines(part: dict[str, Any] | None, units: Units) -> list[str]:
    """Empty where the case gives no service loads and no out-of-round bore."""
    if part is None:
        return []
    lines = ["", "Service loads"]
    for case in part["cases"]:
        lines += _wrapped(f"{case['name']}: {load_text(case['wording'], units)}", "  ", "    ")
        for word, entries in (("on", case["loads"]), ("held by", case["reactions"])):
            if entries:
                text = "; ".join(_entry_text(e, units) for e in entries)
                lines += _wrapped(f"{word} {text}", "    ", "      ")
    oval = part["out_of_round"]
    if oval is not None:
        lines += _wrapped(
            f"bore and sleeve out of round by {units.text(oval['ovality_um'], 'um')} (oval) and "
            f"{units.text(oval['three_lobe_um'], 'um')} (three lobes); {oval['note']}",
            "  ",
            "    ",
        )
    return lines


def _entry_text(entry: dict[str, Any], units: Units) -> str:
    """Force across the shell with its direction, and force along it where there is one."""
    x, y, z = entry["force_N"]
    across = f"{units.text(hypot(x, y), 'N')} at {degrees(atan2(y, x)) % 360.0:.0f}°"
    along = f" and {units.text(z, 'N')} along z" if abs(z) > 0.5 else ""
    return f"{entry['on']} {across}{along}"


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    return textwrap.wrap(text, WIDTH - 1, initial_indent=first, subsequent_indent=rest)
