"""Every document is the same, byte for byte, whatever seed Python's hashes have."""

import hashlib
import json
import os
import subprocess
import sys

import pytest
from small_cases import ROUTE, SLIPS_IN

import hoopwright
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.document.heading import as_json
from hoopwright.pipeline import check_case
from hoopwright.record.document import as_bytes, record_document
from hoopwright.record.gather import gather

SEEDS = range(5)
BORE = 'bore_diameter = "42.000 mm"\nbore_plus_minus = "4 um"\n'
READ = """
[[shell.bore]]
from = "0 mm"
to = "16 mm"
readings = [
    { z = "3 mm", gauge = "first", part_temperature = "22 degC", values = "42.000 42.001 mm" },
    { z = "8 mm", gauge = "second", values = "42.002 42.001 mm" },
    { z = "13 mm", gauge = "third", values = "42.001 42.001 mm" },
]
"""
GAUGES = "".join(
    f'[gauge.{name}]\nresolution = "1 um"\nmax_error = "2 um"\nzero_error = "{zero} um"\n'
    for name, zero in (("first", 0), ("second", 20), ("third", 3))
)
CASE = SLIPS_IN.replace(BORE, "").replace("[sleeve]", READ + "[sleeve]") + ROUTE + GAUGES
"""Three gauges of the same accuracy on one land, so that nothing but their names sets them apart."""


def documents(text: str) -> dict[str, bytes]:
    """The bytes of every document that the case has."""
    case = parse_case(text)
    results = check_case(case)
    made = {"size": hoopwright.size(case), "press": hoopwright.press(case)}
    made |= {"compare": hoopwright.compare(case), "curves": hoopwright.curves(case)}
    found = {name: as_json(one.document()).encode() for name, one in made.items()}
    gathered = gather(results, Units("metric"), lambda _: None)
    return {
        "check": as_json(document(results)).encode(),
        "record": as_bytes(record_document(gathered)),
        **found,
    }


@pytest.mark.slow
def test_every_document_has_the_same_bytes_whatever_the_hash_seed():
    found = []
    for seed in SEEDS:
        environment = {**os.environ, "PYTHONHASHSEED": str(seed)}
        done = subprocess.run(
            [sys.executable, __file__], check=True, capture_output=True, text=True, env=environment
        )
        found.append(json.loads(done.stdout))
    assert set(found[0]) == {"check", "size", "press", "compare", "curves", "record"}
    for other in found[1:]:
        assert other == found[0]


if __name__ == "__main__":
    digests = {name: hashlib.sha256(text).hexdigest() for name, text in documents(CASE).items()}
    sys.stdout.write(json.dumps(digests))
