"""The working of fatigue under several loads that repeat, by the document alone. Invented sizes."""

import json
from dataclasses import replace
from functools import cache

import pytest
from service_cases import case_of, edited
from test_fretting import OWN, THREADED
from test_miner import BEARING
from test_working import agrees

from hoopwright.case.holding_model import Temperatures
from hoopwright.checks import evidence_of
from hoopwright.checks.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.display import Units
from hoopwright.document.check import check_part
from hoopwright.document.plain import plain
from hoopwright.document.working import working_part
from hoopwright.fem import Resolution
from hoopwright.materials import table
from hoopwright.record.pages.working import working
from hoopwright.service.fatigue_strength import FatigueStrength, fatigue_strength_of
from hoopwright.study import CaseStudy

CHECKS = (shell_fatigue_sines, shell_fatigue_walker, sleeve_fatigue_sines, sleeve_fatigue_walker)


@cache
def solved():
    """A pedalling test and a bearing at mid-shell, on a seat that slips, with threads in the sleeve."""
    text = edited(THREADED, ("[service]", "[service]\ncycles = 3000000"))
    text += BEARING.replace("FORCE", "8000").replace("CYCLES", "cycles = 100000") + OWN
    case = case_of(text)
    return evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))


def in_metals(shell, sleeve, *, accepted=True, **fatigue):
    """The strength of other metals on the same solutions; the sleeve's own data where it names none."""
    found, case = solved(), solved().case
    metals = {"shell_material": table()[shell]}
    if sleeve:
        metals["sleeve_material"] = table()[sleeve]
        fatigue["sleeve"] = None
    return replace(
        found,
        case=replace(
            case,
            **metals,
            fatigue=replace(case.fatigue, **fatigue),
            service=replace(case.service, micro_slip_accepted=accepted),
        ),
    )


def rows_of(evidence):
    rows = [check(evidence) for check in CHECKS]
    return json.loads(
        json.dumps(plain([check_part(row) | {"working": working_part(evidence, row)} for row in rows]))
    )


def symbols(row):
    return {line["symbol"] for line in row["working"]["lines"]}


def followed(evidence):
    rows = rows_of(evidence)
    for row in rows:
        agrees(row)
        assert {"D", "S_e", "N_r"} <= symbols(row)
        assert row["margin"] is not None
    return rows


def test_two_loads_on_a_seat_that_frets_follow_line_by_line():
    """A straight curve, and own data. On the pages a row does not repeat how the one above it begins."""
    rows = followed(in_metals("6061-T6", ""))
    shell, _, sleeve, _ = rows
    told = working({"checks": rows}, Units())[-1]["rows"]
    for first, second, kept in ((*rows[:2], told[1]), (*rows[2:], told[3])):
        pairs = list(zip(first["working"]["lines"], second["working"]["lines"], strict=False))
        alike = next(k for k, (one, other) in enumerate(pairs) if one != other)
        assert kept["as_before"] == f"The first {alike} lines are those of {first['title']}."
        assert len(kept["lines"]) == len(second["working"]["lines"]) - alike
    assert len(told[0]["lines"]) == len(shell["working"]["lines"])
    assert {"k_s", "k_r", "S_g", "A_1"} <= symbols(shell)
    assert {"S_1", "S_g"} <= symbols(sleeve)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("evidence", "there"),
    [
        (("7075-T6", "4130 steel", {}), ({"f", "S_b", "k_s"}, {"B_1", "f"})),
        (("2024-T3", "4130 steel", {"accepted": False}), ({"f"}, {"B_1"})),
        (("6061-T6 welded", "", {"thread_notch_factor": 8.0}), ({"k_s", "S_g"}, {"k_t", "S_1"})),
        (("7075-T6", "4130 steel", {"thread_notch_factor": 8.0}), ({"f"}, {"k_t", "B_1"})),
        (("7075-T6", "", {"reliability": 0.9999, "surface": 0.3}), ({"f", "k_b"}, {"S_1"})),
    ],
    ids=["7075", "still", "threads", "threads in 4130", "many bars"],
)
def test_two_loads_follow_line_by_line_whatever_takes_from_the_strength(evidence, there):
    shell, sleeve, options = evidence
    rows = followed(in_metals(shell, sleeve, **options))
    assert there[0] <= symbols(rows[0])
    assert there[1] <= symbols(rows[2])


def test_a_metal_without_tensile_strength_says_what_it_lacks_and_is_not_judged():
    case = solved().case
    bare = replace(case, shell_material=replace(case.shell_material, ultimate_strength=None))
    said = fatigue_strength_of(bare, "shell")
    assert said.startswith("no ultimate_strength of 6061-T6 aluminium")
    assert "give it, or [fatigue.shell]" in said
    row = shell_fatigue_sines(replace(solved(), case=bare))
    assert row.state == "not assessed"
    assert said in row.note
    given = replace(bare, fatigue=replace(bare.fatigue, shell=case.fatigue.sleeve))
    assert isinstance(fatigue_strength_of(given, "shell"), FatigueStrength)


@pytest.mark.slow
def test_what_an_oven_took_is_a_line_of_the_strength():
    found = in_metals("6061-T6", "")
    baked = Temperatures(use_min=0.0, use_max=20.0, oven=185.0)
    shell, *_ = followed(replace(found, case=replace(found.case, temperatures=baked)))
    lines = shell["working"]["lines"]
    (left,) = (line for line in lines if line["meaning"] == "factor on strength: left after heat")
    assert left["value"] == pytest.approx(0.943, abs=1e-3)
