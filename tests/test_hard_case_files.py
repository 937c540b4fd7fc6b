"""Properties of the command over case files: valid ones exit as documented, others get plain lines."""

from __future__ import annotations

import contextlib
import gc
import io
import json
import tomllib
import uuid
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from strategies import LOG_NAME, TABLE, Document, mutated, pressed_with_log, toml, valid

from hoopwright import status
from hoopwright.case.faults import CaseError
from hoopwright.case.read import TABLES, parse_case
from hoopwright.cli import main

DOCUMENTED = {
    status.ALL_HOLD,
    status.SOME_FAIL,
    status.AS_FAR_AS_JUDGED,
    status.BAD_INPUT,
    status.NOT_SOLVED,
}
COLUMNS = 80

quiet = settings(
    deadline=None,
    database=None,
    derandomize=True,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
        HealthCheck.filter_too_much,
        HealthCheck.function_scoped_fixture,
    ],
)


def faults_of(text: str) -> list[str]:
    """Return the lines of the CaseError, each checked for form; [] for a case that is accepted."""
    try:
        parse_case(text, file="CASE.toml")
    except CaseError as error:
        lines = str(error).split("\n")
        for line in lines:
            assert line.startswith("CASE.toml"), line
            assert line.isprintable(), line
            assert len(line) <= 600, line
        return lines
    return []


def command(text: str, folder: Path, *words: str) -> tuple[int, str, str]:
    """Run a command on the text as a file; return status, output and errors."""
    path = folder / f"{uuid.uuid4().hex}.toml"
    path.write_text(text, encoding="utf-8")
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([words[0], str(path), *words[1:]])
    gc.collect()  # meshes and factors of a case refer to each other in cycles, and hundreds of cases follow
    return code, out.getvalue(), err.getvalue()


def strict(text: str) -> Any:
    """Parse strict JSON: NaN and Infinity are not allowed (RFC 8259)."""

    def refuse(name: str) -> None:
        raise AssertionError(f"{name} in JSON")

    return json.loads(text, parse_constant=refuse)


def ends_as_documented(text: str, folder: Path, *words: str) -> None:
    code, out, err = command(text, folder, *words)
    assert code in DOCUMENTED
    if code in (status.BAD_INPUT, status.NOT_SOLVED) and not out:
        assert 1 <= len(err.splitlines()) <= 41
        return
    if "--json" in words:
        assert strict(out)
    else:
        assert max(map(len, out.splitlines())) <= COLUMNS, max(out.splitlines(), key=len)


@given(valid())
@settings(quiet, max_examples=60)
def test_a_valid_file_is_accepted(document: Document) -> None:
    assert faults_of(toml(document)) == []


@given(mutated())
@settings(quiet, max_examples=150)
def test_a_mutated_file_is_accepted_or_gets_plain_error_lines(document: Document) -> None:
    text = toml(document)
    try:
        tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError):
        assert faults_of(text)
    else:
        faults_of(text)


@given(valid(loads=False), TABLE)
@settings(quiet, max_examples=60)
def test_any_toml_value_in_place_of_a_table_is_accepted_or_gets_plain_error_lines(
    document: Document, value: Any
) -> None:
    for section in TABLES[:6]:
        faults_of(toml({**document, section.keys.name: value}))


@pytest.mark.slow
@pytest.mark.parametrize("words", [("check",), ("check", "--json")])
def test_a_few_valid_files_exit_as_documented(tmp_path, words):
    @given(valid(loads=False))
    @settings(quiet, max_examples=2)
    def run(document: Document) -> None:
        ends_as_documented(toml(document), tmp_path, *words)

    run()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "examples"),
    [
        (("check",), 8),
        (("check", "--json"), 5),
        (("check", "--units", "inch"), 4),
        (("size",), 3),
        (("size", "--json"), 3),
        (("compare",), 3),
        (("press",), 3),
        (("press", "--json"), 3),
    ],
    ids=lambda v: " ".join(v) if isinstance(v, tuple) else str(v),
)
def test_valid_files_exit_as_documented(tmp_path, words, examples):
    @given(valid())
    @settings(quiet, max_examples=examples)
    def run(document: Document) -> None:
        ends_as_documented(toml(document), tmp_path, *words)

    run()


@pytest.mark.slow
def test_valid_files_with_a_press_log_exit_as_documented(tmp_path):
    @given(pressed_with_log())
    @settings(quiet, max_examples=4)
    def run(example: tuple[Document, str]) -> None:
        document, log = example
        (tmp_path / LOG_NAME).write_text(log, encoding="utf-8")
        ends_as_documented(toml(document), tmp_path, "press")

    run()


@pytest.mark.slow
def test_mutated_files_that_are_accepted_exit_as_documented(tmp_path):
    @given(mutated())
    @settings(quiet, max_examples=8)
    def run(document: Document) -> None:
        text = toml(document)
        assume(not faults_of(text))
        ends_as_documented(text, tmp_path, "check")

    run()
