"""Every case that ships, run whole, against the expected values in the file beside it."""

import json
import tomllib
from pathlib import Path

import pytest

from hoopwright.case.read import read_case
from hoopwright.document.check import as_json
from hoopwright.pipeline import check_case

CASES = sorted(p for p in (Path(__file__).parents[1] / "cases").rglob("*.toml")
               if not p.name.endswith(".expected.toml"))


def at(document, path):
    """The value at a dotted path; a list of checks is entered by id."""
    for key in path.split("."):
        if isinstance(document, list):
            document = next(entry for entry in document if entry.get("id", entry.get("what")) == key)
        else:
            document = document[key]
    return document


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_case_gives_its_expected_values(path):
    expected = tomllib.loads(path.with_suffix(".expected.toml").read_text())
    document = json.loads(as_json(check_case(read_case(path))))
    assert expected["value"]
    for row in expected["value"]:
        assert row["source"]
        found = at(document, row["path"])
        if isinstance(row["is"], float):
            assert found == pytest.approx(row["is"], rel=row["within"]), row
        else:
            assert found == row["is"], row


def test_every_demo_says_that_it_is_invented():
    demos = [p for p in CASES if p.parent.name == "cases"]
    assert len(demos) >= 3
    assert all(read_case(p).invented for p in demos)
