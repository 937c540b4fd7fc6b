"""Texts of the rows and parts of a document, the same on screen and in the record."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from hoopwright.display.units import Units, margin_text
from hoopwright.loads.description import LoadDescription

Row = dict[str, Any]
"""A margin as document/check.py writes it."""
OWN_WORDS = ("case", "job", "gauges", "needs", "title", "name")
"""Parts of a document that are the user's own words."""
MARKS = {"fails": "×", "unresolved": "?"}
"""Marks of what does not hold."""
STAGES = ("entering", "pressed", "cups", "in use", "oven")
"""Stages of a joint's life, in order."""
STAGE_LEGEND = (
    "Margin of safety = limit / (factor × demand) − 1; zero is the limit. > governs its row, × fails, "
    "? undecided, · not described by the case."
)
VISIBLE = 5e-3
"""Width of the interval of a margin from which on it is shown."""


def in_order_of(units: Units, part: Any) -> Any:
    """A document for its reader: a quantity in both systems, that of the reader first."""
    if isinstance(part, str):
        return units.first(part)
    if isinstance(part, dict):
        return {k: v if k in OWN_WORDS else in_order_of(units, v) for k, v in part.items()}
    return [in_order_of(units, v) for v in part] if isinstance(part, list) else part


def further_text(rows: Iterable[Row]) -> str:
    """Which rows are not the tool's own, and the distributions that bring them; "" where all are."""
    found = (f"{row['title']} ({row['distribution']})" for row in rows if "distribution" in row)
    text = ", ".join(dict.fromkeys(found))
    return f"Not of hoopwright: {text}." if text else ""


def row_margin(row: Row) -> str:
    """The margin of a judged row; "no loss" where nothing is demanded."""
    return margin_text(row["margin"])


def margin_cell(row: Row) -> str:
    """The margin of a row with × where it fails and ? where it is undecided."""
    return f"{MARKS.get(row['state'], '')} {row_margin(row)}".strip()


def demand_and_capacity(row: Row, units: Units) -> tuple[str, str]:
    """Both without their unit, each in at most seven characters: decimals go before digits do."""
    return _seven(row["demand"], row["unit"], units), _seven(row["capacity"], row["unit"], units)


def _seven(value: float | None, unit: str, units: Units) -> str:
    if value is None:
        return "∞"  # JSON has no infinity
    usual = units.number(value, unit)
    whole = units.number(value, unit, decimals=0)
    return usual if len(usual) <= 7 else whole if len(whole) <= 7 else f"{float(whole):.1e}"


def when_text(where: dict[str, Any], units: Units) -> str:
    """The state of the joint in which a check governs, e.g. "-5 °C, frictionless, 'right pedal'"; "" where
    it does not matter."""
    state = where["state"]
    degrees, travel, preload = (state[key] for key in ("temperature_degC", "travel_mm", "preload_N"))
    joint = f"{state['joint']} joint" if state["joint"] else ""
    parts = (
        "" if degrees is None else units.temperature(degrees),
        "" if travel is None else f"{units.along(travel)} of travel",
        state["friction"],
        f"preload {units.text(preload, 'N')}" if preload else "",
        f"'{state['load_case']}'" if state["load_case"] else "",
        joint,
    )
    return ", ".join(part for part in parts if part)


def governing_text(row: Row, units: Units) -> str:
    """Demand and limit of a row, its factor, interval, and where and when it governs."""
    demand, capacity = demand_and_capacity(row, units)
    interval = interval_text(row)
    parts = (
        f"{demand} of {capacity} {units.label(row['unit'])}",
        f"factor {row['factor']:.2f}" if row["factor"] != 1.0 else "",
        f"{interval} over the sizes" if interval else "",
        row["where"]["stage"],
        place_text(row["where"], units),
        when_text(row["where"], units),
        f"of {row['distribution']}" if "distribution" in row else "",
    )
    return ", ".join(part for part in parts if part)


def cell_text(row: Row, stage: str) -> str:
    """The margin of a row in a stage, with > where it governs, × where it fails and ? where it is
    undecided; "·" where the case does not describe the stage, "" where one cannot fail so in it."""
    cell = next((c for c in row["cells"] if c["where"]["stage"] == stage), None)
    if cell is None:
        return "·" if stage in row["stages"] else ""
    governs = ">" if row["where"]["stage"] == stage and len(row["cells"]) > 1 else ""
    return f"{governs}{MARKS.get(cell['state'], '')} {margin_text(cell['margin'])}".strip()


def error_text(row: Row, units: Units) -> str:
    """The numerical error of a margin; "" where it has none."""
    return "" if row["margin"] is None else units.error(row["numerical_error"])


def place_text(where: dict[str, Any], units: Units) -> str:
    """Where a check governs, e.g. "z 80.6 mm, 195°"; "" where it governs as a whole."""
    z = "" if where["z_mm"] is None else f"z {units.along(where['z_mm'])}"
    return ", ".join(part for part in (z, angle_text(where)) if part)


def angle_text(where: dict[str, Any]) -> str:
    """The clock angle at which a check governs; "" where it has none."""
    return f"{where['theta_deg']:.0f}°" if "theta_deg" in where else ""


def interval_text(row: Row, *, width: int = 0) -> str:
    """The 95 % interval of a margin, "+0.31 to +0.52", each end `width` columns wide; "" without one."""
    low, high = row["margin_low"], row["margin_high"]
    if low is None or (high is not None and high - low <= VISIBLE):
        return ""
    end = ">999" if high is None else margin_text(high)
    return f"{margin_text(low):>{width}s} to {end:>{width}s}"


def unjudged_text(row: Row, units: Units) -> str:
    """What is known of a row that was not assessed, and what it lacks."""
    known, word = (
        (row["demand"], "demanded") if row["demand"] is not None else (row["capacity"], "available")
    )
    value = "" if known is None else f" {units.text(known, row['unit'])} {word};"
    of = f" (of {row['distribution']})" if "distribution" in row else ""
    return f"{row['title']}{of}:{value} {row['note'] or 'not in the case'}"


def window_text(window: dict[str, Any], units: Units) -> str:
    """The ends of a window that is not empty, e.g. "29.8 to 46.0 µm"."""
    low, high = (window[key]["measured_interference_um"] for key in ("least", "greatest"))
    return units.span(low, high, "um")


def clash_text(clash: dict[str, Any], units: Units) -> str:
    """One side of an empty window: the check, and the interference that it needs or stands."""
    at = clash["measured_interference_um"]
    return f"{clash['title']} {clash['what']}" + ("" if at is None else f" {units.text(at, 'um')}")


COMBINED = {
    "instead": "instead of friction",
    "added": "added to friction",
    "greater": "or friction if more",
}
"""How a credited compound combines with friction, in words."""


def compound_text(part: dict[str, Any] | None, units: Units) -> str:
    """Which land is credited with how much of the retaining compound, and why not where not; "" where
    there is none."""
    if part is None:
        return ""
    friction = f"friction for holding {part['friction_low']:.3g} (dry {part['friction_low_dry']:.3g})"
    return "; ".join([*(_credit_text(land, part, units) for land in part["lands"]), friction])


def _credit_text(land: dict[str, Any], part: dict[str, Any], units: Units) -> str:
    where = f"z {units.along_span(land['z_start_mm'], land['z_end_mm'])}"
    gap = f"gap {units.span(land['gap_least_um'], land['gap_greatest_um'], 'um')}"
    if land["credited_MPa"]:
        how = COMBINED[part["combination"] or "greater"]
        return f"{where} ({gap}): {units.text(land['credited_MPa'], 'MPa')} {how}"
    why = ", ".join(land["not_credited_because"]) or "no credit is asked for"
    return f"{where} ({gap}): not credited, {why}"


def doubts(rows: Iterable[Row]) -> list[str]:
    """Each reason for distrust once, behind the rows that rest on it."""
    return _shared(rows, lambda row: row["doubt"])


def notes(rows: Iterable[Row]) -> list[str]:
    """Each piece of advice of the judged rows once, behind the rows it is for."""
    return _shared((r for r in rows if r["state"] != "not assessed"), lambda row: row["note"])


def _shared(rows: Iterable[Row], text_of: Callable[[Row], str]) -> list[str]:
    titles: dict[str, list[str]] = {}
    for row in rows:
        if text_of(row):
            titles.setdefault(text_of(row), []).append(row["title"])
    return [f"{', '.join(found)}: {text}." for text, found in titles.items()]


def load_text(wording: dict[str, Any], units: Units) -> str:
    """A load case in words, in the units of the reader."""
    quantities = tuple((q["value"], q["unit"]) for q in wording["quantities"])
    return LoadDescription(wording["words"], quantities).said(units.given)


def lame_numbers(compared: dict[str, Any], units: Units) -> tuple[str, str]:
    """Finite elements and closed form of one quantity, without their unit."""
    found = compared["finite_elements"], compared["closed_form"]
    by_elements, by_lame = (units.number(value, compared["unit"], decimals=3) for value in found)
    return by_elements, by_lame


def lame_difference(compared: dict[str, Any]) -> str:
    """How far the finite elements lie from the closed form: "+1.760 %", "far apart", or "" beside zero."""
    difference = compared["difference"]
    if difference is None:
        return ""
    return f"{100.0 * difference:+.3f} %" if abs(difference) < 10.0 else "far apart"


def against_lame_text(part: dict[str, Any], of: str) -> str:
    """Whether finite elements and closed form had to agree, and did. of: "run" or "record"."""
    if not part["applies"]:
        return "Lamé is a guide only here: " + "; ".join(part["why_not"]) + "."
    if part["agrees"]:
        return "They must agree here, and do."
    return f"They must agree here and do NOT: no margin of this {of} holds."
