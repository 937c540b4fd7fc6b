"""Margins of the shipped cases, frozen before names and packages changed: none of them may move by that.

To be removed as soon as a change of the model moves them on purpose.
"""

import json
from pathlib import Path

import pytest
from test_cases import CASES

from hoopwright.case.read import read_case
from hoopwright.pipeline import check_case

FROZEN = json.loads((Path(__file__).parent / "frozen" / "margins_0.1.0.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_every_margin_equals_the_frozen_one(path):
    found = {m.id: m.margin for m in check_case(read_case(path)).margins if m.margin is not None}
    assert found == pytest.approx(FROZEN[path.stem], abs=1e-9, rel=1e-9)
