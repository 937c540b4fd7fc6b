"""[press]: the press, how the sleeve is put in, and what was observed. The table is optional.

method = "push"                 or "heat": slipped in with the temperatures of [press.heat]
temperature = "20 degC"         of parts and shop while pressing and tightening the cups
capacity = "50 kN"              greatest force of the press
ram_diameter = "50 mm"          of a hydraulic press, for its gauge
gauge_unit = "bar"              bar, psi or MPa; by the units of the case when left out
gauge_division = "5 bar"        the gauge's smallest division
gauge_accuracy = 0.016          greatest error of the gauge (95 %), as a share of the reading
enters_from = "left"            side the sleeve enters from; inferred from its lands when left out
friction_likely = 0.14          most likely friction; the geometric mean of [fit] friction_low and
                                friction_high when left out
restart_ratio = 1.3             static friction after a rest over sliding friction
friction_scatter = 0.05         variation of sliding friction along the travel, as a share of it

observed_peak = "18 kN"         observed while pressing: the greatest force,
observed_gauge = "90 bar"       or the greatest gauge reading,
log = "press.csv"               or a log of travel and force or gauge, beside the case file
observed_closure = "12 um"      closure of the sleeve's bore at mid-length, on diameter,
closure_plus_minus = "2 um"     with its uncertainty (95 %): separates interference from friction

[press.heat]                    for assembly by heat and cold
clearance = "40 um"             diametral gap needed to slip in; 1/1000 of the bore when left out
shell_most = "150 degC"         highest temperature the user will give the shell
sleeve_cold = "-18 degC"        temperature of the freezer
heat_transfer = 15.0            to still air, radiation included, W/(m2 K)

With method = "heat" the shell meets the sleeve at shell_most and the sleeve the shell at sleeve_cold, each
at the temperature of the bench where it is left out; one of the two is needed.
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.press_model import Press, PressHeat
from hoopwright.case.table import Table

PEAK_READING_KEYS = ("observed_peak", "observed_gauge", "log")
READING_KEYS = (*PEAK_READING_KEYS, "observed_closure")


def read(table: Table) -> dict[str, Any]:
    defaults = Press()
    _check_one_reading(table)
    ram = table.length("ram_diameter", example="50 mm", default=None, above="0 mm", maximum="1 m")
    if table.has("observed_gauge") and ram is None:
        table.fault(
            "observed_gauge",
            "a gauge reading gives no force without the ram's diameter",
            f'add e.g. ram_diameter = "{table.example("50 mm")}"',
        )
    heat = _heat(table)
    press = table.build(
        Press,
        method=table.choice("method", _methods(), what="method", default="push"),
        temperature_rise_K=table.temperature(
            "temperature", default="20 degC", minimum="-60 degC", maximum="100 degC"
        ),
        capacity=table.force("capacity", example="50 kN", default=None, above="0 N"),
        ram_diameter_mm=ram,
        gauge_unit=table.choice("gauge_unit", _units(), what="gauge unit", default=""),
        gauge_division_MPa=table.stress("gauge_division", example="5 bar", default=None, above="0 MPa"),
        gauge_accuracy=table.number(
            "gauge_accuracy",
            example=defaults.gauge_accuracy,
            default=defaults.gauge_accuracy,
            above="0",
            maximum="0.5",
        ),
        enters_from=table.choice("enters_from", _sides(), what="side", default=""),
        friction_likely=table.number(
            "friction_likely", example=0.14, default=None, above="0", maximum="1.5"
        ),
        restart_ratio=table.number(
            "restart_ratio",
            example=defaults.restart_ratio,
            default=defaults.restart_ratio,
            minimum="1",
            maximum="5",
        ),
        friction_scatter=table.number(
            "friction_scatter",
            example=defaults.friction_scatter,
            default=defaults.friction_scatter,
            above="0",
            maximum="0.5",
        ),
        observed_peak=table.force("observed_peak", example="18 kN", default=None, above="0 N"),
        observed_gauge_MPa=table.stress("observed_gauge", example="90 bar", default=None, above="0 MPa"),
        log=table.text("log", example="press.csv", default=""),
        observed_closure_mm=table.length(
            "observed_closure", example="12 um", default=None, above="0 mm", maximum="1 mm"
        ),
        closure_plus_minus_mm=table.length(
            "closure_plus_minus", example="2 um", default="2 um", above="0 mm", maximum="1 mm"
        ),
        heat=heat,
    )
    if press is not None and press.slips_in:
        _check_slipping(table, press)
    return {"press": press}


def _methods() -> dict[str, str | None]:
    return {"push": "push", "heat": "heat"}


def _check_slipping(table: Table, press: Press) -> None:
    """Note what a sleeve that slips in cannot have, and the temperatures that it lacks."""
    for key in READING_KEYS:
        if table.has(key):
            table.fault(
                key,
                "read while a sleeve is pushed, and this one slips in",
                "leave it out, or change method",
            )
    hot, cold = press.heat.shell_max_K, press.heat.sleeve_cold_K
    if hot is None and cold is None:
        table.fault(
            "method",
            '"heat" needs the temperature of the shell, of the sleeve or of both',
            f'add below [press.heat] e.g. shell_most = "{table.example("150 degC")}" or '
            f'sleeve_cold = "{table.example("-18 degC")}"',
        )
    elif press.shell_hot_K < press.temperature_rise_K or press.sleeve_cold_K > press.temperature_rise_K:
        table.fault(
            "method",
            '"heat" needs a shell no colder, and a sleeve no warmer, than [press] temperature',
            "correct shell_most, sleeve_cold or temperature",
        )


def _units() -> dict[str, str | None]:
    return {"bar": "bar", "psi": "psi", "MPa": "MPa", "": None}


def _sides() -> dict[str, str | None]:
    return {"left": "left", "right": "right", "": None}


def _check_one_reading(table: Table) -> None:
    given = [key for key in PEAK_READING_KEYS if table.has(key)]
    if len(given) > 1:
        table.fault(given[1], f"given as well as {given[0]}", "keep the most informative one")


def _heat(table: Table) -> PressHeat | None:
    defaults = PressHeat()
    heat = table.subtable("heat")
    if heat is None:
        return defaults
    return heat.build(
        PressHeat,
        clearance_mm=heat.length("clearance", example="40 um", default=None, above="0 mm", maximum="1 mm"),
        shell_max_K=heat.temperature(
            "shell_most", example="150 degC", default=None, above="20 degC", maximum="400 degC"
        ),
        sleeve_cold_K=heat.temperature(
            "sleeve_cold", example="-18 degC", default=None, minimum="-200 degC", maximum="20 degC"
        ),
        heat_transfer_W_m2K=heat.number(
            "heat_transfer", example=15.0, default=defaults.heat_transfer_W_m2K, above="0", maximum="1000"
        ),
    )
