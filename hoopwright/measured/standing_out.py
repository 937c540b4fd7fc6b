"""Readings of several lands that stand out and were not confirmed, in words."""

from __future__ import annotations

from collections.abc import Iterable

from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.measured.suspects import Suspect, suspect_text

SHOWN = 3
Standing = tuple[MeasuredLand, Suspect]


def standing_out(measured: Iterable[MeasuredLand]) -> tuple[Standing, ...]:
    """The readings that stand out and were not confirmed, each with its land."""
    return tuple((land, one) for land in measured for one in land.outliers if not one.confirmed)


def in_words(found: tuple[Standing, ...]) -> str:
    """Such readings with their places, and what they may have been meant to be, as a question."""
    shown = "; ".join(f"{land.part} {land.surface}, {suspect_text(one)}" for land, one in found[:SHOWN])
    return shown + (f"; and {len(found) - SHOWN} more" if len(found) > SHOWN else "")


def reading_faults(measured: Iterable[MeasuredLand]) -> tuple[tuple[str, str, str, str], ...]:
    """Such readings of lands from which no part can be made: heading, key, problem and advice of each."""
    return tuple(
        (
            f"[[{land.part}.{land.surface}]]",
            "readings",
            f"one stands out: {suspect_text(one)}",
            "read there again; the faults below may come of it",
        )
        for land, one in standing_out(measured)[:SHOWN]
    )
