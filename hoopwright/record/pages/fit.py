"""The fit: interference with its interval, window, contact pressure, and the comparison with Lamé."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.rows import (
    against_lame_text,
    clash_text,
    compound_text,
    lame_difference,
    lame_numbers,
    window_text,
)
from hoopwright.record.pages.blocks import Block, facts, heading, keep_together, table, text


def fit(d: dict[str, Any], units: Units) -> list[Block]:
    interference, pressure = d["fit"]["diametral_interference_um"], d["fit"]["contact_pressure_MPa"]
    settings = d["settings"]
    rows = [
        ("interference, on diameter", units.both(interference["nominal"], "um")),
        (
            "its 95 % interval",
            units.span(interference["least"], interference["greatest"], "um")
            if interference["greatest"] > interference["least"]
            else "",
        ),
        ("window where all checks hold", _window(d["window"], units)),
        (
            "mean contact pressure",
            f"{units.both(pressure['mean'], 'MPa')}, numerical error "
            f"{units.error(pressure['mean_numerical_error'], 'MPa')}",
        ),
        ("bore closes at mid-sleeve", units.both(d["fit"]["bore_closure_mid_sleeve_um"], "um")),
        ("outside grows at mid-sleeve", units.both(d["fit"]["outside_growth_um"], "um")),
        (
            "friction",
            f"{settings['friction_low']:.2f} to {settings['friction_high']:.2f}",
        ),
        (
            "friction in pressing",
            f"{settings['pressing_friction_low']:.2f} to {settings['pressing_friction_high']:.2f}"
            if settings["press_method"] == "push"
            else "",
        ),
        ("pusher pilots in the bore", _pilot(settings, units)),
        ("goes in", "by heat or cold; nothing is smoothed" if settings["press_method"] == "heat" else ""),
        ("retaining compound", compound_text(d["compound"], units)),
        (
            "fit made at",
            units.temperature(settings["fit_temperature_degC"])
            if settings["fit_temperature_degC"] != 20.0
            else "",
        ),
        ("must hold", _demand(settings["demand"], units)),
    ]
    blocks = [heading("Fit and window"), facts(rows)]
    strip = _window_bar(d, units)
    return [keep_together(*blocks, *([strip] if strip else []))]


def _window(window: dict[str, Any], units: Units) -> str:
    if window["withheld"]:
        return f"withheld: {window['withheld']}"
    if window["empty"]:
        return "none: " + "; ".join(clash_text(c, units) for c in window["clash"])
    ends = [
        f"fails {side}: {end['title']}"
        for side, end in (("below", window["least"]), ("above", window["greatest"]))
        if end["by"]
    ]
    return window_text(window, units) + (f"  ({'; '.join(ends)})" if ends else "")


def _pilot(settings: dict[str, Any], units: Units) -> str:
    diameter, length = settings["press_pilot_diameter_mm"], settings["press_pilot_length_mm"]
    if diameter is None:
        return ""
    how_far = "right through" if length is None else f"over {units.both(length, 'mm')}"
    return f"{units.both(diameter, 'mm')}, {how_far}"


def _demand(demand: dict[str, float] | None, units: Units) -> str:
    if demand is None:
        return ""
    given = ((demand["axial_force_N"], "N", "along the axis"), (demand["torque_Nm"], "N*m", "about it"))
    return " and ".join(f"{units.text(value, unit)} {how}" for value, unit, how in given if value)


def _window_bar(d: dict[str, Any], units: Units) -> Block | None:
    """Window, 95 % interval and likely interference on one scale; None where the window is empty.

    Positions are shares of the width of the bar.
    """
    window, interference = d["window"], d["fit"]["measured_interference_um"]
    if window["empty"]:
        return None
    ends = [window[k]["measured_interference_um"] for k in ("least", "greatest")]
    low, high = min(ends[0], interference["least"]), max(ends[1], interference["greatest"])
    room = 0.12 * (high - low) or 1.0

    def at(value: float) -> float:
        return round((value - low + room) / (high - low + 2.0 * room), 4)

    return {
        "kind": "strip",
        "window": [at(e) for e in ends],
        "window_labels": [units.text(e, "um") for e in ends],
        "interval": [at(interference["least"]), at(interference["greatest"])],
        "likely": at(interference["nominal"]),
        "likely_label": units.text(interference["nominal"], "um"),
        "names": ["window", "the fit, 95 %"],
    }


def against_lame(d: dict[str, Any], units: Units) -> list[Block]:
    part = d["closed_form"]
    rows = []
    for c in part["comparison"]:
        by_elements, by_lame = lame_numbers(c, units)
        error = units.error(c["numerical_error"], c["unit"])
        rows.append((c["what"], by_elements, error, by_lame, lame_difference(c)))
    unit = units.label("MPa")
    head = [
        "nominal interference, frictionless",
        f"finite elements [{unit}]",
        "numerical error",
        f"Lamé [{unit}]",
        "difference",
    ]
    return [
        keep_together(
            heading("Finite elements beside Lamé"),
            table(head, rows),
            text(against_lame_text(part, "record"), small=True),
        )
    ]
