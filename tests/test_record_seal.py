"""A record is the fixed set of its files, all sealed, and its pages are those of its results."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from dataclasses import fields
from pathlib import Path

import pytest
from record_cases import copy_record, results, written_record

from hoopwright import status
from hoopwright.cli import main
from hoopwright.record.file_names import PAGES, RESULTS, SUMS
from hoopwright.record.file_set import files_of
from hoopwright.record.files import sealed
from hoopwright.record.pages import record_pages
from hoopwright.record.pdf import pdf
from hoopwright.record.reader import read_record
from hoopwright.record.seal import seal_faults
from hoopwright.record.tied_pages import tied_pages


def demanded() -> tuple[str, ...]:
    return tuple(results()["files"])


def found_in(record: Path) -> dict[str, object]:
    """The faults of a record that are not empty, by name."""
    faults = seal_faults(read_record(record), demanded())
    return {f.name: value for f in fields(faults) if (value := getattr(faults, f.name))}


def reseal(record: Path) -> None:
    names = sorted(p.relative_to(record).as_posix() for p in record.rglob("*") if p.is_file())
    lines = (f"{hashlib.sha256((record / n).read_bytes()).hexdigest()}  {n}\n" for n in names if n != SUMS)
    (record / SUMS).write_text("".join(lines), encoding="utf-8")


def test_the_writer_writes_the_set_that_verify_demands():
    record = written_record()
    there = {p.relative_to(record).as_posix() for p in record.rglob("*") if p.is_file()}
    assert there == {*demanded(), SUMS}
    assert files_of(results(), "hub.toml", revolved=True) == demanded()
    assert set(demanded()) - set(files_of(results(), "hub.toml", revolved=False)) == {
        "service/laden-wheel.vtu"
    }
    assert found_in(record) == {}
    with pytest.raises(ValueError, match=r"not the files of this record: \['more'\]"):
        sealed({RESULTS: b"", "more": b""}, (RESULTS,))


def emptied(record):
    (record / SUMS).write_text("")


def shortened(record):
    lines = (record / SUMS).read_text().splitlines(keepends=True)
    (record / SUMS).write_text("".join(line for line in lines if "section" not in line))


def doubled(record):
    text = (record / SUMS).read_text()
    (record / SUMS).write_text(text + text.splitlines(keepends=True)[-1])


def added(record):
    (record / "notes.txt").write_text("it held")


def added_and_resealed(record):
    added(record)
    reseal(record)


def taken_out_and_resealed(record):
    (record / "figures" / "wall.svg").unlink()
    reseal(record)


def linked(record):
    shutil.move(record / "section.vtu", record.parent / "section.vtu")
    os.symlink(record.parent / "section.vtu", record / "section.vtu")


def without_sums(record):
    (record / SUMS).unlink()


def folder_added(record):
    (record / "drafts").mkdir()


DAMAGE = [
    (emptied, {"empty": True}),
    (shortened, {"not_sealed": ("figures/section.png", "figures/section.svg", "section.vtu")}),
    (doubled, {"repeated": ("service/laden-wheel.vtu",)}),
    (added, {"extra": ("notes.txt",)}),
    (added_and_resealed, {"extra": ("notes.txt",), "foreign": ("notes.txt",)}),
    (taken_out_and_resealed, {"missing": ("figures/wall.svg",)}),
    (linked, {"links": ("section.vtu",)}),
    (without_sums, {"missing": (SUMS,)}),
    (folder_added, {"extra": ("drafts/",)}),
]


@pytest.mark.parametrize(("damage", "faults"), DAMAGE, ids=[d.__name__ for d, _ in DAMAGE])
def test_a_file_that_lacks_or_is_too_many_or_is_not_sealed_is_named(damage, faults, tmp_path):
    """An emptied SHA256SUMS passed."""
    record = copy_record(tmp_path)
    damage(record)
    found = found_in(record)
    assert found.pop("changed", ()) in ((), (SUMS,))
    assert found == faults


def foreign(record):
    """Pages that some other program made."""
    (record / PAGES).write_bytes(b"%PDF-1.7\n%%EOF\n")


def of_another_record(record):
    shutil.copy(written_record("inch") / PAGES, record / PAGES)


def forged(record):
    """Pages that name the right results and say something else."""
    given = record_pages(
        results() | {"case": results()["case"] | {"title": "Sound hub"}}, hashes_of(record)
    )
    (record / PAGES).write_bytes(pdf(given, svgs(record)))


def with_another_figure(record):
    shutil.copy(record / "figures" / "section.svg", record / "figures" / "drawing.svg")


def with_a_broken_figure(record):
    (record / "figures" / "drawing.svg").write_text("<svg")


def hashes_of(record):
    names = ("hub.toml", "log.csv", RESULTS, "section.vtu")
    return {name: hashlib.sha256((record / name).read_bytes()).hexdigest() for name in names}


def svgs(record):
    return {p.stem: p.read_text(encoding="utf-8") for p in (record / "figures").glob("*.svg")}


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (foreign, "names no results.json"),
        (of_another_record, "names another results.json"),
        (forged, "when typeset again"),
        (with_another_figure, "when typeset again"),
        (with_a_broken_figure, "when typeset again"),
    ],
)
def test_pages_that_are_not_those_of_the_results_are_found_though_resealed(damage, words, tmp_path):
    """A foreign PDF passed once its checksum was written anew."""
    record = copy_record(tmp_path)
    assert tied_pages(read_record(record), demanded(), not_again="").fault == ""
    damage(record)
    reseal(record)
    assert found_in(record) == {}
    assert words in tied_pages(read_record(record), demanded(), not_again="").fault


def test_pages_of_another_typesetter_are_held_by_the_digest_they_name(tmp_path):
    record = copy_record(tmp_path)
    stored = read_record(record)
    assert tied_pages(stored, demanded(), not_again="typst 0.1 made it").untried == "typst 0.1 made it"
    foreign(record)
    assert "names no" in tied_pages(stored, demanded(), not_again="typst 0.1 made it").fault


@pytest.mark.slow
def test_verify_says_what_was_recomputed_and_what_only_hashed(tmp_path, capsys):
    record = copy_record(tmp_path)
    assert main(["verify", str(record)]) == status.ALL_HOLD
    text = capsys.readouterr().out
    assert "Recomputed from hub.toml and log.csv: results.json." in text
    assert "Typeset again from results.json and the figures: record.pdf." in text
    (hashed,) = (line for line in text.splitlines() if line.startswith("Only hashed: "))
    assert hashed.startswith("Only hashed: section.vtu, figures/ (")
    assert hashed.endswith("service/ (1 file).")
    assert "not who sealed them" in text
    foreign(record)
    emptied(record)
    added(record)
    assert main(["verify", str(record), "--json"]) == status.SOME_FAIL
    found = json.loads(capsys.readouterr().out)
    assert found["sums_empty"]
    assert found["extra_files"] == ["notes.txt"]
    assert "names no results.json" in found["pages_fault"]
    assert found["recomputed_files"] == [RESULTS]
