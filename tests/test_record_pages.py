"""The pages show what results.json contains, with text exactly as typed."""

from __future__ import annotations

import copy
import io
import json
import math
import re
from functools import cache
from typing import Any

import pytest
from foreign_units import foreign_units, texts_in
from record_cases import CASE, results, written_record

from hoopwright.display import Units
from hoopwright.record.pages import record_pages
from hoopwright.record.pdf import pdf
from hoopwright.screen.check import report as check_screen
from hoopwright.screen.press import report as press_screen

pypdf = pytest.importorskip("pypdf")

NUMBER = re.compile(r"[-+−]?\d+(?:\.\d+)?(?:e[-+]?\d+)?")
# exact by definition: 25.4 mm = 1 in, 1 lbf = 4.4482216152605 N, 1 psi = 6894.757293168 Pa (NIST SP 811)
INCH, POUND, KSI = 25.4, 4.4482216152605, 6.894757293168
AS = {
    "mm": (1.0, 1.0 / INCH),
    "um": (1.0, 1.0 / INCH),
    "MPa": (1.0, 1.0 / KSI, 10.0, 1000.0 / KSI),
    "N": (1.0, 1.0 / POUND),
    "Nm": (1.0, 1.0 / (0.3048 * POUND)),
    "N*m": (1.0, 1.0 / (0.3048 * POUND)),
    "K": (1.0, 1.8, 1e6),
    "probability": (1.0, 100.0),
    "m3": (1.0, 1.0 / 27679.9047),  # kg/m³ in lb/in³, NIST SP 811
}
WORDS = {"95", "20", "0.001", "0.0001", "0.00001", "999", "10", "-256", "68"}
"""95 % intervals, 20 °C or 68 °F, "< 0.001", "< 0.0001 MPa", "< 0.00001 ksi", ">999", 10⁻⁶, SHA-256."""


WORKED_AS = {
    "mm^2": (INCH**-2,),
    "mm^3": (INCH**-3,),
    "1/mm": (INCH,),
    "N*mm": (1.0 / (INCH * POUND),),
    "N/mm": (INCH / POUND,),
    "N*mm^2": (INCH**-2 / POUND,),
    "mm/MPa": (KSI / INCH,),
    "K": (1.8,),
    "1/K": (1.0 / 1.8,),
}
"""Factors to inch units of what the working has besides."""


@cache
def text_of(document: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(document)).pages)


def leaves(value: Any, key: str = "", unit: str = "") -> list[tuple[float, tuple[float, ...]]]:
    """Every number of the document with the factors it may be shown with."""
    if isinstance(value, dict):
        unit = value.get("unit", unit)
        own = key.endswith(("_um", "_N", "_MPa", "_mm"))  # {"low": ...} under a name with its unit
        return [leaf for k, v in value.items() for leaf in leaves(v, key if own else k, unit)]
    if isinstance(value, list):
        return [leaf for v in value for leaf in leaves(v, key, unit)]
    if isinstance(value, str):
        return [(float(n.replace("−", "-")), (1.0,)) for n in NUMBER.findall(value)]
    if isinstance(value, bool) or value is None:
        return []
    suffix = key.rsplit("_", 1)[-1]
    if suffix == "degC":
        return [(float(value), (1.0,)), (1.8 * value + 32.0, (1.0,))]
    if key in ("demand", "capacity", "finite_elements", "numerical_error", "closed_form", "value") and unit:
        return [(float(value), (1.0, *AS.get(unit, ()), *WORKED_AS.get(unit, ())))]
    factors = AS.get(suffix, (1.0,))
    if "stop" in key and suffix == "N":  # rounded down, in whole newtons or pounds
        return [(float(value), factors), *((float(math.floor(value * f)), (1.0,)) for f in factors)]
    if key == "greatest_bore_mm":  # rounded down, to the last digit of a diameter
        return [(math.floor(value * f * 1e3) / 1e3, (1.0,)) for f in factors] + [
            (math.floor(value * f * 1e4) / 1e4, (1.0,)) for f in factors
        ]
    return [(float(value), factors)]


def unknown(document: bytes, whole: dict[str, Any]) -> list[str]:
    """Numbers on the pages that are not in the document, rounded as shown."""
    known = [v * f for v, factors in leaves(whole) for f in factors]
    beside = whole["closed_form"]["comparison"]
    known += [100.0 * (c["finite_elements"] / c["closed_form"] - 1.0) for c in beside]
    text = re.sub(r"\b[0-9a-f]{12}\b|[0-9a-f]{40,}|(page|sheet) \d+ of \d+", " ", text_of(document))
    bad = []
    for token in NUMBER.findall(text):
        mantissa, _, power = token.partition("e")
        value, decimals = float(token.replace("−", "-")), len(mantissa.partition(".")[2])
        near = 0.5000001 * 10.0 ** (int(power or 0) - decimals)
        if token not in WORDS and not any(min(abs(k - value), abs(k + value)) <= near for k in known):
            bad.append(token)
    return bad


@cache
def document(units: str) -> bytes:
    return (written_record(units) / "record.pdf").read_bytes()


@pytest.mark.parametrize("units", ["metric", pytest.param("inch", marks=pytest.mark.slow)])
def test_every_number_on_the_pages_is_one_of_the_results(units):
    numbers = NUMBER.findall(text_of(document(units)))
    assert len(numbers) > 250
    assert unknown(document(units), results(units)) == []


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_no_unit_of_the_other_trade_is_on_pages_or_screen(units):
    """Every command of every demo and starter is in test_foreign_units.py. The working is in mm, N and MPa
    for every reader, as its expressions are, with the units of the reader in brackets."""
    whole, reader = results(units), Units(units)
    case = CASE.replace("UNITS", units)
    pages = "\n".join(texts_in(record_pages(whole, hashes={}) | {"appendix": []}))
    for shown in (
        pages,
        check_screen(whole, reader),
        press_screen({**whole, **whole["press"]}, reader),
    ):
        assert foreign_units(shown, units, case) == []


def test_loads_are_shown_in_the_units_of_the_reader():
    """2 kN = 449.6 lbf, 300 N = 67.44 lbf, 25 mm = 0.9843 in (NIST SP 811)."""
    shown_text = {units: re.sub(r"\s+", " ", text_of(document(units))) for units in ("metric", "inch")}
    assert "2000 N at 90° and 300 N along the axis, at z = 25 mm" in shown_text["metric"]
    assert "449.6 lbf at 90° and 67.44 lbf along the axis, at z = 0.9843 in" in shown_text["inch"]


def test_a_number_on_the_pages_that_is_not_in_the_results_would_be_found():
    changed = copy.deepcopy(results())
    changed["fit"]["outside_growth_um"] = 987.6
    changed["checks"][0]["demand"] = 98765.4
    found = unknown(pdf(record_pages(changed, hashes={}), {}), results())
    assert "987.6" in found
    assert {"98765", "98765.4"} & set(found)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_every_check_is_on_the_pages_with_its_margin_and_state(units):
    governs = text_of(document(units)).split("What governs")[1].split("± mesh:")[0].splitlines()
    judged = [c for c in results(units)["checks"] if c["state"] != "not assessed"]
    assert len(judged) > 8
    starts = [next(k for k, line in enumerate(governs) if line.startswith(c["title"])) for c in judged]
    assert starts == sorted(starts)
    for check, start, end in zip(judged, starts, [*starts[1:], len(governs)], strict=True):
        row = " ".join(" ".join(governs[start:end]).split())
        assert f" {check['factor']:.2f} {marked(check)}" in row
        assert row.startswith(f"{check['title']} {check['where']['stage']}")


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_every_cell_is_on_the_pages_in_the_column_of_its_stage(units):
    """A dot where the case does not describe the stage, nothing where one cannot fail so in it."""
    lines = text_of(document(units)).split("What governs")[0].splitlines()
    for check in results(units)["checks"]:
        if check["state"] == "not assessed":
            continue
        cells = {cell["where"]["stage"]: cell for cell in check["cells"]}
        assert check["where"]["stage"] in cells
        row = [check["title"]]
        for stage in ("entering", "pressed", "cups", "in use", "oven"):
            if stage in cells:
                worst = stage == check["where"]["stage"] and len(cells) > 1
                row.append(
                    f"{'>' if worst else ''}{' ' if worst and cells[stage]['state'] == 'holds' else ''}"
                )
                row[-1] += marked(cells[stage])
            elif stage in check["stages"]:
                row.append("·")
        assert " ".join(row) in lines


def marked(cell: dict[str, Any]) -> str:
    """The margin of a row or cell with the mark of its state."""
    mark = {"holds": "", "fails": "× ", "unresolved": "? "}[cell["state"]]
    return mark + ("no loss" if cell["margin"] is None else f"{cell['margin']:+.2f}")


def test_the_pages_contain_all_that_a_record_must_state():
    text = re.sub(r"\s+", " ", text_of(document("metric")))
    for part in (
        "Repair record",
        "nobody",
        "somebody",
        "2026-01-02",
        "worn seat",
        "Invented data",
        "two-point bore gauge",
        "6061-T6",
        "MIL-HDBK-5J",
        "Fit and window",
        "Ways to fail, by stage of the joint's life",
        "What governs, worst first",
        "Lamé",
        "Pressing in",
        "What the press reading says",
        "Loads in use",
        "Readings and gauges",
        "Cautions",
        "Limits of the method",
        "SHA-256 of hub.toml",
        "typst",
        "Repaired by",
        "not an approval",
    ):
        assert part.lower() in text.lower(), part


@pytest.mark.parametrize(("units", "size"), [("metric", (595, 842)), ("inch", (612, 792))])
def test_a_record_has_one_to_four_pages_of_the_usual_paper_and_its_working(units, size):
    pages = pypdf.PdfReader(io.BytesIO(document(units))).pages
    working = next(k for k, page in enumerate(pages) if "Working" in page.extract_text().splitlines())
    assert 1 <= working - 1 <= 4  # after the shop sheet
    assert len(pages) <= 12
    assert tuple(round(float(x)) for x in pages[0].mediabox[2:]) == size


NASTY = {
    "markup": '#eval("1+1") #read("/etc/passwd") $x^2$ *bold* _it_ `raw` <label> @ref [a] {b} \\ // /* --',
    "quotes": "\"double\" 'single' “curly” \\u{41} &amp; <b>%s</b> {{x}}",
    "right to left": "שלום עולם",
    "joined": "نمی\u200cخواهد",
    "emoji": "wrench 🔧 bicycle 🚲 face 😀 thumb 👍🏽 joined 👩‍🔧 flag 🇨🇭",
    "other scripts": "ελληνικά кириллица 日本語",
}


@pytest.mark.parametrize(
    "kind",
    [k if k in ("markup", "emoji") else pytest.param(k, marks=pytest.mark.slow) for k in NASTY],
)
def test_user_text_is_printed_as_typed_and_never_executed(kind):
    words = NASTY[kind]
    whole = copy.deepcopy(results())
    whole["job"] |= {"piece": words, "notes": words + "\n" + words}
    whole["case"]["title"] = words
    made = pdf(record_pages(whole, hashes={}), {})
    text = text_of(made)
    if kind in ("right to left", "joined", "emoji", "other scripts"):
        for character in words.replace(" ", ""):  # right-to-left words are extracted in drawing order
            shown = f"U+{ord(character):04X}" if character in "日本語" else character
            assert text.count(shown) >= 4 * words.count(character)
    else:
        flat = re.sub(r"\s+", " ", text)
        assert flat.count(words) >= 3
    assert "root:x:" not in text
    assert "U+200" not in text
    assert pypdf.PdfReader(io.BytesIO(made)).metadata.title == words


def test_a_very_long_word_is_broken_instead_of_leaving_the_page():
    word = "W" * 180
    whole = copy.deepcopy(results())
    whole["job"] |= {"piece": word, "owner": word, "notes": word}
    whole["case"]["title"] = word
    sheet, first, *_ = pypdf.PdfReader(io.BytesIO(pdf(record_pages(whole, hashes={}), {}))).pages
    right: list[float] = []

    def seen(piece, _, matrix, __, size):
        right.append(matrix[4] + 0.3 * size * len(piece.strip()) * (matrix[0] or 1.0))

    for page, times in ((sheet, 1), (first, 2)):
        assert re.sub(r"\s", "", page.extract_text()).count(word) >= times
        page.extract_text(visitor_text=seen)
        assert max(right) < float(page.mediabox[2])


def test_same_input_gives_the_same_bytes_without_a_time_stamp():
    pages = record_pages(results(), hashes={})
    first = pdf(pages, {})
    assert first == pdf(json.loads(json.dumps(pages)), {})
    assert not {"/CreationDate", "/ModDate"} & set(pypdf.PdfReader(io.BytesIO(first)).metadata)
