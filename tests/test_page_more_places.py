"""A part that is read at more places than one leads from Turn to to the readings of its land."""

from __future__ import annotations

import re
from dataclasses import replace
from urllib.parse import parse_qsl, urlsplit

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import TRIKE, bench, demo, html
from turn_to_cases import at, case_text

from hoopwright.page.read_place import here_of
from hoopwright.page.steps import turn_to as step


@pytest.mark.parametrize(
    ("text", "asked", "said", "path"),
    [
        (case_text(), {}, "sleeve outside", "sleeve.outside"),
        (demo(TRIKE), {}, "sleeve outside, land 1", "sleeve.outside[0]"),
        (demo(TRIKE), {"land": "2"}, "sleeve outside, land 2", "sleeve.outside[1]"),
        (case_text().replace("[sleeve]", "[sleeve]\nturned = true"), {}, "bore", "shell.bore"),
    ],
)
def test_what_is_read_at_more_places_goes_to_the_readings_of_its_land(text, asked, said, path):
    made = at(text, asked=asked)
    (address,) = re.findall(
        rf'href="(readings[^"]*)">Write down each reading of the {said}</a>', html(step.STEP, made)
    )
    lead = dict(parse_qsl(urlsplit(address).query))
    assert here_of(replace(bench(text), asked=lead)).land.path == path
