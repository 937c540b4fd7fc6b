"""[press]: the press, how the sleeve is put in, and what was observed.

With method = "heat" the shell meets the sleeve at shell_most and the sleeve the shell at sleeve_cold, each
at the temperature of the bench where it is left out; one of the two is needed.
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.press_model import Pilot, Press, PressHeat
from hoopwright.case.table import Table
from hoopwright.geometry import Shell, Sleeve
from hoopwright.geometry.travel import entry_end

PEAK_READING_KEYS = ("observed_peak", "observed_gauge", "log")
GAUGE_UNITS = ("bar", "psi", "MPa")
READING_KEYS = (*PEAK_READING_KEYS, "observed_closure")
PUSHED = 'method = "push"'
_OWN = Press()

_PRESS = (
    Key(
        "method",
        "choice",
        "pushed in, or slipped in with the temperatures of [press.heat]",
        default="push",
        options=named("push", "heat"),
        what="method",
    ),
    Key(
        "temperature",
        "temperature",
        "of parts and shop while pressing and tightening the cups",
        default="20 degC",
        limits="-60 degC to 100 degC",
    ),
    optional("capacity", "force", "greatest force of the press", "50 kN", "above 0 N", needs=(PUSHED,)),
    optional(
        "ram_diameter",
        "length",
        "of a hydraulic press, for its gauge",
        "50 mm",
        "above 0 mm to 1 m",
        needs=(PUSHED,),
    ),
    Key(
        "gauge_unit",
        "choice",
        "of the gauge; that of gauge_division or observed_gauge when left out, or by the units of the case",
        default="",
        options={**named(*GAUGE_UNITS), "": None},
        what="gauge unit",
        needs=(PUSHED, "ram_diameter"),
    ),
    optional(
        "gauge_division",
        "stress",
        "the gauge's smallest division",
        "5 bar",
        "above 0 MPa",
        needs=(PUSHED, "ram_diameter"),
    ),
    Key(
        "gauge_accuracy",
        "number",
        "greatest error of the gauge (95 %), as a share of the reading",
        _OWN.gauge_accuracy,
        "above 0 to 0.5",
        default=_OWN.gauge_accuracy,
        needs=(PUSHED,),
    ),
    Key(
        "calibration",
        "text",
        "how gauge and ram were checked: only then may what was read raise a margin; left out, a force "
        "read counts as good to 22 %",
        "ram measured, gauge tested against dead weights",
        default="",
        needs=(PUSHED,),
    ),
    Key(
        "enters_from",
        "choice",
        "side the sleeve enters from; inferred from its lands when left out",
        default="",
        options={**named("left", "right"), "": None},
        what="side",
    ),
    optional(
        "friction_low",
        "number",
        "least friction while pressing, lubricated as it is then; that of [fit] when left out",
        0.05,
        "above 0 to 1.5",
        needs=(PUSHED,),
    ),
    optional(
        "friction_high",
        "number",
        "greatest friction while pressing, which the press must overcome; that of [fit] when left out",
        0.12,
        "above 0 to 1.5",
        needs=(PUSHED,),
    ),
    optional(
        "friction_likely",
        "number",
        "most likely friction while pressing; the geometric mean of least and greatest when left out",
        0.14,
        "above 0 to 1.5",
        needs=(PUSHED,),
    ),
    Key(
        "restart_ratio",
        "number",
        "static friction after a rest over sliding friction",
        _OWN.restart_ratio,
        "1 to 5",
        default=_OWN.restart_ratio,
        needs=(PUSHED,),
    ),
    Key(
        "friction_scatter",
        "number",
        "variation of sliding friction along the travel, as a share of it",
        _OWN.friction_scatter,
        "above 0 to 0.5",
        default=_OWN.friction_scatter,
        needs=(PUSHED,),
    ),
    optional(
        "pilot_diameter",
        "length",
        "of a pusher that pilots in the sleeve's bore, where it is largest: the bore, less its "
        "[drawing.sleeve] bore_plus_minus, closes as it goes in",
        "34.8 mm",
        "above 0 mm to 1 m",
        needs=(PUSHED,),
    ),
    optional(
        "pilot_length",
        "length",
        "of the pilot in the bore; right through when left out",
        "20 mm",
        "above 0 mm to 1 m",
        needs=(PUSHED, "pilot_diameter"),
    ),
)
_OBSERVED = (
    optional("observed_peak", "force", "the greatest force while pressing", "18 kN", "above 0 N"),
    optional("observed_gauge", "stress", "or the greatest gauge reading", "90 bar", "above 0 MPa"),
    Key(
        "log",
        "text",
        "or a log of travel and force or gauge, a file beside the case",
        "press.csv",
        default="",
    ),
    optional(
        "observed_closure",
        "length",
        "closure of the sleeve's bore at mid-length, on diameter: separates interference from friction; "
        "without a force it is held against the sizes alone",
        "12 um",
        "above 0 mm to 1 mm",
    ),
    Key(
        "closure_plus_minus",
        "length",
        "uncertainty of that closure (95 %)",
        "2 um",
        "above 0 mm to 1 mm",
        default="2 um",
        needs=("observed_closure",),
    ),
)
_HEAT = TableKeys(
    "heat",
    "for assembly by heat and cold",
    keys=(
        optional(
            "clearance",
            "length",
            "diametral gap needed to slip in; 1/1000 of the bore when left out",
            "40 um",
            "above 0 mm to 1 mm",
        ),
        optional(
            "shell_most",
            "temperature",
            "highest temperature you will give the shell",
            "150 degC",
            "above 20 degC to 400 degC",
        ),
        optional("sleeve_cold", "temperature", "of the freezer", "-18 degC", "-200 degC to 20 degC"),
        Key(
            "heat_transfer",
            "number",
            "to still air, radiation included, W/(m2 K)",
            15.0,
            "above 0 to 1000",
            default=_OWN.heat.heat_transfer_W_m2K,
        ),
    ),
)
KEYS = TableKeys(
    "press",
    "the press, how the sleeve is put in, and what was observed",
    keys=(*_PRESS, *_OBSERVED),
    tables=(_HEAT,),
)


def read(table: Table) -> dict[str, Any]:
    _check_one_reading(table)
    ram = table.get("ram_diameter")
    if table.has("observed_gauge") and ram is None:
        table.fault(
            "observed_gauge",
            "a gauge reading gives no force without the ram's diameter",
            f'add e.g. ram_diameter = "{table.example("50 mm")}"',
        )
    heat = _heat(table)
    press = table.build(
        Press,
        method=table.get("method"),
        temperature_rise_K=table.get("temperature"),
        capacity=table.get("capacity"),
        ram_diameter_mm=ram,
        gauge_unit=table.get("gauge_unit") or _marked_in(table),
        gauge_division_MPa=table.get("gauge_division"),
        **table.fields(
            "gauge_accuracy",
            "calibration",
            "enters_from",
            "friction_low",
            "friction_high",
            "friction_likely",
            "restart_ratio",
            "friction_scatter",
            "observed_peak",
        ),
        observed_gauge_MPa=table.get("observed_gauge"),
        log=table.get("log"),
        observed_closure_mm=table.get("observed_closure"),
        closure_plus_minus_mm=table.get("closure_plus_minus"),
        heat=heat,
        pilot=_pilot(table),
    )
    if press is not None and press.slips_in:
        _check_slipping(table, press)
    return {"press": press}


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


def _marked_in(table: Table) -> str | None:
    """The unit in which the case gives what is read off the gauge, None where it gives nothing so."""
    given = (str(table.values.get(key, "")).split() for key in ("gauge_division", "observed_gauge"))
    return next((words[-1] for words in given if words and words[-1] in GAUGE_UNITS), None)


def _check_one_reading(table: Table) -> None:
    given = [key for key in PEAK_READING_KEYS if table.has(key)]
    if len(given) > 1:
        table.fault(given[1], f"given as well as {given[0]}", "keep the most informative one")


def _pilot(table: Table) -> Pilot | None:
    diameter = table.get("pilot_diameter")
    length = table.get("pilot_length")
    return None if diameter is None else Pilot(diameter, length)


def pilot_faults(press: Press, shell: Shell, sleeve: Sleeve) -> list[tuple[str, str, str, str]]:
    """What is wrong with a pilot, as (heading, key, problem, advice): it must go into the bore as that is
    before it is pressed."""
    pilot, blank = press.pilot, sleeve.blank
    if pilot is None or press.slips_in:
        return []
    pushed = press.enters_from or entry_end(shell, blank)
    reach = pilot.reach(blank)
    near, far = (
        (blank.z_start, blank.z_start + reach) if pushed == "left" else (blank.z_end - reach, blank.z_end)
    )
    smallest = min(zone.clear_diameter for zone in blank.bore if zone.z_start < far and zone.z_end > near)
    if pilot.diameter_mm < smallest:
        return []
    problem = f"a pilot of {pilot.diameter_mm:.6g} mm does not go into a bore of {smallest:.6g} mm"
    return [("[press]", "pilot_diameter", problem, "correct it, or give the pilot_length that goes in")]


def _heat(table: Table) -> PressHeat | None:
    heat = table.subtable("heat")
    if heat is None:
        return PressHeat()
    return heat.build(
        PressHeat,
        clearance_mm=heat.get("clearance"),
        shell_max_K=heat.get("shell_most"),
        sleeve_cold_K=heat.get("sleeve_cold"),
        heat_transfer_W_m2K=heat.get("heat_transfer"),
    )
