"""What a figure shows, in a title and a sentence or two, for those who cannot see it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hoopwright.display import Units, margin_text, state_cell

Words = tuple[str, str]
"""Title and description."""


def descriptions(d: dict[str, Any], units: Units) -> dict[str, Words]:
    """The words of every figure of a record by its name. d: content of results.json."""
    if d["record"]["kind"] == "comparison":
        return {"compare": ("Margins of the routes side by side", _compare(d))}
    return {name: (title, describe(d, units)) for name, (title, describe) in REPAIR.items()}


def _drawing(d: dict[str, Any], units: Units) -> str:
    shell, sleeve = d["bodies"]["shell"], d["bodies"]["sleeve"]
    width, length = units.text(shell["width_mm"], "mm"), units.text(sleeve["length_mm"], "mm")
    return (
        f"Half section to scale. Shell above, {width} wide, sleeve in its bore, {length} long; chains of "
        "dimensions give diameters, lands, threads and chamfers, as listed under Shell and Sleeve."
    )


def _section(d: dict[str, Any], units: Units) -> str:
    greatest = units.text(d["fit"]["diametral_interference_um"]["greatest"], "um")
    return (
        f"Section through both walls as pressed with the greatest interference, {greatest}, displacements "
        "magnified; brighter colours for more von Mises stress. Numbered points mark where the stress that "
        "is judged governs each body."
    )


def _pressure(d: dict[str, Any], units: Units) -> str:
    mean = units.text(d["fit"]["contact_pressure_MPa"]["mean"], "MPa")
    return (
        "Contact pressure along the shell for the least, likely and greatest fit, solid without friction, "
        f"dashed with high friction. Its mean at the nominal interference is {mean}; it rises towards the "
        "ends of the contact."
    )


def _wall(d: dict[str, Any], units: Units) -> str:  # noqa: ARG001 - the shape of all of these
    agrees = d["closed_form"]["agrees"]
    said = {True: "They agree.", False: "They do not agree.", None: "Lamé is only a guide here."}[agrees]
    return (
        "Hoop stress against radius through sleeve and shell: points by finite elements, lines by Lamé. "
        f"The sleeve is in compression, the shell in tension. {said}"
    )


def _margins(d: dict[str, Any], units: Units) -> str:  # noqa: ARG001
    judged = [row for row in d["checks"] if row["state"] != "not assessed"]
    if not judged:
        return "No margin: nothing was judged."
    least = judged[0]
    return (
        f"Bars from zero, the limit, one for each of {len(judged)} ways to fail, worst on top: "
        f"{least['title']}, {margin_text(least['margin'])}, {state_cell(least['state'])}."
    )


def _loading(d: dict[str, Any], units: Units) -> str:  # noqa: ARG001
    count = len((d["loads"] or {}).get("cases", ()))
    return f"Forces on shell and sleeve and what holds them, from two sides; {count} load cases in all."


def _unrolled(d: dict[str, Any], units: Units) -> str:  # noqa: ARG001
    return (
        "Von Mises stress in use over length and clock angle on three unrolled surfaces: bore of the "
        "sleeve, bore and outside of the shell, on one colour scale, brighter for more. A cross marks the "
        "greatest of each surface; a red line would enclose what exceeds the limit."
    )


def _interface(d: dict[str, Any], units: Units) -> str:  # noqa: ARG001
    return (
        "Contact pressure between sleeve and shell in use over length and clock angle, brighter for more. "
        "A cross marks the lowest; hatched is where the joint opens."
    )


def _harmonics(d: dict[str, Any], units: Units) -> str:  # noqa: ARG001
    return "Share of each harmonic of the angle in the loads and in the stress; the last ones count least."


def _readings(d: dict[str, Any], units: Units) -> str:
    lands = "; ".join(
        f"{land['part']}, {land['surface']}, land {land['land']}: {land['count']} readings, mean "
        f"{units.measured_diameter(land['diameter_mm'])}"
        for land in d["readings"]
    )
    return f"Diameter readings of every land against the length and against the clock angle. {lands}."


def _press(d: dict[str, Any], units: Units) -> str:
    curve = d["press"]["force_against_travel"]
    if curve is None:
        return "The sleeve is not pushed in."
    travel = units.along(curve["positions"][-1]["travel_mm"])
    return (
        f"Force against travel up to {travel}. The likely force rises to "
        f"{units.text(curve['greatest_likely_N'], 'N')}, between the line below which the fit is suspect "
        "and the stop line; dots are what was read."
    )


def _press_blocked(d: dict[str, Any], units: Units) -> str:
    return "The sleeve is not pushed in." if d["press"]["blocked"] else _press(d, units)


def _compare(d: dict[str, Any]) -> str:
    found = []
    for k, route in enumerate(d["routes"], start=1):
        governing = next((row for row in route["checks"] if row["id"] == route["governing"]), None)
        margin = "no margin" if governing is None else margin_text(governing["margin"])
        found.append(f"route {k} {margin}, {route['state']}")
    return f"Bars of margin by way to fail, one per route. The least of each: {'; '.join(found)}."


REPAIR: dict[str, tuple[str, Callable[[dict[str, Any], Units], str]]] = {
    "drawing": ("Shell and sleeve in half section", _drawing),
    "section": ("Stress of the pressed joint", _section),
    "pressure": ("Contact pressure along the seat", _pressure),
    "wall": ("Hoop stress through the wall", _wall),
    "margins": ("Margins", _margins),
    "loading": ("Loads in use", _loading),
    "unrolled": ("Stress in use, round the walls", _unrolled),
    "interface": ("Contact pressure in use", _interface),
    "harmonics": ("Harmonics of the loads", _harmonics),
    "readings": ("Readings of the lands", _readings),
    "press": ("Force while pressing in", _press_blocked),
}
