"""Pressing in: what the press should read, what it read, and assembly by heat and cold."""

from __future__ import annotations

from typing import Any

from hoopwright.case.quantity import converted
from hoopwright.display import Units
from hoopwright.record.pages.blocks import (
    Block,
    along,
    bullets,
    facts,
    figure,
    heading,
    table,
    text,
    together,
)


def press(d: dict[str, Any], units: Units) -> list[Block]:
    part = d["press"]
    if part["blocked"]:
        return [heading("Pressing in"), text(f"Not planned: {part['blocked']}.")]
    blocks = [together(heading("Pressing in"), _forces(d, units)), figure("press", floats=True),
              bullets(part["advice"], small=True)]
    if part["told"] is not None:
        blocks.append(together(heading("What the press told"), _told(part["told"], units)))
    return [*blocks, *_heat(part["heat_and_cold"], units)]


def _forces(d: dict[str, Any], units: Units) -> Block:
    part = d["press"]
    course, friction = part["force_against_travel"], part["force_against_travel"]["friction"]
    last = course["positions"][-1]

    def gauge(key: str) -> str:
        value = max((p[key] for p in course["positions"] if p[key] is not None), default=None)
        if value is None:
            return ""
        unit = "psi" if units.system == "inch" else "bar"
        return f", gauge {converted(value, 'MPa', unit):.0f} {unit}"

    return facts([
        ("goes in from", f"the {course['enters_from']}; {along(last['travel_mm'], units)} of travel"),
        ("greatest force, likely", units.both(part["greatest_likely_N"], "N") + gauge("gauge_likely_MPa")),
        ("stop above", units.both(part["greatest_stop_N"], "N") + gauge("gauge_stop_MPa")),
        ("suspect the fit below", units.both(part["greatest_least_N"], "N") + gauge("gauge_least_MPa")),
        ("to move it after a rest, at most", units.text(course["breakaway_most_N"], "N")),
        ("friction", f"{friction['low']:.2f} low, {friction['likely']:.3f} likely, "
                     f"{friction['high']:.2f} high"),
        ("the press can give", "" if part["capacity_N"] is None else units.text(part["capacity_N"], "N")),
    ])


def _told(told: dict[str, Any], units: Units) -> Block:
    rows = [("read", f"{told['source']}: {units.both(told['peak_N'], 'N')}"),
            ("expected", f"{units.number(told['expected_low_N'], 'N')} to "
                         f"{units.text(told['expected_high_N'], 'N')}")]
    if told["contradicts"] or "interference_um" not in told:
        take = told["would_take"]
        rows += [("verdict", "not what sizes and friction explain: do not rely on the margins until it is"),
                 ("it would take", f"a friction of {take['friction']:.3f} at the likely interference")]
        return facts(rows)
    tight, mu, grip = told["interference_um"], told["friction"], told["sliding_force_N"]
    rows += [
        ("interference now, 95 %", _range(tight, "um", units)),
        ("friction now, 95 %", f"{mu['low']:.3f} to {mu['high']:.3f}"),
        ("force to slide it, 95 %", _range(grip, "N", units)),
        ("margins with that fit", ", ".join(f"{m['id'].replace('_', ' ')} {m['margin']:+.2f} ({m['state']})"
                                            for m in told["margins"][:4] if m["margin"] is not None)),
    ]
    return facts(rows)


def _range(span: dict[str, float], unit: str, units: Units) -> str:
    return f"{units.number(span['low'], unit)} to {units.text(span['high'], unit)}"


def _heat(part: dict[str, Any], units: Units) -> list[Block]:
    def at(value: float) -> str:
        shown = units.text(value, "degC", decimals=0)
        return shown.removeprefix("-") if shown.startswith("-0 ") else shown

    rows = [(w["name"], at(w["shell_degC"]), at(w["sleeve_degC"]),
             "too hot" if not w["allowed"] else "" if w["time_in_hand_s"] is None
             else f"{w['time_in_hand_s']:.0f} s") for w in part["ways"]]
    if not rows:
        return []
    told = (f"To slip in with {units.text(part['clearance_um'], 'um')} of clearance over "
            f"{units.text(part['interference_um'], 'um')}. The shell stands "
            f"{at(part['shell_limit_degC'])}: {part['limit_from']}. In hand: until the gap is gone, in "
            "still air; an estimate.")
    return [together(heading("Or by heat and cold"), table(["way", "shell", "sleeve", "in hand"], rows),
                     text(told, small=True), bullets(part["warnings"], small=True))]
