"""Values set by the page read back as typed, and what a user wrote round them stays."""

from __future__ import annotations

import re
import tomllib

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

pytest.importorskip("tomlkit")

from hoopwright.case.read import CASE, parse_case
from hoopwright.errors import CaseError
from hoopwright.page.edit import EditError, edited
from hoopwright.page.paths import path_of, path_to, place_of
from hoopwright.page.values import bare_unit
from hoopwright.starters import PIECES, starter_text

CRANK, PLAIN = starter_text("crank-shell"), starter_text("plain")
QUICK = settings(max_examples=12, deadline=None)
COMMENT = re.compile(r"(?m)(?:^|\s)# .*$")
"""Comments for people; a # without a space behind it switches a line off."""


def edit(text, path, typed, system="metric"):
    return edited(text, [(path, typed)], system, file="mine.toml")


def value_at(text, path):
    at = tomllib.loads(text)
    for step in place_of(path).steps:
        at = at[step]
    return at


def comments(text):
    return [found.strip() for found in COMMENT.findall(text)]


def lines_changed(before, after):
    """Lines that are gone and lines that are new."""
    gone, new = before.splitlines(), after.splitlines()
    for line in list(gone):
        if line in new:
            gone.remove(line)
            new.remove(line)
    return gone, new


def declared_paths():
    """A path of every key that a case may have: in the first entry of a list, under a name of one's own."""

    def walk(table, steps):
        for key in table.keys:
            name = "my own.name" if key.name == "NAME" else key.name
            yield path_to(*steps, name), key
        for below in table.tables:
            name = "my own.name" if below.name == "NAME" else below.name
            yield from walk(below, (*steps, name, 0) if below.rows else (*steps, name))

    return list(walk(CASE, ()))


def test_every_key_of_a_case_can_be_set_and_is_there_afterwards():
    """From an empty file: each in its own table, made where it is missing."""
    paths = declared_paths()
    assert len(paths) > 200
    for path, key in paths:
        text = edit("", path, "7")
        found = value_at(text, path)
        unit = bare_unit(key, "metric")
        if key.kind in ("number", "integer"):
            assert found == 7
        elif key.kind == "limits":
            assert found == [f"7 {unit}"]
        else:
            assert found == (f"7 {unit}" if unit else "7"), path


@given(st.sampled_from([*PIECES]), st.sampled_from(declared_paths()), st.text(max_size=40))
@example("crank-shell", ("title", None), 'x"\n[shell]\nwidth = "1 mm"\n#')
@example("plain", ("job.notes", None), "'''\"\"\"\\u0041\x7f\x00\u2028")
@example("crank-shell", ("shell.width", None), "8\r0")
@example("hub", ("preset.use", None), "<script>alert(1)</script>")
@QUICK
def test_whatever_is_typed_is_a_value_and_nothing_more(piece, path_and_key, typed):
    """Either it is the value there and all else is as it was, comments too; or nothing is done."""
    text, path = starter_text(piece), path_and_key[0]
    try:
        after = edit(text, path, typed)
    except EditError:
        return
    if typed.strip():
        value = value_at(after, path)
        wanted = typed.replace("\r\n", "\n").replace("\r", "\n").strip()
        assert isinstance(value, list | int | float) or value in (wanted, *(f"{wanted} {u}" for u in UNITS))
        assert comments(after) == comments(text)
    before_tables, after_tables = tomllib.loads(text), tomllib.loads(after)
    first = place_of(path).steps[0]
    before_tables.pop(first, None), after_tables.pop(first, None)
    assert after_tables == before_tables


UNITS = {bare_unit(key, "metric") for _, key in declared_paths()}


def lie_apart(chosen):
    """Whether none of the keys is the table of another: a thread is a text or a table, not both."""
    paths = [path for path, _ in chosen]
    return not any(one.startswith((f"{other}.", f"{other}[")) for one in paths for other in paths)


def test_a_key_within_another_that_holds_a_value_is_refused():
    with pytest.raises(EditError, match="a value stands where its table would be"):
        edit(edit(PLAIN, "sleeve.bore[0].thread", "8"), "sleeve.bore[0].thread.major", "8")


@given(st.lists(st.sampled_from(declared_paths()), min_size=1, max_size=3).filter(lie_apart), st.booleans())
@example([(path, None) for path in ("fatigue.surface", "cups.thread_friction_low", "preset.use")], False)
@example([(path, None) for path in ("shell.outside[0].from", "shell.outside[0].readings[0].z")], True)
@QUICK
def test_setting_and_taking_away_keeps_every_comment_and_the_order_of_lines(chosen, windows):
    text = PLAIN.replace("\n", "\r\n") if windows else PLAIN
    for typed in ("8", ""):
        for path, _ in chosen:
            text = edit(text, path, typed)
    assert comments(text) == comments(PLAIN)
    assert text.count("\n") == (text.count("\r\n") if windows else text.count("\n"))
    stays = iter(text.splitlines())
    names = {str(place_of(path).steps[-1]) for path, _ in chosen}
    for line in PLAIN.splitlines():
        if line and not line.startswith("#[") and re.split(r"[ =]", line.lstrip("#"))[0] not in names:
            assert line in stays, line


def test_value_is_exchanged_where_it_stands():
    after = edit(CRANK, "shell.least_wall", "3.1")
    gone, new = lines_changed(CRANK, after)
    assert len(gone) == len(new) == 1
    assert new[0].startswith('least_wall = "3.1 mm"')
    assert new[0].partition("#")[2] == gone[0].partition("#")[2]


def test_value_taken_away_is_switched_off_and_on_again_in_its_line():
    off = edit(CRANK, "shell.least_wall", "")
    assert '\n#least_wall = "2.5 mm"  ' in off
    assert edit(off, "shell.least_wall", "2.5 mm").replace(" ", "") == CRANK.replace(" ", "")


def test_what_a_starter_has_switched_off_is_switched_on_there():
    after = edit(CRANK, "preset.use", "city")
    gone, new = lines_changed(CRANK, after)
    assert new[0] == "[preset]" == gone[0][1:]
    assert new[1] == gone[1][1:]


def test_new_key_stands_in_the_order_of_its_table_and_a_new_table_in_that_of_a_case():
    after = edit(CRANK, "shell.bored", "true")
    assert after.index("bore_plus_minus") < after.index("bored = true") < after.index("least_wall")
    text = '[shell]\nwidth = "73 mm"\n\n# the sleeve\n\n[sleeve]\nlength = "73 mm"\n'
    assert edit(text, "fit.friction_low", "0.1").endswith("\n[fit]\nfriction_low = 0.1\n")
    between = edit(text, "boring.bore_now", "35")
    assert edit(text, "job.piece", "a").index("[job]") < text.index("[shell]") + 8
    assert value_at(between, "boring.bore_now") == "35 mm"


def test_entries_of_lists_are_found_by_their_place():
    assert value_at(edit(CRANK, "sleeve.bore[1].diameter", "36"), "sleeve.bore[1].diameter") == "36 mm"
    more = edit(CRANK, "sleeve.bore[3].from", "73")
    assert len(tomllib.loads(more)["sleeve"]["bore"]) == 4
    assert more.index('from = "73 mm"') < more.index("[demand]")
    assert len(tomllib.loads(edit(CRANK, "sleeve.bore[1]", ""))["sleeve"]["bore"]) == 2
    with pytest.raises(EditError, match="the list has 3 entries"):
        edit(CRANK, "sleeve.bore[5].from", "73")


@pytest.mark.parametrize(
    ("path", "typed", "system", "value"),
    [
        ("shell.width", "80", "metric", "80 mm"),
        ("shell.width", " 3.150 ", "inch", "3.150 in"),
        ("shell.width", "3 5/32", "inch", "3 5/32 in"),
        ("shell.width", "80 mm", "inch", "80 mm"),
        ("shell.bore_plus_minus", "5", "metric", "5 um"),
        ("shell.bore_plus_minus", "0.2", "inch", "0.2 thou"),
        ("temperatures.use_least", "−5", "metric", "-5 degC"),
        ("cups.thread_friction_low", "0.10", "metric", 0.1),
        ("shell.bored", "true", "metric", True),
        ("title", "80", "metric", "80"),
        ("shell.width", "eighty", "metric", "eighty"),
    ],
)
def test_bare_number_has_the_unit_of_its_key(path, typed, system, value):
    assert value_at(edit(CRANK, path, typed, system), path) == value


@pytest.mark.parametrize(
    "path",
    [
        "",
        ".",
        "shell",
        "shell.nothing",
        "shell..width",
        "../x",
        "shell.bore.diameter",
        "title[0]",
        "x" * 999,
    ],
)
def test_path_that_no_case_has_is_refused(path):
    with pytest.raises(EditError):
        edit(CRANK, path, "1")


def test_text_that_is_not_toml_is_not_edited():
    with pytest.raises(CaseError, match="not TOML"):
        edit("[shell\n", "shell.width", "1")


def test_value_that_only_looks_switched_off_is_left_alone():
    """A text of several lines may hold what looks like a table and a switched-off key."""
    text = '[job]\nnotes = """\n[shell]\n#width = "1 mm"\n"""\n\n[shell]\nmaterial = "6061-T6"\n'
    after = edit(text, "shell.width", "2")
    assert value_at(after, "job.notes") == value_at(text, "job.notes")
    assert value_at(after, "shell.width") == "2 mm"


def test_value_whose_comments_would_go_with_it_is_left_to_an_editor():
    text = '[[sleeve.bore]]\n[sleeve.bore.thread.limits]\nminor = [\n  "1 mm",  # {0}\n  "2 mm",\n]\n'
    path = "sleeve.bore[0].thread.limits.minor"
    with pytest.raises(EditError, match="would take the comment # measured on a Friday with it; change it"):
        edit(text.format("measured on a Friday"), path, "1.1, 2.1")
    assert value_at(edit(text.replace("  # {0}", ""), path, "1.1, 2.1"), path) == ["1.1 mm", "2.1 mm"]


def test_mark_at_the_beginning_of_a_file_stays():
    assert edit("\ufeff" + CRANK, "title", "x").startswith("\ufeff#")


@pytest.mark.parametrize(
    "path", ["shell.width", "shell.outside_diameter", "sleeve.bore[1].diameter", "cups.left.engaged_length"]
)
def test_fault_is_found_by_the_path_of_its_value(path):
    with pytest.raises(CaseError) as caught:
        parse_case(edit(CRANK, path, "much"))
    assert {path_of(fault) for fault in caught.value.faults} == {path}


def test_a_table_taken_away_is_switched_off_with_what_is_written_beside_it():
    plain = 'title = "Invented boss"\n'
    table = '[compound]\nshear_strength = "20 MPa"  # data sheet\nsource = "mine"\n'
    text = f"{plain}\n# what was used\n{table}"
    without = edit(text, "compound", "")
    assert tomllib.loads(without) == tomllib.loads(plain)
    assert '#shear_strength = "20 MPa"  # data sheet' in without
    again = edit(without, "compound.shear_strength", "18")
    assert tomllib.loads(again)["compound"] == {"shear_strength": "18 MPa"}
    assert '[compound]\nshear_strength = "18 MPa"  # data sheet' in again


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_list_taken_away_is_switched_off_with_what_is_written_beside_its_entries(end):
    rows = (
        '  { z = "1 mm", values = "2 mm" },  # "a ] [ b"\n\n  # then\n  { z = "3 mm", values = "4 mm" },\n'
    )
    text = f'[[shell.bore]]\nto = "1 mm"\nreadings = [\n{rows}]  # so\nfrom = "0 mm"\n'.replace("\n", end)
    off = rows.replace("{", "#{")
    assert edit(text, "shell.bore[0].readings", "") == (
        f'[[shell.bore]]\nto = "1 mm"\n#readings = [\n{off}#]  # so\nfrom = "0 mm"\n'.replace("\n", end)
    )
    line = '[[shell.bore]]\nreadings = [{ z = "1 mm", values = "2 mm" }]  # once\n'
    assert edit(line, "shell.bore[0].readings", "") == line.replace("readings", "#readings")


def test_a_table_is_no_value():
    with pytest.raises(EditError, match="a table, not a value"):
        edit(PLAIN, "compound", "yes")


def test_readings_stay_with_their_land_in_whatever_form_the_file_has_them():
    first = '[[shell.bore]]\nto = "1 mm"\n[[shell.bore.readings]]\nz = "5 mm"\n# seen\n'
    text = first + '[[shell.bore]]\nto = "2 mm"\n'
    made = edited(
        text,
        [("shell.bore[0].readings[1].z", "7"), ("shell.bore[1].readings[0].z", "9")],
        "metric",
        file="",
    )
    bores = tomllib.loads(made)["shell"]["bore"]
    assert [[row["z"] for row in bore["readings"]] for bore in bores] == [["5 mm", "7 mm"], ["9 mm"]]
    assert "# seen" in made
