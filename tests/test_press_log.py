"""The log reader: formats that a shop may save, and one clear error line for everything else."""

import numpy as np
import pytest

from hoopwright.case.faults import CaseError
from hoopwright.pressing.press_log import MAX_BYTES, MAX_ROWS, parse_log, read_log

WHOLE = 80.0


def parsed(text):
    content = text if isinstance(text, bytes) else text.encode()
    return parse_log(content, file="press.csv", whole_travel=WHOLE)


def test_units_are_read_from_the_header():
    log = parsed("travel [in], force [lbf]\n0.5, 100\n1.0, 200\n2, 300\n")
    assert log.travel == pytest.approx([12.7, 25.4, 50.8])
    assert log.force == pytest.approx(np.array([100, 200, 300]) * 4.4482216)
    assert log.gauge is None


def test_comments_other_columns_and_other_separators_are_ignored():
    log = parsed("# made up\r\ntime [s]; gauge (bar); travel (mm)\r\n0;1;1\r\n\r\n1;2;2\r\n2;3.5;3\r\n")
    assert log.gauge == pytest.approx([0.1, 0.2, 0.35])
    assert log.travel == pytest.approx([1.0, 2.0, 3.0])


def test_any_space_around_a_number_is_ignored():
    log = parsed("travel [mm],force [N]\n0,0\n\x1c1.3,\u00a05\n2,7\n")
    assert log.travel == pytest.approx([0.0, 1.3, 2.0])


GOOD = "travel [mm], force [kN]\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "empty"),
        ("# only a remark\n", "empty"),
        ("1, 2\n3, 4\n5, 6\n", "lacks travel"),
        ("travel [mm], speed [mm/s]\n1, 2\n", "lacks travel"),
        ("travel, force [kN]\n1, 2\n", "travel: no unit"),
        ("travel [mm], force [kg]\n1, 2\n", "kg is|not a force"),
        ("travel [mm], force [9**9**9 N]\n1, 2\n", "force"),
        ("travel [mm], travel [mm], force [kN]\n1, 1, 2\n", "given twice"),
        ("travel [mm], force [kN], gauge [bar]\n1, 1, 2\n", "both given"),
        (GOOD + "1, x\n", "line 2 force: x is not a number"),
        (GOOD + "1\n", "line 2 force: no value"),
        (GOOD + "1, nan\n", "not a number"),
        (GOOD + "1, 1e999\n", "out of range|not a number"),
        (GOOD + "1, 2\n", "only 1 readings"),
        (GOOD + "1, 1\n5, 2\n4, 3\n", "line 4 travel: decreases"),
        (GOOD + "1, 1\n5, 2\n95, 3\n", "line 4 travel: 95 mm, outside the total travel of 80 mm"),
        (GOOD + "1, -1\n5, 2\n6, 3\n", "line 2: below zero"),
        (GOOD + "1, 0\n5, 0\n6, 0\n", "no reading above zero"),
        (b"\xff\xfe\x00t\x00r", "not UTF-8"),
        (GOOD + "1, 2" + "0" * 500 + "\n", "longer than"),
        (b"travel [mm]; force [kN]\n1; 2,5\n", "2,5 has a comma"),
        (GOOD + "0, 0\n5,5, 3,1\n", r"line 3: 4 cells.* names 2.*5,5, 3,1.*decimal comma.*write 5\.5"),
        ("travel [mm], force [N]\n60, 7,183\n", "line 2: 3 cells.*thousands separator.*write.*7183"),
        (GOOD + "1, 1, 1\n", "line 2: 3 cells, where the header names 2"),
        ("travel [mm], force [kN], time [s]\n1, 1\n", "line 2: 2 cells, where the header names 3"),
        ("travel [mm]; force [N]\n60; 7,183\n", "7,183 has a comma, which may mark decimals or thousands"),
        ("travel [mm]\tforce [N]\n5,5\t7\n", r"5,5 has a comma.*write e\.g\. 5\.5"),
        (b"\x00\x01\x02\x03\n\x00", "lacks travel"),
    ],
)
def test_a_faulty_log_gets_one_clear_error_line(text, expected):
    with pytest.raises(CaseError, match=expected) as caught:
        parsed(text)
    lines = str(caught.value).splitlines()
    assert len(lines) == 1
    assert lines[0].startswith("press.csv")
    assert lines[0].isprintable()


def test_logs_are_bounded_in_size():
    with pytest.raises(CaseError, match="larger than 2 MB"):
        parsed(b"x" * (MAX_BYTES + 1))
    with pytest.raises(CaseError, match="readings"):
        parsed(GOOD + "1,1\n" * (MAX_ROWS + 1))


def test_the_longest_log_allowed_is_read_at_once():
    travel = np.linspace(0.0, WHOLE, MAX_ROWS)
    log = parsed(GOOD + "\n".join(f"{t:.4f},{t / 10 + 1:.3f}" for t in travel))
    assert len(log.travel) == MAX_ROWS


def test_a_log_is_found_beside_its_case_and_a_missing_one_is_reported(tmp_path):
    (tmp_path / "log.csv").write_text(GOOD + "1, 1\n2, 2\n3, 3\n")
    case = tmp_path / "case.toml"
    assert len(read_log("log.csv", beside=str(case), whole_travel=WHOLE).travel) == 3
    with pytest.raises(CaseError, match="no such log"):
        read_log("other.csv", beside=str(case), whole_travel=WHOLE)
    with pytest.raises(CaseError, match="not a file"):
        read_log(".", beside=str(case), whole_travel=WHOLE)
    with pytest.raises(CaseError):
        read_log("a\x00b", beside=str(case), whole_travel=WHOLE)


def test_a_gauge_log_needs_the_ram(tmp_path):
    (tmp_path / "log.csv").write_text("travel [mm], gauge [bar]\n1, 1\n2, 2\n3, 3\n")
    with pytest.raises(CaseError, match="ram_diameter"):
        read_log("log.csv", beside=str(tmp_path / "case.toml"), whole_travel=WHOLE, ram_given=False)
