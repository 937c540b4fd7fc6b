"""What the press said of the fit, and the way in by heat and cold, as step Press words them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoopwright.display import Units
from hoopwright.page.model import Bench, Document
from hoopwright.page.views.words import capital, margin_shown, typeset

MAX_MARGINS = 6


@dataclass(frozen=True)
class MarginView:
    """A row before and after the readings."""

    title: str
    before: str
    after: str
    state: str


@dataclass(frozen=True)
class Found:
    """What was read at the press, in words. contradicts: the case is not what was pressed. lines:
    sentences; notes: those of the command. margins: with the fit that was read."""

    contradicts: bool
    lines: tuple[str, ...]
    notes: tuple[str, ...]
    margins: tuple[MarginView, ...]


@dataclass(frozen=True)
class Way:
    """One way to slip it in. seconds: in hand, in words."""

    name: str
    shell: str
    sleeve: str
    gap: str
    seconds: str


@dataclass(frozen=True)
class Heat:
    """Heat and cold. needs: the clearance and what it goes over. limit: what the shell stands."""

    needs: str
    limit: str
    ways: tuple[Way, ...]
    notes: tuple[str, ...]


def found_of(bench: Bench) -> Found | None:
    """What the readings say, of the log as it stands; None where nothing current says it."""
    press = bench.answer("press")
    if press is None or bench.case is None or not bench.is_current("press"):
        return None
    found = press["inferred_fit"]
    if found is None:
        return None
    notes = tuple(typeset(note) for note in found["notes"])
    if "interference_um" not in found:
        words = ("What was read at the press contradicts the case. No row holds until that is explained.",)
        return Found(contradicts=True, lines=words, notes=notes, margins=())
    return Found(
        contradicts=False,
        lines=tuple(_says(found, press, bench)),
        notes=notes,
        margins=_margins(bench, found),
    )


def _says(found: Document, press: Document, bench: Bench) -> list[str]:
    units, friction = bench.units, press["force_against_travel"]["friction"]
    fit, mu, slide = found["interference_um"], found["friction"], found["sliding_force_N"]
    lines = [
        f"Interference {units.span(fit['low'], fit['high'], 'um')}{_before(bench, units)}; friction "
        f"{mu['low']:.3f} to {mu['high']:.3f}, before {friction['low']:.3f} to {friction['high']:.3f}.",
        f"It takes {units.span(slide['low'], slide['high'], 'N')} to slide it now.",
    ]
    if found["passed_stop_line_at_mm"] is not None:
        where = units.along(found["passed_stop_line_at_mm"])
        lines.append(f"It passed the stop line at {where} of travel: that was the moment to stop and look.")
    return [typeset(line) for line in lines]


def _before(bench: Bench, units: Units) -> str:
    """The interval of the sizes alone."""
    check = bench.answer("check")
    if check is None or not bench.is_current("check"):
        return ""
    fit = check["fit"]["diametral_interference_um"]
    return f", before {units.span(fit['least'], fit['greatest'], 'um')}"


def _margins(bench: Bench, found: Document) -> tuple[MarginView, ...]:
    check = bench.answer("check") if bench.is_current("check") else None
    before: Mapping[str, float | None] = (
        {} if check is None else {row["id"]: row["margin"] for row in check["checks"]}
    )
    read = [one for one in found["margins"] if one["state"] != "not assessed"]
    return tuple(
        MarginView(
            capital(one["title"]),
            margin_shown(before[one["id"]]) if before.get(one["id"]) is not None else "",
            margin_shown(None if one["margin_without_end"] else one["margin"]),
            "undecided" if one["state"] == "unresolved" else one["state"],
        )
        for one in read[:MAX_MARGINS]
    )


def heat_of(plan: Document, units: Units) -> Heat:
    """Temperatures, what they leave, and the time in hand."""
    part = plan["heat_and_cold"]
    return Heat(
        typeset(
            f"To slip in with {units.text(part['clearance_um'], 'um')} of clearance over "
            f"{units.text(part['interference_um'], 'um')} of interference."
        ),
        typeset(units.temperature(part["shell_limit_degC"])),
        tuple(
            Way(
                capital(way["name"]),
                typeset(units.temperature(way["shell_degC"])),
                typeset(units.temperature(way["sleeve_degC"])),
                typeset(units.text(way["gap_um"], "um")),
                _seconds(way),
            )
            for way in part["ways"]
        ),
        tuple(typeset(note) for note in part["notes"]),
    )


def _seconds(way: Document) -> str:
    if not way["allowed"]:
        return "too hot for the shell"
    if way["gap_um"] <= 0.0:
        return "sticks"
    seconds = way["time_in_hand_s"]
    if seconds is None:
        return "not known"
    return f"about {seconds:.0f} s" if seconds < 90.0 else f"about {seconds / 60.0:.0f} min"
