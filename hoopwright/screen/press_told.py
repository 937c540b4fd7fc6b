"""What the press told, as text for a terminal."""

from __future__ import annotations

from hoopwright.display import Units
from hoopwright.pressing.plan import PressPlan
from hoopwright.pressing.told import Told
from hoopwright.pressing.too_tight import NOTICED
from hoopwright.screen.wrapping import bullets

LITTLE = 0.25
"""Share by which the interval of the interference must narrow to say that the force told of it."""
SHOWN = 8


def told_lines(found: Told, plan: PressPlan, units: Units) -> list[str]:
    """Reading, then either what it contradicts or the fit it speaks for, with its margins."""
    number, (low, high) = units.text, found.expected
    lines = [f"Read: {found.source}. The greatest force is {number(found.peak, 'N')}, where "
             f"{number(low, 'N')} to {number(high, 'N')} was expected."]
    if found.above_stop is not None:
        places = 1 if units.system == "metric" else 2
        lines.append(f"It passed the stop line at {number(found.above_stop, 'mm', decimals=places)} of "
                     "travel: "
                     "that was the moment to stop and look.")
    if found.after is None:
        return ["What the press told", *bullets([*lines, *_contradiction(found, units)])]
    return ["What the press told", *bullets([*lines, *_fit(found, plan, units)]), *_margins(found)]


def _contradiction(found: Told, units: Units) -> list[str]:
    if not found.contradicts:
        return ["The bore closure read contradicts the sizes given: so far off it falls less than once in "
                "1000 "
                "such jobs. Measure bore and sleeve again; the margins are not recomputed."]
    e, way = found.explanation, "tighter" if found.contradicts == "above" else "looser"
    if e.friction <= 0.0:
        return ["It was read where nothing should bear yet. The sleeve is cocked, a land is larger than "
                "measured, or travel was counted from another place."]
    return [
        f"The reading contradicts the sizes and the friction given: so far {found.contradicts} it falls "
        "less "
        f"than once in {1 / max(found.probability, 1e-4):.0f} such jobs. It would take a friction of "
        f"{e.friction:.2g} at the likely interference, or an interference of "
        f"{units.text(1e3 * e.interference_at_high, 'um')} at the highest friction given "
        f"({units.text(1e3 * e.interference_at_low, 'um')} at the lowest).",
        f"Either the fit is {way} than measured, or the friction lies outside its range, or the gauge is "
        "wrong. Measure the bore closure, check gauge and ram, and do not rely on the margins until it is "
        "explained."]


def _fit(found: Told, plan: PressPlan, units: Units) -> list[str]:
    assert found.after is not None
    assert found.grip is not None
    nominal, before, fit = plan.study.nominal_interference, plan.study.spread, plan.case.fit
    shift, mu = found.after.shift, found.after.friction
    now_low, now_high, was_low, was_high = (
        units.text(1e3 * (nominal + s), "um") for s in (shift.low, shift.high, -before, before))
    lines = [
        f"Interference {now_low} to {now_high} (before: {was_low} to {was_high}), friction {mu.low:.3f} to "
        f"{mu.high:.3f} (before: {fit.friction_low:.3f} to {fit.friction_high:.3f}): 95 % intervals by "
        "Bayes' "
        "rule from the sizes, the range of friction and the readings.",
        f"It now takes {units.text(found.grip.low, 'N')} to {units.text(found.grip.high, 'N')} to slide "
        "it: "
        "that is what the press measured best, and what holds it against being pushed out."]
    narrowed = 1.0 - (shift.high - shift.low) / (2.0 * before) if before > 0.0 else 1.0
    if narrowed < LITTLE and found.readings.closure is None:
        lines.append("The force says little about the interference by itself: it gives the product of "
                     "friction "
                     "and pressure. The bore at mid-sleeve read before and after ([press] "
                     "observed_closure) "
                     "would split them.")
    if plan.plastic is not None and plan.plastic.lowered > NOTICED:
        lines.append("Metal yields within the range of the sizes, which the force does not show: read the "
                     "interference as a least value.")
    return lines


def _margins(found: Told) -> list[str]:
    assessed = [m for m in found.margins if m.margin is not None]
    lines = ["  Margins with the updated fit, worst first:"]
    for m in assessed[:SHOWN]:
        shown = "none" if m.margin == float("inf") else f"{m.margin:+.2f}"
        lines.append(f"    {m.title:24.24s} {shown:>6s}  {m.state}")
    if len(assessed) > SHOWN:
        lines.append(f"    and {len(assessed) - SHOWN} more, all with larger margins")
    return lines
