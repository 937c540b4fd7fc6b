"""[fit]: friction, temperature and roughness of the fit."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.model import FitInput
from hoopwright.case.table import Table

_OWN = FitInput(0.0, 0.0)
ROUGH = ('[press] method = "push"', "roughness_bore or roughness_sleeve")


def _friction(name: str, meaning: str, example: float) -> Key:
    return Key(name, "number", meaning, example, "above 0 to 1.5")


def _roughness(name: str, meaning: str) -> Key:
    return Key(
        name,
        "length",
        meaning,
        "4 um",
        "0 um to 100 um",
        default="0 um",
        needs=('[press] method = "push" or [drawing]',),
    )


KEYS = TableKeys(
    "fit",
    "friction, temperature and roughness of the fit",
    keys=(
        _friction("friction_low", "the lowest friction to count on, for holding", 0.08),
        _friction("friction_high", "the highest; of pressing too, where [press] gives none", 0.20),
        Key(
            "temperature",
            "temperature",
            "of the parts, at which sizes and the nominal fit are reported",
            default="20 degC",
            limits="-150 degC to 500 degC",
        ),
        _roughness("roughness_bore", "Rz of the bore"),
        _roughness("roughness_sleeve", "Rz of the sleeve's outside"),
        Key(
            "smoothing",
            "number",
            "most of the sum of both Rz, on diameter, that pressing flattens: counts for holding; by "
            "default that of DIN 7190 of 2001, from memory",
            _OWN.smoothing,
            "0 to 2",
            default=_OWN.smoothing,
            needs=ROUGH,
        ),
        Key(
            "least_smoothing",
            "number",
            "least of it: counts for stress, press force, closing and buckling; by default what "
            "two texts say of DIN 7190-1 of 2017, from memory",
            _OWN.least_smoothing,
            "0 to 2",
            default=_OWN.least_smoothing,
            needs=ROUGH,
        ),
    ),
    required=True,
)


def read(table: Table) -> dict[str, Any]:
    low, high = table.get("friction_low"), table.get("friction_high")
    if low is not None and high is not None and low > high:
        table.fault("friction_low", f"above friction_high = {high:g}", "swap the two")
    most, least = table.get("smoothing"), table.get("least_smoothing")
    if most is not None and least is not None and least > most:
        if table.has("least_smoothing"):
            table.fault("least_smoothing", f"above smoothing = {most:g}", "give the lesser share here")
        least = most
    fit = table.build(
        FitInput,
        friction_low=low,
        friction_high=high,
        temperature_rise_K=table.get("temperature"),
        roughness_bore_mm=table.get("roughness_bore"),
        roughness_sleeve_mm=table.get("roughness_sleeve"),
        smoothing=most,
        least_smoothing=least,
    )
    return {"fit": fit}
