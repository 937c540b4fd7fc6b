"""Case files at the limits of the format: each runs, or is rejected with plain error lines. Invented."""

from __future__ import annotations

from typing import Any

from strategies import Document

OWN = {
    "expansion": "12e-6 /K",
    "yield_strength": "300 MPa",
    "ultimate_strength": "400 MPa",
    "density": "7800 kg/m^3",
    "source": "invented",
}
"""Properties of an invented metal besides its elastic constants."""


def plain(**changes: dict[str, Any]) -> Document:
    """A crank shell 44/39 mm with a flush steel sleeve; changes: keys to set by table, None to remove a
    key."""
    document: Document = {
        "title": "Extreme",
        "invented": True,
        "gauge": {"g": {"resolution": "1 um", "max_error": "2 um"}},
        "shell": {
            "material": "6061-T6",
            "width": "73 mm",
            "outside_diameter": "44 mm",
            "bore_diameter": "39 mm",
        },
        "sleeve": {
            "material": "1025 steel",
            "length": "73 mm",
            "outside_diameter": "39.04 mm",
            "bore_diameter": "34.9 mm",
        },
        "fit": {"friction_low": 0.08, "friction_high": 0.2},
        "demand": {"axial_force": "1 kN"},
    }
    for name, keys in changes.items():
        table = document.setdefault(name, {})
        table |= keys
        document[name] = {k: v for k, v in table.items() if v is not None}
    return document


def sized(scale: float, tight: float = 1e-3) -> Document:
    """The plain joint in another size. tight: diametral interference over the bore."""
    mm = lambda size: f"{size * scale:.9f} mm"  # noqa: E731
    return plain(
        shell={"width": mm(73), "outside_diameter": mm(44), "bore_diameter": mm(39)},
        sleeve={"length": mm(73), "outside_diameter": mm(39 * (1 + tight)), "bore_diameter": mm(34.9)},
    )


def metal(young: str, poisson: float = 0.3) -> Document:
    return OWN | {"young_modulus": young, "poisson_ratio": poisson}


def lands(count: int, step: float = 0.0) -> list[Document]:
    """The plain bore divided into `count` lands. step: alternating change of diameter, mm."""
    ends = [73.0 * k / count for k in range(count + 1)]
    return [
        {"from": f"{a:.9f} mm", "to": f"{b:.9f} mm", "diameter": f"{39 + step * (k % 2):.6f} mm"}
        for k, (a, b) in enumerate(zip(ends[:-1], ends[1:], strict=True))
    ]


def readings(stations: int, each: int) -> list[Document]:
    values = " ".join("39.001" if k % 3 else "38.999" for k in range(each)) + " mm"
    return [
        {
            "from": "0 mm",
            "to": "73 mm",
            "gauge": "g",
            "readings": [
                {"z": f"{73 * (k + 0.5) / stations:.4f} mm", "values": values} for k in range(stations)
            ],
        }
    ]


def zones(count: int) -> list[Document]:
    ends = [73.0 * k / count for k in range(count + 1)]
    return [
        {"from": f"{a:.9f} mm", "to": f"{b:.9f} mm", "diameter": f"{34.9 - 0.1 * (k % 2):.3f} mm"}
        for k, (a, b) in enumerate(zip(ends[:-1], ends[1:], strict=True))
    ]


RUN = {
    "shell wall 0.05 mm": plain(
        shell={"outside_diameter": "39.1 mm"}, sleeve={"outside_diameter": "39.01 mm"}
    ),
    "sleeve wall 0.05 mm": plain(sleeve={"bore_diameter": "38.94 mm"}),
    "runout leaves no wall": plain(shell={"runout": "5.2 mm"}),
    "thick walls": plain(shell={"outside_diameter": "400 mm"}, sleeve={"bore_diameter": "1 mm"}),
    "Poisson 0.499 both": plain(
        material={"a": metal("69 GPa", 0.499), "b": metal("205 GPa", 0.499)},
        shell={"material": "a"},
        sleeve={"material": "b"},
    ),
    "Poisson 0.001": plain(material={"a": metal("69 GPa", 0.001)}, shell={"material": "a"}),
    "stiffness 1000 to 1, sleeve stiff": plain(
        material={"a": metal("1 GPa"), "b": metal("1000 GPa")},
        shell={"material": "a"},
        sleeve={"material": "b"},
    ),
    "stiffness 1000 to 1, shell stiff": plain(
        material={"a": metal("1000 GPa"), "b": metal("1 GPa")},
        shell={"material": "a"},
        sleeve={"material": "b"},
    ),
    "10 000 readings": plain(shell={"bore_diameter": None, "bore": readings(20, 500)}),
    "40 lands": plain(shell={"bore_diameter": None, "bore": lands(40)}),
    "40 stepped lands": plain(shell={"bore_diameter": None, "bore": lands(40, 0.01)}),
    "40 lands that touch every other": plain(shell={"bore_diameter": None, "bore": lands(40, 0.2)}),
    "interference 1 nm": plain(sleeve={"outside_diameter": "39.000001 mm"}),
    "interference 2 %": plain(sleeve={"outside_diameter": "39.77 mm"}),
    "least interference below zero": plain(
        shell={"bore_plus_minus": "30 um"}, sleeve={"outside_plus_minus": "30 um"}
    ),
    "sleeve a hundredth of the shell": plain(sleeve={"start": "36 mm", "length": "0.73 mm"}),
    "sleeve 3 mm at the end": plain(sleeve={"start": "70 mm", "length": "3 mm"}),
    "shell 0.2 mm wide": plain(shell={"width": "0.2 mm"}, sleeve={"length": "0.2 mm"}),
    "shell 2 m long": plain(shell={"width": "2000 mm"}, sleeve={"length": "2000 mm"}),
    "chamfers that leave 1 um": plain(sleeve={"chamfer_left": "36.5 mm", "chamfer_right": "36.499 mm"}),
    "a hundredth of the size": sized(0.01),
    "a hundred times the size": sized(50.0),
    "coldest fit": plain(fit={"temperature": "-150 degC"}),
    "hottest fit": plain(fit={"temperature": "500 degC"}),
    "hottest use": plain(
        temperatures={
            "use_least": "-150 degC",
            "use_most": "500 degC",
            "oven": "500 degC",
            "oven_time": "2000 h",
        }
    ),
    "friction at its ends": plain(fit={"friction_low": 1e-9, "friction_high": 1.5}),
    "finest mesh": plain(mesh={"elements_through_wall": 12}),
    "200 zones": plain(sleeve={"bore_diameter": None, "bore": zones(200)}),
    "demand beyond all holding": plain(demand={"axial_force": "10 MN", "torque": "100 kN*m"}),
    "demand of nothing": plain(demand={"axial_force": "0 N"}),
}
"""Valid, however odd. Each is checked, or rejected in one line."""

REFUSED = {
    "interference exactly 0": (plain(sleeve={"outside_diameter": "39 mm"}), "[sleeve] outside"),
    "a gap": (plain(sleeve={"outside_diameter": "38.9 mm"}), "[sleeve] outside"),
    "1000 zones": (plain(sleeve={"bore_diameter": None, "bore": zones(1000)}), "[sleeve] bore"),
    "Poisson 0.5": (
        plain(material={"a": metal("69 GPa", 0.5)}, shell={"material": "a"}),
        "[material.a] poisson_ratio",
    ),
    "no wall": (plain(shell={"outside_diameter": "39 mm"}), "[shell] bore"),
    "sleeve longer than the shell": (plain(sleeve={"length": "80 mm"}), "[sleeve] proud"),
}
"""Impossible joints, and the table and key that the error names."""
