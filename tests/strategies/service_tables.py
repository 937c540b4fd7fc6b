"""Strategies for the tables [cups] and [service]."""

from __future__ import annotations

from hypothesis import strategies as st

from strategies.place import Place
from strategies.toml_writer import Document
from strategies.values import Draw, force, length, maybe, number, split, stretch, torque


def cups_table(draw: Draw, bore: float, lies: Place) -> Document:
    bears_on = ("sleeve",) if lies.covers_left_face() else ("shell", "sleeve")
    return {
        "thread_friction_low": 0.1,
        "thread_friction_high": 0.2,
        "flange_friction_low": 0.1,
        "flange_friction_high": 0.2,
        "flange_diameter": length(draw, 1.02 * bore),
        "flange_bears_on": draw(st.sampled_from(bears_on)),
        "material": "6061-T6",
        "left": {"tightening_torque": torque(draw, 5.0, 60.0), "removing_torque": torque(draw, 5.0, 60.0)},
    }


def service_table(draw: Draw, start: float, end: float, width: float) -> Document:
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
    """One or two bearings pressed into the sleeve; two need names to tell them apart."""
    rows = []
    stretches = split(draw, start, end, 2)
    for k, (low, high) in enumerate(stretches):
        row: Document = {
            "z": length(draw, 0.5 * (low + high)),
            "from": length(draw, low + 0.1 * (high - low)),
            "to": length(draw, high - 0.1 * (high - low)),
            "radial": force(draw, 1.0, 3000.0),
            "hold": draw(st.sampled_from(("clamped", "pressed"))),
        }
        if len(stretches) > 1 or maybe(draw):
            row["name"] = f"bearing {k + 1}"
        if maybe(draw):
            row |= {
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
