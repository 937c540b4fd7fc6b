"""The fit: interference with its interval, window, contact pressure, and the comparison with Lamé."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import Block, facts, heading, keep_together, table, text


def fit(d: dict[str, Any], units: Units) -> list[Block]:
    interference, pressure = d["fit"]["diametral_interference_um"], d["fit"]["contact_pressure_MPa"]
    settings = d["settings"]
    closure = d["fit"]["bore_closure_um"]
    middle = closure[len(closure) // 2]
    rows = [
        ("interference, on diameter", units.both(interference["nominal"], "um")),
        (
            "its 95 % interval",
            _range(interference["least"], interference["greatest"], units)
            if interference["greatest"] > interference["least"]
            else "",
        ),
        ("window where all checks hold", _window(d, units)),
        (
            "mean contact pressure",
            f"{units.both(pressure['mean'], 'MPa')}, numerical error "
            f"{_error_text(pressure['mean_numerical_error'], 'MPa', units)}",
        ),
        ("bore closes at mid-sleeve", units.both(middle["nominal"], "um")),
        ("outside grows at mid-sleeve", units.both(d["fit"]["outside_growth_um"], "um")),
        (
            "friction",
            f"{settings['friction_low']:.2f} for holding, {settings['friction_high']:.2f} for pressing",
        ),
        (
            "fit made at",
            units.text(settings["fit_temperature_degC"], "degC")
            if settings["fit_temperature_degC"] != 20.0
            else "",
        ),
        ("must hold", _demand(settings["demand"], units)),
    ]
    blocks = [heading("Fit and window"), facts(rows)]
    strip = _window_bar(d, units)
    return [keep_together(*blocks, *([strip] if strip else []))]


def _range(low: float, high: float, units: Units) -> str:
    return f"{units.number(low, 'um')} to {units.text(high, 'um')}"


def _titles(d: dict[str, Any]) -> dict[str, str]:
    return {c["id"]: c["title"] for c in d["checks"]}


def _window(d: dict[str, Any], units: Units) -> str:
    window, titles = d["window"], _titles(d)
    if window["empty"]:
        sides = [
            f"{titles.get(c['check'], c['check'])} {c['what']}"
            + (
                ""
                if c["effective_interference_um"] is None
                else f" {units.text(c['effective_interference_um'], 'um')}"
            )
            for c in window["clash"]
        ]
        return "none: " + "; ".join(sides)
    low, high = window["least"], window["greatest"]
    text_ = _range(low["effective_interference_um"], high["effective_interference_um"], units)
    ends = [
        f"fails {word}: {titles.get(e['by'], e['by'])}"
        for word, e in (("below", low), ("above", high))
        if e["by"]
    ]
    return text_ + (f"  ({'; '.join(ends)})" if ends else "")


def _error_text(value: float, unit: str, units: Units) -> str:
    decimals = 4 if units.system == "metric" else 5
    if float(units.number(value, unit, decimals=decimals)):
        return units.text(value, unit, decimals=decimals)
    return f"below {10.0**-decimals:.{decimals}f} {units.label(unit)}"


def _demand(demand: dict[str, float] | None, units: Units) -> str:
    if demand is None:
        return ""
    given = ((demand["axial_force_N"], "N", "along the axis"), (demand["torque_Nm"], "N*m", "about it"))
    return " and ".join(f"{units.text(value, unit)} {how}" for value, unit, how in given if value)


def _window_bar(d: dict[str, Any], units: Units) -> Block | None:
    """Window, 95 % interval and likely interference on one scale; None where the window is empty.

    Positions are shares of the width of the bar.
    """
    window, interference = d["window"], d["fit"]["diametral_interference_um"]
    if window["empty"]:
        return None
    ends = [window[k]["effective_interference_um"] for k in ("least", "greatest")]
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
    decimals = 3 if units.system == "metric" else 4
    rows = [
        (
            c["what"],
            units.number(c["finite_elements"], c["unit"], decimals=decimals),
            _error_text(c["numerical_error"], c["unit"], units),
            units.number(c["closed_form"], c["unit"], decimals=decimals),
            _difference(c["finite_elements"], c["closed_form"]),
        )
        for c in part["comparison"]
    ]
    if part["applies"]:
        agreement = (
            "They must agree here, and do."
            if part["agrees"]
            else "They must agree here and do NOT: no margin of this record holds."
        )
    else:
        agreement = "Lamé is a guide only here: " + "; ".join(part["why_not"]) + "."
    unit = units.label("MPa")
    return [
        keep_together(
            heading("Finite elements beside Lamé"),
            table(
                [
                    "nominal interference, frictionless",
                    f"finite elements [{unit}]",
                    "numerical error",
                    f"Lamé [{unit}]",
                    "difference",
                ],
                rows,
            ),
            text(agreement, small=True),
        )
    ]


def _difference(value: float, reference: float) -> str:
    return f"{100.0 * (value / reference - 1.0):+.2f} %" if reference else ""
