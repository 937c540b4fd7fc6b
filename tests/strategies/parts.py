"""Strategies for the tables [gauge], [shell] and [sleeve]."""

from __future__ import annotations

from hypothesis import strategies as st

from strategies.toml_writer import Document
from strategies.values import METALS, Draw, length, maybe, number, split, stretch, temperature

titles = st.one_of(
    st.sampled_from(("Shell", "Gehäuse — 漢字", "emoji 🚲", '<b>&amp;</b> #set $x$ \\ "quoted"')),
    st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=60),
)


def gauge_table(draw: Draw) -> Document:
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


def shell_table(draw: Draw, width: float, bore: float) -> Document:
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


def sleeve_table(draw: Draw, start: float, end: float, outside: float, bore: float) -> Document:
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
        if maybe(draw):
            sleeve |= {"bore_diameter": length(draw, 0.95 * bore), "bored_after": length(draw, bore)}
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
    if maybe(draw):
        return zone | {"diameter": f"{bore - 1.2 * pitch:.4f} mm", "bored_after": thread}
    return zone | {"thread": thread}


def _limits(draw: Draw, major: float, pitch: float) -> Document:
    """Limits of an ISO 68-1 thread: the sleeve's above the basic sizes, the cup's below."""
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
