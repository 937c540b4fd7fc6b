"""[press]: the press at hand, how the sleeve goes in, and what was read. The table is optional.

capacity = "50 kN"              the most it may push
ram_diameter = "50 mm"          of a hydraulic press, for its gauge
gauge_unit = "bar"              bar, psi or MPa; else by the units of the case
gauge_division = "5 bar"        the gauge's smallest division
gauge_accuracy = 0.016          share of the reading that the gauge may be wrong by (95 %)
enters_from = "left"            side the sleeve is put in from; else told from its lands
friction_likely = 0.14          else the geometric mean of [fit] friction_low and friction_high
release_ratio = 1.3             friction that breaks a resting sleeve loose over that which slides
friction_scatter = 0.05         how much sliding friction wanders along the way, share of itself

observed_peak = "18 kN"         what the press told: the greatest force,
observed_gauge = "90 bar"       or the greatest reading of the gauge,
log = "press.csv"               or a log of travel and force or gauge, beside the case file
observed_closure = "12 um"      how much smaller the sleeve's bore became at its middle, on diameter,
closure_plus_minus = "2 um"     known so well (95 %): splits interference from friction

[press.heat]                    for assembly by heat and cold
clearance = "40 um"             diametral gap to slip in with; else 1/1000 of the bore
shell_most = "150 degC"         hottest the user will make the shell
sleeve_cold = "-18 degC"        what the freezer gives
heat_transfer = 15.0            W/(m2 K) to still air, radiation included
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.press_model import Press, PressHeat
from hoopwright.case.table import Table

READINGS = ("observed_peak", "observed_gauge", "log")


def read(table: Table) -> dict[str, Any]:
    own = Press()
    _one_reading(table)
    ram = table.length("ram_diameter", example="50 mm", default=None, above="0 mm", most="1 m")
    if table.has("observed_gauge") and ram is None:
        table.fault("observed_gauge", "a gauge reading says nothing without the ram",
                    'add e.g. ram_diameter = "50 mm"')
    press = table.build(
        Press,
        capacity=table.force("capacity", example="50 kN", default=None, above="0 N"),
        ram_diameter_mm=ram,
        gauge_unit=table.choice("gauge_unit", _units(), what="gauge unit", default=""),
        gauge_division_MPa=table.stress("gauge_division", example="5 bar", default=None, above="0 MPa"),
        gauge_accuracy=table.number("gauge_accuracy", example=own.gauge_accuracy,
                                    default=own.gauge_accuracy, above="0", most="0.5"),
        enters_from=table.choice("enters_from", _sides(), what="side", default=""),
        friction_likely=table.number("friction_likely", example=0.14, default=None, above="0", most="1.5"),
        release_ratio=table.number("release_ratio", example=own.release_ratio,
                                   default=own.release_ratio, least="1", most="5"),
        friction_scatter=table.number("friction_scatter", example=own.friction_scatter,
                                      default=own.friction_scatter, above="0", most="0.5"),
        observed_peak=table.force("observed_peak", example="18 kN", default=None, above="0 N"),
        observed_gauge_MPa=table.stress("observed_gauge", example="90 bar", default=None, above="0 MPa"),
        log=table.text("log", example="press.csv", default=""),
        observed_closure_mm=table.length("observed_closure", example="12 um", default=None, above="0 mm",
                                         most="1 mm"),
        closure_plus_minus_mm=table.length("closure_plus_minus", example="2 um", default="2 um",
                                           above="0 mm", most="1 mm"),
        heat=_heat(table),
    )
    return {"press": press}


def _units() -> dict[str, str | None]:
    return {"bar": "bar", "psi": "psi", "MPa": "MPa", "": None}


def _sides() -> dict[str, str | None]:
    return {"left": "left", "right": "right", "": None}


def _one_reading(table: Table) -> None:
    given = [key for key in READINGS if table.has(key)]
    if len(given) > 1:
        table.fault(given[1], f"given as well as {given[0]}", "keep the one that tells more")


def _heat(table: Table) -> PressHeat | None:
    own = PressHeat()
    inside = table.subtable("heat")
    if inside is None:
        return own
    return inside.build(
        PressHeat,
        clearance_mm=inside.length("clearance", example="40 um", default=None, above="0 mm", most="1 mm"),
        shell_most_K=inside.temperature("shell_most", example="150 degC", default=None, above="20 degC",
                                        most="400 degC"),
        sleeve_cold_K=inside.temperature("sleeve_cold", example="-18 degC", default="-18 degC",
                                         least="-200 degC", most="20 degC"),
        heat_transfer_W_m2K=inside.number("heat_transfer", example=15.0, default=own.heat_transfer_W_m2K,
                                          above="0", most="1000"),
    )
