"""A shop sheet does not send a sleeve to the lathe where `size` says not to cut yet."""

from __future__ import annotations

import pytest
from plain_pair import PRESSED

from hoopwright import interface, status
from hoopwright.case.read import parse_case

BORE = 'bore_diameter = "40 mm"\nbore_plus_minus = "4 um"\n'
READ = """
[gauge.bore]
max_error = "2 um"
resolution = "1 um"
zero_error = "10 um"
repeatability = "0.7 um"
[[shell.bore]]
from = "0 mm"
to = "40 mm"
gauge = "bore"
readings = [
    {{ z = "5 mm", angles = "0 45 90 135 deg", values = "40.000 40.001 40.000 39.999 mm" }},
    {{ z = "20 mm", angles = "0 45 90 135 deg", values = "40.000 40.000 40.008 40.001 mm", {confirmed} }},
    {{ z = "35 mm", angles = "0 45 90 135 deg", values = "40.000 40.001 40.000 40.000 mm" }},
]
"""


@pytest.mark.parametrize("confirmed", [False, True])
def test_a_sheet_with_a_reading_that_stands_out_is_not_to_be_made(confirmed):
    text = PRESSED.replace(BORE, "") + READ.format(confirmed=f"confirmed = {str(confirmed).lower()}")
    case = parse_case(text)
    assert interface.check(case).state == "holds"
    sized, sheet = interface.size(case), interface.sheet(case)
    assert sheet.state == sized.state == ("holds" if confirmed else "undecided")
    assert sheet.status == (status.ALL_HOLD if confirmed else status.SOME_FAIL)
    stamp = sheet.document()["not_to_be_made"]
    assert stamp == ("" if confirmed else "Not to be made: the verdict is “undecided”")
