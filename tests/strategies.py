"""hypothesis strategies for case files: valid ones over every table, and ones with something wrong.

A case file is drawn as nested dicts and lists and written as TOML by `toml`, so that a mutation can
take hold of any key. Sizes are invented.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

Document = dict[str, Any]
Draw = Callable[[st.SearchStrategy[Any]], Any]

METALS = ("6061-T6", "6061-T6 welded", "7075-T6", "1025 steel", "4130 steel", "E355 steel", "C45 steel")

NASTY: tuple[Any, ...] = (
    "",
    " ",
    "mm",
    "83",
    "83 mmm",
    "-5 mm",
    "0 mm",
    "1e-12 mm",
    "1e400 mm",
    "nan mm",
    "inf mm",
    "1,5 mm",
    "1/0 in",
    "9**9**9 mm",
    "1e308 mm",
    "5 m",
    "2 mil",
    "83 MM",
    "±3 mm",
    "1e-320 mm",
    "20 degC",
    "-300 degC",
    "0 K",
    "1 kg",
    "0 N*m",
    "0.05 mm 0.06 mm",
    "0 0 0 mm",
    "nan 1 mm",
    "x" * 5000,
    "\u202e",
    "\x00",
    "−3 mm",
    "µm",
    "100 km",
    0,
    -1,
    1,
    10**400,
    0.0,
    -0.0,
    1e-300,
    1e300,
    float("inf"),
    float("nan"),
    True,
    False,
    [],
    {},
    [[]],
    [{}],
    [1, "a", {}],
    {"a": {"b": {}}},
    ["39 mm", "40 mm"],
)
"""Values that stand where something else is wanted."""


def toml(document: Document) -> str:
    """The document as TOML: plain values first, then tables; arrays of tables as [[name]] rows."""
    return "\n".join(_lines(document, ())) + "\n"


def _lines(table: Document, path: tuple[str, ...]) -> Iterator[str]:
    nested = {k: v for k, v in table.items() if path_worthy(v)}
    for key, value in table.items():
        if key not in nested:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in nested.items():
        name = ".".join(map(_key, (*path, key)))
        if isinstance(value, dict):
            yield f"[{name}]"
            yield from _lines(value, (*path, key))
        else:
            for row in value:
                yield f"[[{name}]]"
                yield from _lines(row, (*path, key))


def path_worthy(value: Any) -> bool:
    """Whether a value is written under a heading of its own."""
    return isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
    )


def _key(key: str) -> str:
    return key if key and key.isascii() and key.replace("_", "").isalnum() else json.dumps(key)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    return repr(value)


# -- values with a unit ---------------------------------------------------------------------------

LENGTH_UNITS = {"mm": 1.0, "in": 25.4, "thou": 0.0254, "um": 1e-3, "cm": 10.0}


def length(draw: Draw, millimetres: float) -> str:
    """A length in one of the units a shop may write."""
    unit = draw(st.sampled_from(tuple(LENGTH_UNITS)))
    return f"{millimetres / LENGTH_UNITS[unit]:.9f} {unit}"


def number(draw: Draw, low: float, high: float, digits: int = 4) -> float:
    return round(draw(st.floats(low, high, allow_nan=False)), digits)


def maybe(draw: Draw) -> bool:
    return bool(draw(st.booleans()))


def torque(draw: Draw, low: float, high: float) -> str:
    unit, size = draw(st.sampled_from((("N*m", 1.0), ("Nm", 1.0), ("ft*lbf", 1.356), ("in-lbf", 0.113))))
    return f"{number(draw, low, high) / size:.4f} {unit}"


def force(draw: Draw, low: float, high: float) -> str:
    unit, size = draw(st.sampled_from((("N", 1.0), ("kN", 1e3), ("lbf", 4.448), ("kgf", 9.807))))
    return f"{number(draw, low, high) / size:.6f} {unit}"


def temperature(draw: Draw, low: float, high: float) -> str:
    celsius = number(draw, low, high, 1)
    return draw(st.sampled_from((f"{celsius} degC", f"{1.8 * celsius + 32.0:.2f} degF")))


# -- parts ----------------------------------------------------------------------------------------


def split(draw: Draw, start: float, end: float, most: int) -> list[tuple[float, float]]:
    """One to `most` stretches of start to end, none shorter than a tenth of it."""
    count = draw(st.integers(1, most))
    cuts = [start + (end - start) * (k + number(draw, -0.2, 0.2)) / count for k in range(1, count)]
    places = [start, *(round(c, 4) for c in cuts), end]
    return list(zip(places[:-1], places[1:], strict=True))


def stretch(draw: Draw, start: float, end: float) -> Document:
    return {"from": length(draw, start), "to": length(draw, end)}


@st.composite
def valid(draw: Draw, *, loads: bool = True) -> Document:
    """A case the reader must take. loads: whether [service] may be among its tables."""
    bore = number(draw, 8.0, 80.0)
    width = number(draw, max(8.0, 0.4 * bore), 90.0)
    tight = number(draw, 6e-4, 1.5e-3, 6) * bore
    sleeve_bore = round(bore - 2.0 * number(draw, 0.5, 0.15 * bore), 4)
    start = draw(st.sampled_from((0.0, 0.0, round(0.1 * width, 4))))
    span = round(width - start if maybe(draw) else 0.8 * (width - start), 4)
    document: Document = {"title": draw(titles), "invented": True}
    if maybe(draw):
        document["units"] = draw(st.sampled_from(("metric", "inch")))
    document["gauge"] = {"g 1": _gauge(draw)}
    document["shell"] = _shell(draw, width, bore)
    document["sleeve"] = _sleeve(draw, start, start + span, bore + tight, sleeve_bore)
    low = number(draw, 0.05, 0.15)
    document["fit"] = {"friction_low": low, "friction_high": number(draw, low, 0.3)}
    document["mesh"] = {"elements_through_wall": draw(st.integers(1, 2))}
    if maybe(draw):
        document["fit"] |= {
            "temperature": temperature(draw, -20.0, 40.0),
            "roughness_bore": "2 um",
            "roughness_sleeve": "1 um",
            "smoothing": number(draw, 0.0, 1.0),
        }
    for name, table in _OPTIONAL.items():
        if maybe(draw):
            document[name] = table(draw, bore, width)
    if document["sleeve"].get("bore") and "thread" in document["sleeve"]["bore"][0] and maybe(draw):
        document["cups"] = _cups(draw, bore)
    if loads and maybe(draw):
        document["service"] = _service(draw, start, start + span, width)
    return document


titles = st.one_of(
    st.sampled_from(("Shell", "Gehäuse — 漢字", "emoji 🚲", '<b>&amp;</b> #set $x$ \\ "quoted"')),
    st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=60),
)


def _gauge(draw: Draw) -> Document:
    gauge: Document = {"resolution": "1 um"}
    if maybe(draw):
        gauge["max_error"] = length(draw, number(draw, 0.0005, 0.01))
    else:
        gauge |= {"accuracy": length(draw, number(draw, 0.0005, 0.01)), "coverage": number(draw, 1.0, 3.0)}
    if maybe(draw):
        gauge |= {
            "zero_error": "1 um",
            "repeatability": "0.5 um",
            "contacts": draw(st.integers(2, 3)),
            "temperature": temperature(draw, 5.0, 35.0),
            "expansion": "11.5e-6 /K",
            "type": "bore gauge",
        }
    return gauge


def _shell(draw: Draw, width: float, bore: float) -> Document:
    shell: Document = {"material": draw(st.sampled_from(METALS)), "width": length(draw, width)}
    outside = bore + 2.0 * number(draw, max(0.8, 0.03 * bore), max(2.0, 0.2 * bore))
    if maybe(draw):
        shell["outside_diameter"] = length(draw, outside)
    else:
        shell["outside"] = [
            stretch(draw, a, b)
            | {
                "diameter_from": length(draw, outside * number(draw, 1.0, 1.003, 5)),
                "diameter_to": length(draw, outside * number(draw, 1.0, 1.003, 5)),
            }
            for a, b in split(draw, 0.0, width, 3)
        ]
    form = draw(st.sampled_from(("whole", "lands", "readings")))
    if form == "whole":
        shell |= {"bore_diameter": length(draw, bore), "bore_plus_minus": "3 um"}
    else:
        steps = [1.0, *(1.0 + number(draw, -1e-4, 5e-5, 6) for _ in range(2))]
        shell["bore"] = [
            _land(draw, a, b, steps[k] * bore, form) for k, (a, b) in enumerate(split(draw, 0.0, width, 3))
        ]
    if maybe(draw):
        shell |= {"least_wall": length(draw, number(draw, 0.2, 3.0)), "runout": "0.05 mm"}
    if maybe(draw):
        shell["out_of_round"] = {
            "ovality": "0.01 mm",
            "angle": f"{number(draw, -180, 180)} deg",
            "three_lobe": "5 um",
        }
    return shell


def _land(draw: Draw, start: float, end: float, diameter: float, form: str) -> Document:
    land = stretch(draw, start, end)
    if form == "lands":
        return land | {"diameter": length(draw, diameter), "plus_minus": "2 um"}
    stations = []
    for k in range(draw(st.integers(1, 3))):
        count = draw(st.integers(1, 6))
        reads = " ".join(f"{diameter * (1.0 + number(draw, -2e-5, 2e-5, 7)):.4f}" for _ in range(count))
        station: Document = {
            "z": length(draw, start + (end - start) * (k + 1) / 5.0),
            "values": f"{reads} mm",
        }
        if maybe(draw):
            station["angles"] = " ".join(f"{180 * n / count:.1f}" for n in range(count)) + " deg"
        stations.append(station)
    return land | {
        "gauge": "g 1",
        "part_temperature": temperature(draw, 10.0, 30.0),
        "temperature_plus_minus": "1 K",
        "readings": stations,
    }


def _sleeve(draw: Draw, start: float, end: float, outside: float, bore: float) -> Document:
    sleeve: Document = {
        "material": draw(st.sampled_from(METALS)),
        "start": length(draw, start),
        "length": length(draw, end - start),
    }
    if maybe(draw):
        sleeve |= {"outside_diameter": length(draw, outside), "outside_plus_minus": "3 um"}
    else:
        sleeve["outside"] = [
            stretch(draw, a, b) | {"diameter": length(draw, outside), "plus_minus": "2 um"}
            for a, b in split(draw, start, end, 3)
        ]
    if maybe(draw):
        sleeve["bore_diameter"] = length(draw, bore)
    else:
        sleeve["bore"] = [_zone(draw, a, b, bore) for a, b in split(draw, start, end, 3)]
    if maybe(draw):
        sleeve |= {
            "chamfer_left": "0.3 mm",
            "chamfer_right": "0.2 mm",
            "most_bore_closure": "30 um",
            "tap_after_pressing": maybe(draw),
        }
    return sleeve


def _zone(draw: Draw, start: float, end: float, bore: float) -> Document:
    zone = stretch(draw, start, end)
    if maybe(draw):
        return zone | {"diameter": length(draw, bore)}
    pitch = min(1.0, 0.1 * bore, 0.5 * (end - start))
    thread: Document = {
        "major": f"{bore:.4f} mm",
        "pitch": f"{pitch:.4f} mm",
        "minor": f"{bore - 1.0825 * pitch:.4f} mm",
        "hand": draw(st.sampled_from(("left", "right"))),
    }
    if maybe(draw):
        thread["limits"] = _limits(draw, bore, pitch)
    return zone | {"thread": thread}


def _limits(draw: Draw, major: float, pitch: float) -> Document:
    """Of a thread of the ISO 68-1 profile: the sleeve's own above the basic sizes, the cup's below."""
    middle, minor = major - 0.6495 * pitch, major - 1.0825 * pitch
    wide = number(draw, 0.02, 0.1) * pitch

    def pair(low: float, high: float) -> list[str]:
        return [f"{low:.4f} mm", f"{high:.4f} mm"]

    return {
        "pitch": pair(middle, middle + wide),
        "minor": pair(minor, minor + 2.0 * wide),
        "cup_pitch": pair(middle - 1.5 * wide, middle - 0.3 * wide),
        "cup_major": pair(major - 2.0 * wide, major - 0.3 * wide),
    }


# -- optional tables ------------------------------------------------------------------------------


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
        "friction_likely": number(draw, 0.08, 0.2),
    }
    reading = draw(st.sampled_from(("", "observed_peak", "observed_gauge")))
    if reading:
        press[reading] = "18 kN" if reading == "observed_peak" else "90 bar"
    if maybe(draw):
        press["heat"] = {
            "clearance": "30 um",
            "shell_most": temperature(draw, 60.0, 200.0),
            "sleeve_cold": temperature(draw, -190.0, 10.0),
        }
    return press


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
    return {"surface": number(draw, 0.5, 1.0), "reliability": 0.81} | (
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


_OPTIONAL: dict[str, Callable[..., Any]] = {
    "job": _job,
    "factors": _factors,
    "demand": _demand,
    "press": _press,
    "size": _size,
    "boring": _boring,
    "compound": _compound,
    "temperatures": _temperatures,
    "fatigue": _fatigue,
    "route": _routes,
    "material": _material,
}


def _cups(draw: Draw, bore: float) -> Document:
    return {
        "thread_friction_low": 0.1,
        "thread_friction_high": 0.2,
        "flange_friction_low": 0.1,
        "flange_friction_high": 0.2,
        "flange_diameter": length(draw, 1.02 * bore),
        "flange_bears_on": draw(st.sampled_from(("shell", "sleeve"))),
        "material": "6061-T6",
        "left": {"tightening_torque": torque(draw, 5.0, 60.0), "removing_torque": torque(draw, 5.0, 60.0)},
    }


def _service(draw: Draw, start: float, end: float, width: float) -> Document:
    service = draw(st.sampled_from((_cranks, _housing)))(draw, start, end)
    if maybe(draw):
        service |= {"cycles": draw(st.integers(10_000, 10**8)), "micro_slip": "accepted"}
    if maybe(draw):
        service["tube"] = [
            {
                "angle": f"{a} deg",
                "outside_diameter": length(draw, 0.5 * width),
                "z": length(draw, 0.5 * width),
            }
            for a in (45, 110, 185)
        ]
    else:
        service["clamped"] = stretch(draw, 0.3 * width, 0.7 * width)
    return service


def _housing(draw: Draw, start: float, end: float) -> Document:
    """One or two bearings pushed into the sleeve."""
    rows = []
    for k, (low, high) in enumerate(split(draw, start, end, 2)):
        row: Document = {
            "z": length(draw, 0.5 * (low + high)),
            "from": length(draw, low + 0.1 * (high - low)),
            "to": length(draw, high - 0.1 * (high - low)),
            "radial": force(draw, 1.0, 3000.0),
            "hold": draw(st.sampled_from(("clamped", "pressed"))),
        }
        if maybe(draw):
            row |= {
                "name": f"bearing {k + 1}",
                "angle": f"{number(draw, -180, 180)} deg",
                "axial": force(draw, -800.0, 800.0),
            }
        rows.append(row)
    return {"bearing": rows}


def _cranks(draw: Draw, start: float, end: float) -> Document:
    span = end - start
    service: Document = {
        "left_cup": {
            "bearing": length(draw, start + 0.05 * span),
            "from": length(draw, start),
            "to": length(draw, start + 0.25 * span),
            "hold": "clamped",
        },
        "right_cup": {
            "bearing": length(draw, end - 0.05 * span),
            "from": length(draw, end - 0.25 * span),
            "to": length(draw, end),
            "hold": draw(st.sampled_from(("clamped", "pressed"))),
        },
    }
    kinds = draw(st.sets(st.sampled_from(("test", "start", "impact")), min_size=1))
    if "test" in kinds or "start" in kinds:
        service["chain_line"] = length(draw, number(draw, 35.0, 55.0))
    if "test" in kinds:
        service["pedalling_test"] = draw(st.sampled_from(("city", "trekking", "mountain", "racing")))
    if "start" in kinds:
        service |= {
            "standing_start": force(draw, 500.0, 2000.0),
            "crank_length": "170 mm",
            "chainring_radius": "84 mm",
            "pedal_offset": "140 mm",
        }
    if "impact" in kinds:
        service["side_impact"] = {
            "force": force(draw, 100.0, 2000.0),
            "side": draw(st.sampled_from(("left", "right"))),
            "radius": length(draw, number(draw, 0.0, 180.0)),
            "angle": f"{number(draw, -180, 180)} deg",
        }
    return service


@st.composite
def pressed_with_log(draw: Draw) -> tuple[Document, str]:
    """A case whose press wrote a log, and the log beside it."""
    document = draw(valid(loads=False))
    press = document.setdefault("press", {})
    for key in ("observed_peak", "observed_gauge"):
        press.pop(key, None)
    press |= {"log": LOG_NAME}
    if maybe(draw):
        press |= {"observed_closure": "12 um", "closure_plus_minus": "2 um"}
    travel_unit, in_travel = draw(st.sampled_from((("mm", 1.0), ("in", 25.4))))
    force_unit, in_force = draw(st.sampled_from((("kN", 1.0), ("lbf", 0.004448))))
    most = number(draw, 0.5, 60.0)
    rows = [f"travel [{travel_unit}], force [{force_unit}]"]
    for k in range(1, draw(st.integers(2, 40))):
        share = k / 40.0
        push = most * share * (1.0 + number(draw, -0.1, 0.1))
        rows.append(f"{60.0 * share / in_travel:.4f}, {push / in_force:.3f}")
    return document, "\n".join(rows) + "\n"


LOG_NAME = "press.csv"

# -- something wrong ------------------------------------------------------------------------------


def _places(node: Any) -> Iterator[tuple[Any, Any]]:
    """(container, key) of every value inside, the containers themselves included."""
    items = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in items:
        yield node, key
        yield from _places(value)


@st.composite
def mutated(draw: Draw, *, loads: bool = True) -> Document:
    """A valid case with one to four things changed: some still valid, most not."""
    document = deepcopy(draw(valid(loads=loads)))
    for _ in range(draw(st.integers(1, 4))):
        places = list(_places(document))
        if places:
            _change(draw, *draw(st.sampled_from(places)), [c[k] for c, k in places])
    return document


def _change(draw: Draw, container: Any, key: Any, values: list[Any]) -> None:
    how = draw(st.sampled_from(("drop", "nasty", "rename", "transplant", "rescale", "text")))
    value = container[key]
    if how == "drop":
        del container[key]
    elif how == "rename" and isinstance(container, dict):
        container[draw(st.text(max_size=8)) if maybe(draw) else f"{key}s"] = container.pop(key)
    elif how == "transplant":
        container[key] = deepcopy(draw(st.sampled_from(values)))
    elif how == "rescale" and isinstance(value, str) and " " in value:
        figure, _, unit = value.partition(" ")
        container[key] = f"{figure}e{draw(st.integers(-6, 6))} {unit}"
    elif how == "text":
        container[key] = draw(st.text(max_size=30))
    else:
        container[key] = deepcopy(draw(st.sampled_from(NASTY)))


TABLE = st.recursive(
    st.one_of(st.sampled_from(NASTY), st.text(max_size=10), st.integers(), st.floats(), st.booleans()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
"""Any TOML value."""
