"""The press command: what it prints, its exit status, and its messages about bad input."""

import json
import re
from importlib.resources import files

import jsonschema
import numpy as np
import pytest
from press_cases import short_bush

from hoopwright import status
from hoopwright.cli import main
from hoopwright.pressing.contradiction import READ_LESS


def case(tmp_path, *, press="", shell="6061-T6", outside="39.030 mm", units="metric"):
    path = tmp_path / "bush.toml"
    path.write_text(short_bush(outside, shell=shell, units=units, more=f"[press]\n{press}\n"))
    return str(path)


def run(capsys, *argv):
    code = main(["press", *argv])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_screen_fits_80_columns_and_names_every_unit(tmp_path, capsys):
    code, out, _ = run(capsys, case(tmp_path, press='ram_diameter = "50 mm"'))
    assert code == status.ALL_HOLD
    assert max(map(len, out.splitlines())) <= 80
    for word in ("invented", "force, N", "gauge, bar", "mm", "Stop if", "Suspect the fit", "Heat and cold"):
        assert word in out


def test_inch_units_are_lbf_psi_and_thou(tmp_path, capsys):
    _, out, _ = run(capsys, case(tmp_path, press='ram_diameter = "2 in"', units="inch"))
    assert "force, lbf" in out
    assert "gauge, psi" in out
    assert re.search(r"\d thou", out)
    assert "°C" not in out.split("Cautions")[0].replace("6061", "")
    assert max(map(len, out.splitlines())) <= 80


def test_json_is_one_document_whose_dimensional_names_end_in_their_unit(tmp_path, capsys):
    _, out, _ = run(capsys, case(tmp_path, press='observed_peak = "2 kN"'), "--json", "--plastic")
    document = json.loads(out)
    row = document["force_against_travel"]["positions"][-1]
    assert row["travel_mm"] == 24.0
    assert row["least_N"] < row["likely_N"] < row["stop_N"]
    assert (
        document["inferred_fit"]["interference_um"]["low"]
        < document["inferred_fit"]["interference_um"]["high"]
    )
    assert document["past_yield"]["steps"][-1]["remaining_um"] > 0.0
    assert document["heat_and_cold"]["ways"][0]["shell_degC"] > 20.0


def test_the_same_case_gives_the_same_bytes(tmp_path, capsys):
    path = case(tmp_path, press='observed_peak = "2 kN"')
    assert run(capsys, path, "--json")[1] == run(capsys, path, "--json")[1]


def test_a_peak_within_range_narrows_friction_and_recomputes_margins(tmp_path, capsys):
    code, out, _ = run(capsys, case(tmp_path, press='observed_peak = "2 kN"'))
    assert "Bayes" in out
    assert "Margins with that fit" in out
    assert code in (status.ALL_HOLD, status.SOME_FAIL)


@pytest.mark.parametrize(("peak", "word"), [("20 kN", "tighter"), ("50 N", "looser")])
def test_an_impossible_peak_is_reported_as_a_contradiction(tmp_path, capsys, peak, word):
    code, out, _ = run(capsys, case(tmp_path, press=f'observed_peak = "{peak}"'))
    assert code == status.SOME_FAIL
    flat = " ".join(out.split())
    assert "contradicts the sizes and the friction" in flat
    assert f"the fit is {word} than measured" in flat
    assert "Margins with that fit" not in out


def test_an_impossible_bore_closure_is_reported_as_a_contradiction(tmp_path, capsys):
    code, out, _ = run(capsys, case(tmp_path, press='observed_peak = "2 kN"\nobserved_closure = "60 um"'))
    assert code == status.SOME_FAIL
    assert "bore closure read contradicts" in " ".join(out.split())


def test_yielding_at_the_greatest_interference_is_analysed_without_a_request(tmp_path, capsys):
    _, out, _ = run(capsys, case(tmp_path, shell="6061-T6 welded", outside="39.150 mm"))
    flat = " ".join(out.split())
    assert "Too tight" in flat
    assert "extra interference there only stretches the metal" in flat
    assert "would read no more than about" in flat


def test_a_log_above_the_stop_line_is_reported_with_its_travel(tmp_path, capsys):
    (tmp_path / "log.csv").write_text(
        "travel [mm], force [kN]\n5, 0.5\n10, 0.9\n14, 4.0\n18, 2.0\n24, 2.4\n"
    )
    _, out, _ = run(capsys, case(tmp_path, press='log = "log.csv"'))
    assert "passed the stop line at 14.0 mm" in " ".join(out.split())


def logged(tmp_path, capsys, share, *, press=""):
    """A case with a log that reads a share, along the share of the travel, of the likely force."""
    _, out, _ = run(capsys, case(tmp_path), "--json")
    rows = json.loads(out)["force_against_travel"]["positions"]
    travel = [24.0 * k / 12 for k in range(1, 13)]
    likely = np.interp(travel, [r["travel_mm"] for r in rows], [r["likely_N"] for r in rows])
    text = "".join(f"{x:g}, {f * share(x / 24.0):.0f}\n" for x, f in zip(travel, likely, strict=True))
    (tmp_path / "log.csv").write_text(f"travel [mm], force [N]\n{text}")
    return case(tmp_path, press=f'log = "log.csv"\n{press}')


def falling(x):
    return 1.2 - 0.4 * x


def test_a_log_that_does_not_fit_is_said_on_screen(tmp_path, capsys):
    rows = "".join(f"{x}, {110 * x * falling(x / 24.0):.0f}\n" for x in range(2, 25, 2))
    (tmp_path / "log.csv").write_text(f"travel [mm], force [N]\n{rows}")
    code, out, _ = run(capsys, case(tmp_path, press='log = "log.csv"'))
    flat = " ".join(out.split())
    assert code == status.SOME_FAIL
    assert "no margin holds until that is explained" in flat
    assert "one friction and the sizes given do not make a force of that shape" in flat
    assert "friction that changes along the travel" in flat


@pytest.mark.slow
def test_the_document_of_a_log_that_does_not_fit_follows_the_schema(tmp_path, capsys):
    document = json.loads(run(capsys, logged(tmp_path, capsys, falling), "--json")[1])
    assert document["inferred_fit"]["misfit"]["kind"] in ("slope", "jump")
    schema = json.loads(files("hoopwright.document").joinpath("schema.json").read_text(encoding="utf-8"))
    assert not list(jsonschema.Draft202012Validator(schema).iter_errors(document))


@pytest.mark.slow
def test_check_says_first_what_does_not_fit_and_doubts_what_a_log_does_not_bear_out(tmp_path, capsys):
    assert main(["check", logged(tmp_path, capsys, falling)]) == status.SOME_FAIL
    told = " ".join(capsys.readouterr().out.split())
    assert "contradicts the sizes and the friction given (its force falls" in told
    low = logged(tmp_path, capsys, lambda x: 0.66 + 0.0 * x)
    with open(low, "a", encoding="utf-8") as file:
        file.write('[demand]\naxial_force = "700 N"\n')  # holds by 6 % with the least friction
    main(["check", low, "--json"])
    rows = {row["id"]: row for row in json.loads(capsys.readouterr().out)["checks"]}
    assert (rows["pushed_out"]["state"], rows["pushed_out"]["doubt"]) == ("unresolved", READ_LESS)
    assert rows["pushed_out"]["margin"] > 0.0
    assert rows["shell_yields"]["doubt"] == ""


@pytest.mark.parametrize(
    ("press", "expected"),
    [
        ('log = "none.csv"', "no such log"),
        ('observed_gauge = "50 bar"', "ram"),
        ('observed_peak = "2 kN"\nlog = "a.csv"', "given as well as"),
        ('enters_from = "up"', "not a known side"),
        ('gauge_unit = "furlong"', "not a known gauge unit"),
        ("restart_ratio = 0.5", "at least 1"),
        ('[press.heat]\nclearance = "-1 um"', "above 0 mm"),
        ("[press.heat]\nwarmth = 1", "unknown key"),
    ],
)
def test_bad_input_is_one_line_and_no_traceback(tmp_path, capsys, press, expected):
    code, out, err = run(capsys, case(tmp_path, press=press))
    assert code == status.BAD_INPUT
    assert out == ""
    assert expected in err
    assert "Traceback" not in err
    assert len(err.strip().splitlines()) == 1


def test_with_exact_sizes_only_friction_is_inferred(tmp_path, capsys):
    path = tmp_path / "exact.toml"
    press = 'observed_peak = "2 kN"\ncalibration = "tested against dead weights"'
    text = short_bush("39.030 mm", more=f"[press]\n{press}\n")
    path.write_text("\n".join(line for line in text.splitlines() if "plus_minus" not in line))
    code, out, err = run(capsys, str(path), "--json")
    assert code in (status.ALL_HOLD, status.SOME_FAIL), err
    found = json.loads(out)["inferred_fit"]
    assert found["interference_um"]["low"] == pytest.approx(30.0, abs=0.01)
    assert found["interference_um"]["high"] == pytest.approx(30.0, abs=0.01)
    assert found["friction"]["high"] / found["friction"]["low"] < 1.4


def test_a_force_where_the_sleeve_should_be_free_is_reported(tmp_path, capsys):
    (tmp_path / "log.csv").write_text("travel [mm], force [kN]\n0.1, 0.5\n0.2, 0.9\n0.4, 1.0\n")
    code, out, _ = run(capsys, case(tmp_path, press='log = "log.csv"'))
    assert code == status.SOME_FAIL
    assert "where nothing should bear yet" in " ".join(out.split())


def test_a_figure_is_written_and_an_unknown_file_type_is_rejected(tmp_path, capsys):
    path = case(tmp_path, press='ram_diameter = "50 mm"\nobserved_peak = "2 kN"')
    code, _, _ = run(capsys, path, "--figure", str(tmp_path / "force.png"))
    assert code in (status.ALL_HOLD, status.SOME_FAIL)
    assert (tmp_path / "force.png").read_bytes().startswith(b"\x89PNG")
    with pytest.raises(SystemExit) as ended:
        main(["press", str(path), "--figure", str(tmp_path / "force.xyz")])
    assert ended.value.code == status.BAD_INPUT
    assert "force.xyz: not a figure that can be written; end the name in .png" in capsys.readouterr().err


def test_the_housing_demo_gives_a_press_plan(capsys):
    code, out, err = run(capsys, "cases/worn_bearing_housing.toml")
    assert code in (status.ALL_HOLD, status.SOME_FAIL), err
    assert "At the press" in out


def test_the_interval_from_the_invented_trike_log_covers_the_fit_it_was_made_with(capsys):
    """Made with 1.5 µm above the likely interference and a friction of 0.155."""
    _, out, _ = run(capsys, "cases/cargo_trike_crank_shell.toml", "--json")
    found = json.loads(out)["inferred_fit"]
    likely = 36.0
    assert found["interference_um"]["low"] < likely + 1.5 < found["interference_um"]["high"]
    assert found["friction"]["low"] < 0.155 < found["friction"]["high"]
