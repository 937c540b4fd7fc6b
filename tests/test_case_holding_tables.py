"""Tables of cups, compound and temperatures: the starter's examples are valid, and faults are reported."""

import pytest
from holding_case import COMPOUND, WARM, case_of

from hoopwright.case.faults import CaseError


def test_a_credit_must_state_how_it_combines_with_friction():
    with pytest.raises(CaseError, match="combination: missing"):
        case_of(COMPOUND.replace('combination = "added"\n', ""))


@pytest.mark.parametrize(
    ("was", "now", "expected"),
    [
        ("credit = 0.5", "credit = 1.5", "credit"),
        ('"added"', '"both"', '"instead" or "added" or "greater"'),
        ('full_cure = "72 h"', 'full_cure = "72"', "full_cure"),
        ('shear_strength = "10 MPa"', 'shear_strength = "10 N"', "shear_strength"),
    ],
)
def test_faults_of_the_compound_are_reported(was, now, expected):
    assert was in COMPOUND
    with pytest.raises(CaseError) as error:
        case_of(WARM, COMPOUND.replace(was, now))
    assert expected in str(error.value)


def test_cups_need_at_least_one_side():
    with pytest.raises(CaseError, match=r"write \[cups\.left\]"):
        case_of("""[cups]
thread_friction_low = 0.1
thread_friction_high = 0.2
flange_friction_low = 0.1
flange_friction_high = 0.2
flange_diameter = "40 mm"
flange_bears_on = "shell"
""")
