"""What a person should have looked at before signing a verdict: what rests on memory, choice or
assumption."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any

from hoopwright.case.model import Case, Factors
from hoopwright.case.preset_model import FilledValue
from hoopwright.case.service_model import FatigueInput
from hoopwright.checks.local_strength import threads_left_out
from hoopwright.loads.support import ClampedBand

FACTOR_KEYS = {"yielding": "yield"}
"""Key in [factors] where it is not the name of the field."""
FROM_MEMORY = ("from memory", "not seen")


def before_signing_part(case: Case, rows: Sequence[dict[str, Any]]) -> list[dict[str, str]]:
    """The points, each with its kind and a sentence. rows: as in the document, with their working."""
    points = (
        ("preset", _presets(case)),
        ("from memory", _from_memory(rows)),
        ("factor", _factors(case)),
        ("further row", _further_rows(rows)),
        ("not judged", (*_not_judged(rows), *_threads(case, rows))),
        ("doubt", _doubts(rows)),
        ("assumption", _assumptions(case)),
    )
    return [{"kind": kind, "text": text} for kind, texts in points for text in texts]


def _presets(case: Case) -> Iterator[str]:
    """Presets that filled in what the case leaves out, each with what rests on it and on what it rests."""
    filled: dict[str, list[FilledValue]] = {}
    for value in case.presets.filled:
        filled.setdefault(value.preset, []).append(value)
    for preset, values in filled.items():
        keys = ", ".join(f"{value.heading} {value.key}" for value in values)
        bases = ", ".join(dict.fromkeys(value.basis for value in values))
        yield f"Nobody measured what the preset {preset} gives ({bases}): {keys}."


def _from_memory(rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    """Sources recalled and not opened, with the rows that rest on them."""
    found: dict[str, list[str]] = {}
    for row in rows:
        for line in (row["working"] or {"lines": []})["lines"]:
            if line["origin"] == "table" and any(words in line["source"] for words in FROM_MEMORY):
                titles = found.setdefault(line["source"], [])
                if row["title"] not in titles:
                    titles.append(row["title"])
    for source, titles in found.items():
        yield f"Look up what is given from memory behind {', '.join(titles)}: {source}."


def _factors(case: Case) -> Iterator[str]:
    """Factors that are not the tool's own, of rows that the case has."""
    usual, idle = Factors(), {notice.key for notice in case.without_effect if notice.table == "[factors]"}
    for field in fields(Factors):
        own, given = getattr(usual, field.name), getattr(case.factors, field.name)
        key = FACTOR_KEYS.get(field.name, field.name)
        if given != own and key not in idle:
            lower = "lower" if given < own else "higher"
            yield f"[factors] {key} is {given:g}, {lower} than the tool's own {own:g}."


def _further_rows(rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    """Rows that other distributions bring, with what they rest on."""
    for row in rows:
        if "distribution" in row:
            yield (
                f"Not a row of hoopwright, and held by none of its tests: {row['title']}, of "
                f"{row['distribution']} ({row['basis']})."
            )


def _not_judged(rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    for row in rows:
        if row["state"] == "not assessed":
            yield f"Not judged: {row['title']}; {row['note'] or row['basis']}."


def _threads(case: Case, rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    """Thread roots, where fatigue of the sleeve is judged and no factor takes them."""
    judged = any(row["id"].startswith("sleeve_fatigue") and row["margin"] is not None for row in rows)
    if judged and threads_left_out(case, "sleeve"):
        yield (
            "Not judged: fatigue at the roots of the sleeve's threads, where cracks like to start; "
            "[fatigue] thread_notch_factor takes them."
        )


def _doubts(rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    for row in rows:
        if row["doubt"]:
            yield f"In doubt: {row['title']}, {row['doubt']}."


def _assumptions(case: Case) -> Iterator[str]:
    fit, (least, most) = case.fit, case.pressing_friction
    if case.one_friction or case.press.slips_in:
        yield (
            f"Friction of the seat is taken to lie between {fit.friction_low:g} and {fit.friction_high:g}, "
            "for pressing and holding alike; it was not measured here."
        )
    else:
        yield (
            f"Friction of the seat is taken to lie between {least:g} and {most:g} in pressing, and between "
            f"{fit.friction_low:g} and {fit.friction_high:g} from then on; it was not measured here."
        )
    if case.compound is not None and case.compound.credit:
        source = f" ({case.compound.source})" if case.compound.source else ""
        yield (
            f"{100.0 * case.compound.credit:g} % of the retaining compound's shear strength is counted on"
            f"{source}; whether it cured on this joint was not tested."
        )
    if case.service is None:
        reason = f" ({case.no_service})" if case.no_service else ""
        yield f"No load in use is taken into account{reason}."
        return
    support = case.service.support
    if isinstance(support, ClampedBand):
        held = "held fast in a clamp"
    else:
        held = f"held by its tubes ({', '.join(tube.name for tube in support)})"
    yield f"The shell is taken to be {held}, as the case describes them; a real frame gives elsewhere too."
    if case.service.micro_slip_accepted:
        share = case.fatigue.fretting
        own = " (our choice after secondary quotes)" if share == FatigueInput().fretting else ""
        yield (
            f"Local slip of the seat is accepted; it wears, and leaves {100.0 * share:g} %{own} of the "
            "fatigue strength beside it."
        )
