"""What heat leaves of a metal's strength: for good, by the hottest it has been, and while it is hot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

import numpy as np

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.materials import HeatShares, Material

NO_QUESTION_K = 80.0
"""Temperature, K above 20 °C, up to which nothing is asked about heat where the table says nothing; our
choice."""
COMMON_HEAT_K = 180.0
"""Temperature, K above 20 °C, beyond which no shell is heated to slip a sleeve in; common practice, no
source: paint chars, grease smokes and adhesives fail by then."""
HALF_AN_HOUR = 1800.0
"""s, of the curves of reheating."""


@dataclass(frozen=True)
class Share:
    """A share of the yield strength at 20 °C, with its cause in words, "" for none, basis, source and a
    doubt."""

    value: float = 1.0
    cause: str = ""
    basis: str = ""
    source: str = ""
    doubt: str = ""


def left_for_good(case: Case, body: str, stage: str, material: Material) -> Share:
    """What the heat before a stage, or in it, has left of a metal. An oven counts in every stage after the
    sleeve is in: it may come before use, and while the cups are out; a shell may have been heated to slip
    the sleeve in. Both together take what each does."""
    value, told = 1.0, Share()
    for rise, seconds, what in _heats(case, body, stage):
        share = _after(material, rise, seconds, what)
        value *= share.value
        if share.doubt:
            return Share(value, doubt=share.doubt)
        told = share if share.value < told.value else told
    return Share(value, told.cause, told.basis, told.source)


def while_hot(case: Case, body: str, stage: str, material: Material, rise: float) -> Share:
    """The strength of a metal at a temperature, K above 20 °C, as a share of that at 20 °C."""
    if material.hot is not None and rise <= material.hot.ends:
        value = _at(material.hot, rise)
        cause = f"while it is at {_degrees(rise)}" if value < 1.0 else ""
        return Share(value, cause, material.hot.basis, material.hot.source)
    if rise <= NO_QUESTION_K:
        return Share()
    if spoilt := left_for_good(case, body, stage, material).doubt:
        return Share(doubt=spoilt)
    return Share(doubt=f"no strength of {material.name} is known while it is at {_degrees(rise)}")


def heated_to_slip_in(case: Case) -> Share:
    """What is left of the shell's own metal after it was heated to slip the sleeve in."""
    return left_for_good(case, "shell", "pressed", case.shell_material)


def _heats(case: Case, body: str, stage: str) -> Iterator[tuple[float, float | None, str]]:
    """The temperatures, K above 20 °C, that a body has been at by the end of a stage, for how long, s,
    where that is given, and the occasion. Cups are out of the sleeve while it is in the oven."""
    if body == "shell" and case.press.slips_in:
        yield case.press.shell_hot_K, None, "heating it to slip the sleeve in"
    temperatures = case.temperatures
    if temperatures is None or stage in ("entering", "pressed"):
        return
    oven = -inf if temperatures.oven is None or body == "cup" else temperatures.oven
    if oven > temperatures.use_max:
        yield oven, temperatures.oven_time, "the oven"
    else:
        yield temperatures.use_max, None, "the heat of use"


def _after(material: Material, rise: float, seconds: float | None, what: str) -> Share:
    limit, curve = material.heat_limit, material.reheating
    if rise <= NO_QUESTION_K and (limit is None or rise <= limit):
        return Share()
    if limit is None:
        return Share(
            doubt=f"no limit is known of the heat that {material.name} stands, and {_degrees(rise)} is "
            f"above {_degrees(NO_QUESTION_K)}"
        )
    if curve is not None and seconds is not None and seconds > HALF_AN_HOUR:
        return Share(
            doubt=f"what {_degrees(rise)} takes from {material.name} is known for half an hour, not for "
            f"{seconds / 60.0:.0f} min"
        )
    if rise <= limit:
        return Share()
    if curve is None or rise > curve.ends:
        return Share(doubt=_spoilt(material, limit if curve is None else curve.ends, rise))
    cause = f"left by {what} at {_degrees(rise)}, taken as half an hour"
    return Share(_at(curve, rise), cause, curve.basis, curve.source)


def _at(shares: HeatShares, rise: float) -> float:
    rises, values = zip(*shares.points, strict=True)
    return float(np.interp(rise, rises, values))


def _spoilt(material: Material, limit: float, hottest: float) -> str:
    return (
        f"{material.name} stands {_degrees(limit)}; at {_degrees(hottest)} it loses strength for good, and "
        "no line that counts on its yield holds after that"
    )


def _degrees(rise: float) -> str:
    return Units().both(20.0 + rise, "degC")
