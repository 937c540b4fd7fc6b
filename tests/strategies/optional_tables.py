"""Strategies for the tables that a case may have, without cups and service loads."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from hoopwright import presets
from strategies.parts import titles
from strategies.toml_writer import Document
from strategies.values import METALS, Draw, force, length, maybe, number, temperature, torque


def _job(draw: Draw, *_: float) -> Document:
    return {"piece": draw(titles), "owner": "nobody", "date": "2026-05-02", "notes": "line one\nline two"}


def _factors(draw: Draw, *_: float) -> Document:
    names = ("yield", "holding", "buckling", "pressing", "fatigue")
    return {name: number(draw, 1.0, 4.0) for name in names if maybe(draw)}


def _demand(draw: Draw, *_: float) -> Document:
    return {"axial_force": force(draw, 0.0, 5000.0), "torque": torque(draw, 0.0, 80.0)}


def _press(draw: Draw, *_: float) -> Document:
    press: Document = {
        "capacity": force(draw, 1e3, 1e5),
        "ram_diameter": "50 mm",
        "gauge_unit": "bar",
        "gauge_division": "5 bar",
    }
    if maybe(draw):
        press["calibration"] = "gauge against dead weights, ram measured"
    if maybe(draw):
        likely = number(draw, 0.08, 0.2)
        press |= {"friction_low": 0.06, "friction_high": 0.25, "friction_likely": likely}
    reading = draw(st.sampled_from(("", "observed_peak", "observed_gauge")))
    if reading:
        press[reading] = "18 kN" if reading == "observed_peak" else "90 bar"
    if maybe(draw):
        press["heat"] = {
            "clearance": "30 um",
            "shell_most": temperature(draw, 60.0, 200.0),
            "sleeve_cold": temperature(draw, -190.0, 10.0),
        }
        if not reading and maybe(draw):
            press["method"] = "heat"
    return press


def _proof(draw: Draw, *_: float) -> Document:
    load = {"push": force(draw, 50.0, 3e4)} if maybe(draw) else {"torque": torque(draw, 1.0, 500.0)}
    return load | {"slipped": maybe(draw)}


def _drawing(draw: Draw, *_: float) -> Document:
    drawing: Document = {
        "number": "S-1",
        "projection": draw(st.sampled_from(("first angle", "third angle"))),
    }
    if maybe(draw):
        drawing["title"] = draw(titles)
    if maybe(draw):
        drawing["sleeve"] = {
            "length_plus_minus": length(draw, number(draw, 0.01, 0.5)),
            "bore_plus_minus": length(draw, number(draw, 0.01, 0.5)),
            "squareness": "0.02 mm",
            "texture": "Ra 3.2",
        }
    if maybe(draw):
        drawing["bore"] = {"roundness": "5 um"}
    return drawing


def names_for_pushing(kind: str) -> list[str]:
    """Presets of a kind that a sleeve which is pushed in may have."""
    return sorted(name for name, one in presets.table()[kind].items() if one.method != "heat")


def _preset(draw: Draw, *_: float) -> Document:
    named: Document = {
        kind: draw(st.sampled_from(names_for_pushing(kind)))
        for kind in presets.table()
        if kind != "gauge" and maybe(draw)
    }
    if maybe(draw):
        named["gauge"] = {"g 2": draw(st.sampled_from(sorted(presets.table()["gauge"])))}
    return named


def _size(draw: Draw, *_: float) -> Document:
    return {
        "gauge": "g 1",
        "readings": draw(st.integers(1, 9)),
        "shop_temperature": temperature(draw, 5, 35),
        "shop_plus_minus": "1 K",
        "confidence": number(draw, 0.8, 0.99),
    }


def _boring(draw: Draw, bore: float, *_: float) -> Document:
    now = round(0.95 * bore, 4)
    damage = {"damage_depth": "0.2 mm"} if maybe(draw) else {"damage_diameter": length(draw, 0.98 * bore)}
    return {"bore_now": length(draw, now), "depth_of_cut": "0.3 mm", "finish_cut": "0.05 mm"} | damage


def _compound(draw: Draw, *_: float) -> Document:
    return {
        "shear_strength": f"{number(draw, 1.0, 40.0)} MPa",
        "credit": number(draw, 0.0, 1.0),
        "combination": draw(st.sampled_from(("instead", "added", "greater"))),
        "friction_low": 0.06,
        "gap_least": "-0.1 mm",
        "gap_most": "0.1 mm",
        "temperature_least": "-40 degC",
        "temperature_most": "150 degC",
        "full_cure": "72 h",
        "cure_least": "15 degC",
        "cured_for": "4 days",
    }


def _temperatures(draw: Draw, *_: float) -> Document:
    table = {"use_least": temperature(draw, -40.0, 10.0), "use_most": temperature(draw, 20.0, 80.0)}
    return table | ({"oven": "190 degC", "oven_time": "20 min"} if maybe(draw) else {})


def _fatigue(draw: Draw, *_: float) -> Document:
    own = {"amplitude": "60 MPa", "at_cycles": 10**7, "slope": 9, "source": "invented"}
    return {"surface": number(draw, 0.5, 1.0), "reliability": number(draw, 0.9, 0.9999)} | (
        {"shell": own} if maybe(draw) else {}
    )


def _routes(draw: Draw, bore: float, *_: float) -> list[Document]:
    rows = [
        {"name": "Other sleeve", "kind": "sleeve", "material": draw(st.sampled_from(METALS))},
        {
            "name": "Thread",
            "kind": "larger thread",
            "thread": "36 mm x 24 tpi right",
            "engagement": "10 mm",
        },
        {
            "name": "Seat",
            "kind": "larger seat",
            "bore": length(draw, bore),
            "material": "6061-T6",
            "part_bore": length(draw, 0.8 * bore),
            "interference": "20 um",
            "cost": "100 EUR",
        },
    ]
    return rows[: draw(st.integers(1, 3))]


def _material(draw: Draw, *_: float) -> Document:
    return {
        "own bar": {
            "young_modulus": f"{number(draw, 40.0, 210.0)} GPa",
            "poisson_ratio": 0.3,
            "expansion": "13e-6 /degF",
            "yield_strength": "240 MPa",
            "ultimate_strength": "60 ksi",
            "density": "2700 kg/m^3",
            "source": "invented",
        }
    }


OPTIONAL_TABLES: dict[str, Callable[..., Any]] = {
    "preset": _preset,
    "job": _job,
    "factors": _factors,
    "demand": _demand,
    "press": _press,
    "proof": _proof,
    "drawing": _drawing,
    "size": _size,
    "boring": _boring,
    "compound": _compound,
    "temperatures": _temperatures,
    "fatigue": _fatigue,
    "route": _routes,
    "material": _material,
}
