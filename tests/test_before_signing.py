"""What a person should have looked at before signing: at the end of a check, on page 1 of a record."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.pipeline import check_case
from hoopwright.record.pages.provenance import before_signing
from hoopwright.screen.check import report

PLAIN = (Path(__file__).parents[1] / "cases" / "sound" / "plain_steel_in_aluminium.toml").read_text("utf-8")


@cache
def found(text=PLAIN):
    return document(check_case(parse_case(text)))


def texts(text=PLAIN, kind=None):
    return [p["text"] for p in found(text)["before_signing"] if kind in (None, p["kind"])]


def test_values_from_memory_are_named_with_the_rows_that_rest_on_them():
    """6082-T6 and E355 are recalled, not seen; the wall left rests on neither."""
    said = texts(kind="from memory")
    assert any("EN 10297-1" in one and "sleeve yields" in one for one in said)
    assert not any("wall left" in one for one in said)


@pytest.mark.parametrize(("given", "word"), [("1.0", "lower"), ("1.5", "higher")])
def test_a_factor_changed_from_the_tools_own_is_named(given, word):
    said = texts(PLAIN + f"\n[factors]\nyield = {given}\n", kind="factor")
    assert said == [f"[factors] yield is {float(given):g}, {word} than the tool's own 1.2."]
    assert not texts(kind="factor")


def test_what_was_not_judged_is_named():
    without = PLAIN.replace('least_wall = "6 mm"\n', "")
    assert any("wall left" in one and "least_wall" in one for one in texts(without, kind="not judged"))
    assert not texts(kind="not judged")


def test_what_is_in_doubt_is_named():
    """6082-T6 loses its temper in an oven of 230 °C."""
    hot = PLAIN.replace('use_most = "45 degC"', 'use_most = "45 degC"\noven = "230 degC"')
    assert any("shell yields" in one for one in texts(hot, kind="doubt"))
    assert not texts(kind="doubt")


def test_friction_and_support_that_are_assumed_are_named():
    said = " ".join(texts(kind="assumption"))
    assert "between 0.1 and 0.2, for pressing and holding alike" in said
    assert "locked by a bolt when the trailer rolls" in said


def test_screen_and_pages_have_a_box_for_each():
    shown = report(found(), Units())
    boxes = before_signing(found())[1]["items"]
    assert shown.count("[ ]") == len(boxes) == len(found()["before_signing"]) > 2


def test_a_document_without_what_was_assumed_would_be_found():
    case = replace(parse_case(PLAIN), no_service="another reason")
    assert "another reason" in " ".join(p["text"] for p in document(check_case(case))["before_signing"])


def test_a_compound_that_is_counted_on_is_named():
    """Whoever signs must know that the verdict may rest on it."""
    film = '[compound]\nshear_strength = "20 MPa"\nsource = "invented tests"\ncombination = "greater"\n'
    film += "credit = "
    said = (
        "40 % of the retaining compound's shear strength is counted on (invented tests); whether it cured"
    )
    assert any(one.startswith(said) for one in texts(f"{PLAIN}\n{film}0.4\n", "assumption"))
    assert not any("compound" in one for one in texts(f"{PLAIN}\n{film}0\n", "assumption"))
