"""Cases whose last part is still to be cut, or is, with documents of `size` that no solve made."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

from page_benches import bench, starter

from hoopwright.case.read import parse_case
from hoopwright.document.plain import plain
from hoopwright.document.size import turn_to_part
from hoopwright.page.edit import edited
from hoopwright.page.last_cut import last_cut
from hoopwright.page.model import Answer
from hoopwright.sizing.aim import with_aims
from hoopwright.sizing.band import Band, BandEnd
from hoopwright.sizing.turn_to import TurnTo, _as_shown

PLAIN = starter().replace("sample = true", "#sample = true")
WITH_GAUGE = f"""{PLAIN}
[gauge.mic]
type = "outside micrometer, 25 to 50 mm"
resolution = "1 um"
max_error = "2 um"
[gauge.bore]
type = "two-point bore gauge"
resolution = "1 um"
max_error = "3 um"
"""
SIZE = """[size]
gauge = "{gauge}"
readings = {readings}
shop_temperature = "24 degC"
"""


def as_set_up(text=WITH_GAUGE, gauge="mic", readings=1):
    """The case with its gauge, and the shop at 24 °C."""
    without = re.sub(r"(?ms)^\[size\]$.*?(?=^\[|\Z)", "", text)
    return f"{without}\n{SIZE.format(gauge=gauge, readings=readings)}"


def case_text(text=None, **changed):
    found = as_set_up(**changed) if text is None else text
    parse_case(found)
    return found


def band_at(case, cut, index, shift, half, units="metric"):
    land = getattr(
        case.sleeve.unfaced if cut == "sleeve" else case.shell, {"sleeve": "outside", "shell": "bore"}[cut]
    )[index]

    def limits(diameter):
        low, high = diameter + shift - half, diameter + shift + half
        return low, high, _as_shown(case, cut, low), _as_shown(case, cut, high)

    ends = ()
    if land.diameter_start != land.diameter_end:
        pairs = ((land.z_start, land.diameter_start), (land.z_end, land.diameter_end))
        ends = tuple(BandEnd(z, *limits(d)) for z, d in pairs)
    resolution = case.size.gauge.resolution if case.size.gauge else None
    return Band(
        index, land.z_start, land.z_end, *limits(land.mean_diameter), 0.003, units, resolution, ends=ends
    )


def size_document(text, *, shift=0.0, half=0.004, **changed):
    """A document of `size` with bands about the sizes of the case, without a solve."""
    case = parse_case(text)
    cut = last_cut(case)
    bands = with_aims(
        [band_at(case, cut.part, k, shift, half, case.units) for k in cut.lands], cut.part, 0.004
    )
    found = TurnTo(cut.part, bands, case.size.gauge, 0.95, notes=("read once",), scatter=0.004)
    end = {"measured_interference_um": 20.0}
    window = {"withheld": "", "empty": False, "clash": [], "least": end, "greatest": end}
    what = "Turn the sleeve" if cut.part == "sleeve" else "Bore the shell"
    document = {
        "verdict": f"{what} to the size below: the band is 8.0 µm (0.31 thou) wide.",
        "state": "holds",
        "came_out": None,
        "decision": None,
        "window": window,
        "tried": [],
        "turn_to": turn_to_part(found, case.size),
        "boring": None,
        "cautions": ["read once", "cutting"],
    }
    return plain(document | changed)


def at(text, document=None, units="metric", asked=None, *, old=False, **more):
    made = bench(text, units, **more)
    document = size_document(text) if document is None else document
    answer = Answer(document, "of before" if old else made.version)
    return replace(made, answers={"size": answer}, asked=asked or {})


@cache
def single():
    return case_text()


def words(markup):
    return " ".join(re.sub(r"<svg.*?</svg>|<[^>]+>", " ", markup, flags=re.S).split()).replace(
        "\u00a0", " "
    )


def written(made, done):
    assert not done.rejected
    return edited(made.text, [(e.path, e.typed) for e in done.edits], "metric", file="a.toml")


CAME_OUT = {
    "press": False,
    "state": "fails",
    "verdict": "Do not press it as it is: the sleeve is 10.0 µm (0.39 thou) too small for this bore.",
    "note": "",
    "off": [],
    "never": "Never knurl it.",
    "shop_temperature_degC": 24.0,
    "not_possible": [{"id": "turn_further", "title": "Turn this sleeve further", "why": "it is too small"}],
}
WAY = {
    "id": "turn_another",
    "title": "Turn another sleeve",
    "state": "holds",
    "margin": 0.21,
    "governs": {"id": "shell_yields", "title": "shell yields", "stage": "pressed"},
    "why": "",
    "cut": "sleeve",
    "sizes": [{"part": "sleeve", "land": 1, "diameter_mm": 42.05}],
    "wall_left_mm": None,
    "advice": ["cut all lands in one setting"],
    "checks": [],
}
CHANGE = {
    "table": "sleeve",
    "land": None,
    "set": {"outside_diameter": "42.050 mm", "outside_plus_minus": "2.1 um"},
    "drop": ["turned"],
}


def finished(**way):
    """Both parts finished, and a way out."""
    text = single().replace("[sleeve]\nmaterial", "[sleeve]\nturned = true\nmaterial", 1)
    text = text.replace("[shell]\nmaterial", "[shell]\nbored = true\nmaterial", 1)
    bands = size_document(single())["turn_to"]["bands"]
    as_it_is = WAY | {"id": "as_it_is", "title": "Press it as it is", "state": "fails", "margin": -0.1}
    as_it_is |= {"sizes": [], "bands": [], "changes": [], "cut": ""}
    ways = [WAY | {"bands": bands, "changes": [CHANGE]} | way, as_it_is]
    document = size_document(single(), turn_to=None, came_out=CAME_OUT | {"ways": ways}, state="fails")
    return text, document | {"verdict": CAME_OUT["verdict"]}
