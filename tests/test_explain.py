"""hoopwright explain: what is said of a row is what the row works with, and every reference is there."""

import ast
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from cells import cell_of
from pypdf import PdfReader
from stopped_cases import loaded_flange

from hoopwright.case.model import Factors
from hoopwright.case.read import parse_case, read_case
from hoopwright.checks import CHECKS, STAGES_OF, evidence_of, judged
from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.drops_in import drops_in
from hoopwright.checks.fatigue import sleeve_fatigue_sines, sleeve_fatigue_walker
from hoopwright.checks.sleeve_loads import cup_moves
from hoopwright.checks.stop_yields import stop_yields
from hoopwright.checks.yields import sleeve_yields
from hoopwright.cli import main
from hoopwright.discretisation import usual_resolution
from hoopwright.explanations import LABELS, explanations, mechanics, row_named
from hoopwright.fem import Resolution
from hoopwright.materials import table
from hoopwright.record.formula import typeset, typeset_symbol
from hoopwright.starters import starter_text
from hoopwright.strength import allowable
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS, ByHand, Sheet, Working, evaluate, symbols_of
from hoopwright.working.closing import FACTOR_SOURCES
from hoopwright.working.cup_loads import add_cup
from hoopwright.working.strength import add_strength

TESTS = Path(__file__).parent
TRIKE = TESTS.parent / "cases" / "cargo_trike_crank_shell.toml"
BY_ID = {row.id: row for row in explanations()}


def evidence_for(case):
    return evidence_of(case, CaseStudy(case, usual_resolution(case)))


@pytest.fixture(scope="module")
def rows():
    """(row, its working) of a starter, of the demo trike fitted dry, of its sleeve in a metal with two
    equations of its life, and of a sleeve that slips in."""
    found, trike = [], replace(read_case(TRIKE), compound=None)
    for case in (parse_case(starter_text("plain")), trike):
        evidence = evidence_for(case)
        found += [
            (row, WORKINGS[row.id](evidence, row))
            for row in judged(evidence)
            if row.demand is not None or row.capacity is not None
        ]
    two_equations = dry_in_4130(evidence)
    found += [
        (row, WORKINGS[row.id](two_equations, row))
        for row in (sleeve_fatigue_sines(two_equations), sleeve_fatigue_walker(two_equations))
    ]
    uneven = with_uneven_sleeve(evidence)
    row = sleeve_yields(uneven)
    in_use = cell_of(row, "in use")
    assert (row.stage, bool(in_use.when.load_case)) == ("entering", True)
    found += [(one, WORKINGS["sleeve_yields"](uneven, one)) for one in (row, in_use)]
    found += [(stop_yields(one), WORKINGS["stop_yields"](one, stop_yields(one))) for one in stopped()]
    case = parse_case(with_pilot(starter_text("plain")))
    piloted = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=1)))
    row = bore_closure(piloted)
    found.append((row, WORKINGS[row.id](piloted, row)))
    hot = evidence_for(parse_case(slipped(starter_text("plain"))))
    row = drops_in(hot)
    return [*found, (row, WORKINGS[row.id](hot, row))]


def stopped():
    """A flange whose root governs, and one whose face does, under a demand, a load and a cup."""
    for thickness in ("1 mm", "15 mm"):
        yield evidence_for(parse_case(loaded_flange(thickness)))


def dry_in_4130(evidence):
    """The strength of another metal on the same solutions, on a seat that slips and is accepted."""
    case = evidence.case
    return replace(
        evidence,
        case=replace(
            case,
            sleeve_material=table()["4130 steel"],
            fatigue=replace(case.fatigue, sleeve=None),
            service=replace(case.service, micro_slip_accepted=True),
        ),
    )


def with_uneven_sleeve(evidence):
    """The same solutions with a sleeve whose drawing lets its bores be off centre and larger."""
    allowed = replace(evidence.case.drawing.sleeve, bore_runout=0.1, thread_runout=0.1, bore_plus_minus=0.1)
    drawing = replace(evidence.case.drawing, sleeve=allowed)
    return replace(evidence, case=replace(evidence.case, drawing=drawing))


def with_pilot(text):
    """A case whose pusher fits its bore closely, and so is what limits how far that may close."""
    return text.replace("\n[press]", '\n[press]\npilot_diameter = "33.99 mm"')


def slipped(text):
    """A case whose sleeve slips into a hot shell in place of being pushed."""
    return text.replace("\n[press]", '\n[press]\nmethod = "heat"')


@pytest.fixture(scope="module")
def cups():
    """The workings of every cup tightened and undone, as in the trike, with flanges on the shell, and with
    no torque given that undoes it."""
    case = read_case(TRIKE)
    on_shell = replace(case, cups=replace(case.cups, flange_on_shell=True))
    loose = {side: replace(cup, removing_torque=None) for side, cup in case.cups.sides}
    free = replace(on_shell, cups=replace(on_shell.cups, **loose))
    found = []
    for one in (case, on_shell, free):
        for load in cup_moves(one, 1000.0):
            sheet = Sheet()
            add_cup(sheet, one, load.cup, load.torque)
            found.append(sheet.lines)
    return found


@pytest.fixture(scope="module")
def heated():
    """What is left of a metal in the oven, and after it."""
    oven = replace(parse_case(starter_text("plain")).temperatures, oven=170.0)
    case = replace(parse_case(starter_text("plain")), temperatures=replace(oven, oven=185.0))
    hot = replace(case, temperatures=oven)
    sheets = []
    for one, stage, rise in ((case, "in use", 0.0), (hot, "oven", 170.0)):
        sheet = Sheet()
        add_strength(sheet, allowable(one, "shell", stage, z=None, direction="any", rise=rise))
        sheets.append(sheet.lines)
    return sheets


def is_meant(symbol, meaning):
    """Whether a line of a working with this meaning is of this symbol."""
    pattern = ".+".join(map(re.escape, symbol.meaning.split("; ")[0].split("…")))
    return re.fullmatch(pattern, meaning.split("; ")[0]) is not None


def follow(block, lines, seen):
    """Hold the formulae of a block against the lines of a working that have its symbols; note in `seen`
    the symbols met and the formulae that gave the value of their line."""
    by_symbol, symbols = {line.symbol: line for line in lines}, {one.symbol: one for one in block.symbols}
    for one in block.symbols:
        line = by_symbol.get(one.symbol)
        if line is not None:
            assert is_meant(one, line.meaning), (one, line)
            assert one.unit == line.unit, (one, line)
            seen.add(one)
    values = {s: one.neutral for s, one in symbols.items() if one.neutral is not None}
    values |= {symbol: line.value for symbol, line in by_symbol.items()}
    judged_here = {}
    for formula in block.formulae:
        used = symbols_of(formula.expression)
        if formula.symbol in by_symbol and used <= set(values) and used & set(by_symbol):
            agrees = evaluate(formula.expression, values) == pytest.approx(
                by_symbol[formula.symbol].value, rel=1e-9
            )
            judged_here.setdefault(formula.symbol, []).append((formula, agrees))
    for symbol, found in judged_here.items():
        assert any(agrees for _, agrees in found), (symbol, found)
        seen.update(formula for formula, agrees in found if agrees)


def test_every_row_is_explained_and_nothing_else():
    assert {check.__name__ for check in CHECKS} == set(BY_ID)
    assert len(BY_ID) == len(explanations())


def test_title_stages_unit_and_factor_are_those_of_the_row(rows):
    for row, _ in rows:
        said = BY_ID[row.id]
        assert (said.title, said.unit) == (row.title, row.unit)
    for said in explanations():
        assert said.stages == STAGES_OF[said.id]
        assert said.factor == FACTOR_SOURCES.get(said.id, "")


def test_every_formula_is_that_of_the_working_in_its_own_symbols(rows, cups, heated):
    seen = set()
    for row, working in rows:
        for block in BY_ID[row.id].blocks:
            if block.by_hand:
                assert working.by_hand is not None, row.id
            lines = working.by_hand.lines if block.by_hand else working.lines
            follow(block, lines, seen)
    for said in explanations():
        for block in said.blocks[1:]:
            if not block.by_hand:
                for lines in (*cups, *heated):
                    follow(block, lines, seen)
    missing = {
        (said.id, one)
        for said in explanations()
        for block in said.blocks
        for one in (*block.formulae, *block.symbols)
        if one not in seen
    }
    assert not missing


@pytest.mark.parametrize("said", explanations(), ids=lambda said: said.id)
def test_every_symbol_of_a_formula_is_explained_and_no_other(said):
    for block in said.blocks:
        used = {s for one in block.formulae for s in symbols_of(one.expression) | {one.symbol}}
        assert used == {one.symbol for one in block.symbols}
        assert len(used) == len(block.symbols)


def test_a_row_has_a_formula_by_hand_where_its_working_has_one(rows):
    for row, working in rows:
        assert any(block.by_hand for block in BY_ID[row.id].blocks) == (working.by_hand is not None), row.id


def test_the_mechanics_show_no_formula_of_their_own():
    of_rows = {f.expression for row in explanations() for block in row.blocks for f in block.formulae}
    shown = [f for chapter in mechanics() if chapter.block for f in chapter.block.formulae]
    assert len(shown) > 6
    assert {formula.expression for formula in shown} <= of_rows


def test_a_formula_or_a_meaning_that_drifts_is_found(rows):
    row, working = next(one for one in rows if one[0].id == "press_force")
    said = BY_ID["press_force"].blocks[0]
    wrong = replace(said, formulae=(replace(said.formulae[1], expression="μ_h * N"),))
    with pytest.raises(AssertionError):
        follow(wrong, working.lines, set())
    other = [replace(one, meaning="low friction") if one.symbol == "μ_h" else one for one in said.symbols]
    with pytest.raises(AssertionError):
        follow(replace(said, symbols=tuple(other)), working.lines, set())
    assert isinstance(working, Working)
    assert isinstance(working.by_hand, ByHand)
    assert row.margin is not None


@pytest.mark.parametrize("said", explanations(), ids=lambda said: said.id)
def test_nothing_is_left_empty_and_every_source_has_its_label(said):
    assert min(map(len, (said.fails, said.looks))) > 60
    assert said.validity
    assert said.left_out
    assert said.sources
    assert {source.label for source in said.sources} <= set(LABELS)


@pytest.mark.parametrize("said", [one for one in explanations() if one.factor], ids=lambda said: said.id)
def test_the_factor_among_its_sources_is_the_default(said):
    key = "yielding" if said.factor == "yield" else said.factor
    assert any(one.what.startswith(f"factor {getattr(Factors(), key):g} on ") for one in said.sources)


def functions_of(file):
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("said", explanations(), ids=lambda said: said.id)
def test_the_tests_it_names_are_there(said):
    assert said.tests
    for name in said.tests:
        file, _, function = name.partition("::")
        assert function in functions_of(file), name


def test_all_rows_fit_eighty_columns_and_nothing_is_left_of_the_pattern(capsys):
    assert main(["explain", "--all"]) == 0
    shown = capsys.readouterr().out
    assert max(map(len, shown.splitlines())) <= 80
    assert all(said.title in shown for said in explanations())
    assert "**" not in shown


def test_without_a_row_all_are_listed(capsys):
    assert main(["explain"]) == 0
    shown = capsys.readouterr().out
    assert all(said.title in shown for said in explanations())
    assert len(shown.splitlines()) < 30


@pytest.mark.parametrize(
    "words", ["shell yields", "shell_yields", "Shell-Yields", "shell fatigue (Sines)", "pushed out"]
)
def test_a_row_is_found_by_title_name_or_words(words, capsys):
    assert main(["explain", *words.split()]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith(row_named(words, explanations()).title)
    for heading in ("What fails", "How it looks", "Formula", "Range", "Left out", "Sources", "Tests"):
        assert heading in shown


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["explain", "rust"], "no row is 'rust'; write one of: shell yields"),
        (["explain", "yields"], "several rows are 'yields'; write one of: shell yields, sleeve yields"),
        (["explain", "--out", "manual.pdf"], "add --all"),
        (["explain", "turned", "--all"], "leave one of them out"),
    ],
)
def test_what_is_wrong_is_one_line(arguments, said, capsys):
    assert main(arguments) == 2
    written = capsys.readouterr()
    assert not written.out
    assert len(written.err.splitlines()) == 1
    assert said in written.err


def test_json_has_the_whole_row(capsys):
    assert main(["explain", "turned", "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["rows"]
    assert (row["id"], row["factor"], row["unit"]) == ("turned", "holding", "N*m")
    assert {"symbol": "H", "expression": "μ * N", "where": ""} in row["formulae"][0]["formulae"]
    assert row["sources"][0]["label"] in LABELS


@pytest.mark.parametrize(
    ("expression", "mathematics"),
    [
        ("a - (b - c)", "a - (b - c)"),
        ("(a + b) * c", "(a + b) dot.op c"),
        ("a / (b * c)", "frac(a, b dot.op c)"),
        ("(a / b)**2", "(frac(a, b))^(2)"),
        ("-2 * a", "- 2 dot.op a"),
        ("a * (-b)", "a dot.op (- b)"),
        ("N**(1 / k)", "N^(1 slash k)"),
        ("max(0, μ_h) / sqrt(3)", 'frac(max(0, μ_upright("h")), sqrt(3))'),
        ("10**(log10(N))", "10^(log_10 (N))"),
        ("tan_λ + ΔT", 'tan λ + italic("ΔT")'),
    ],
)
def test_mathematics_groups_as_the_expression_does(expression, mathematics):
    assert typeset(expression) == mathematics


def test_words_stand_upright_and_an_index_of_an_index_behind_a_comma():
    assert typeset_symbol("demand") == 'upright("demand")'
    assert typeset_symbol("σ_r_1") == 'σ_upright("r,1")'


@pytest.mark.slow
def test_the_manual_has_every_row_and_the_repair_as_check_gives_it(tmp_path, capsys):
    file = tmp_path / "manual.pdf"
    assert main(["explain", "--all", "--out", str(file)]) == 0
    assert str(file) in capsys.readouterr().err
    pages = [page.extract_text() for page in PdfReader(file).pages]
    assert "The mechanics in two pages" in pages[0]
    assert "One repair, worked" in pages[2]
    whole = " ".join(" ".join(pages).split())
    for said in explanations():
        assert said.id in whole
        assert " ".join(said.fails.split()) in whole
    case = tmp_path / "plain.toml"
    case.write_text(starter_text("plain"), "utf-8")
    main(["check", str(case), "--json"])
    d = json.loads(capsys.readouterr().out)
    assert d["verdict"] in whole
    for row in d["checks"]:
        assert f"{row['title']} {row['margin']:+.2f}" in whole
    again = tmp_path / "again.pdf"
    assert main(["explain", "--all", "--out", str(again)]) == 0
    assert again.read_bytes() == file.read_bytes()
    assert main(["explain", "--all", "--out", str(again)]) == 4
    assert "already exists" in capsys.readouterr().err


def test_the_manual_is_a_pdf(tmp_path, capsys):
    assert main(["explain", "--all", "--out", str(tmp_path / "manual.txt")]) == 4
    assert "end the name in .pdf" in capsys.readouterr().err
