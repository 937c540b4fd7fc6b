"""A record as it lies on the disk: its results, its case file, and which files changed since."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoopwright.case.faults import one_line

LARGEST = 64 * 1024**2
"""Bytes of one file of a record that is read; a results.json takes a thousandth of it."""
RESULTS, SUMS = "results.json", "SHA256SUMS"


class RecordError(Exception):
    """A folder that is no record, or one that cannot be read: one line."""


@dataclass(frozen=True)
class Kept:
    """folder: of the record. results: of results.json. case: the case file. changed, missing: files that
    are not as SHA256SUMS has them. stranger: the case file is not the one whose digest results.json has."""

    folder: Path
    results: dict[str, Any]
    case: Path
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    stranger: bool


def read_record(folder: Path) -> Kept:
    """Raises RecordError where there is no record, or its results or case file are beyond reading."""
    folder = Path(folder)
    if not folder.is_dir():
        raise RecordError(f"{folder}: not a folder; give the folder of a record, e.g. records/my_case-001")
    if not (folder / RESULTS).exists():
        raise RecordError(f"{folder}: no {RESULTS} in it: not a record, or not a whole one")
    results = _results(folder / RESULTS)
    changed, missing = _sums(folder)
    case, stranger = _case(folder, results["case"].get("sha256"))
    return Kept(folder, results, case, changed, missing, stranger)


def _results(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(_bytes(path).decode("utf-8"), parse_constant=_no_number)
    except UnicodeDecodeError:
        raise RecordError(f"{path}: damaged or changed by hand: not UTF-8 text") from None
    except RecursionError:
        raise RecordError(f"{path}: damaged or changed by hand: nested too deeply") from None
    except ValueError as error:
        raise RecordError(f"{path}: damaged or changed by hand: not JSON: {one_line(str(error))}") from None
    parts = ("tool", "case", "record", "versions")
    if not isinstance(found, dict) or not all(isinstance(found.get(p), dict) for p in parts):
        raise RecordError(f"{path}: damaged or changed by hand: not the results of a record")
    return found


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _bytes(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST:
            raise RecordError(f"{path}: larger than {LARGEST // 1024**2} MB, not of a record")
        return path.read_bytes()
    except OSError as error:
        raise RecordError(f"{path}: cannot be read: {error.strerror or error}") from None


def _sums(folder: Path) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Files that differ from their digest, and files that are gone. A line that is none is passed over."""
    if not (folder / SUMS).exists():
        return (), (SUMS,)
    changed, missing = [], []
    for line in _bytes(folder / SUMS).decode("utf-8", "replace").splitlines():
        digest, _, name = line.partition("  ")
        path = folder / name
        if len(digest) != 64 or not name or folder.resolve() not in path.resolve().parents:
            changed.append(SUMS)
        elif not path.is_file():
            missing.append(name)
        elif hashlib.sha256(_bytes(path)).hexdigest() != digest:
            changed.append(name)
    return tuple(dict.fromkeys(changed)), tuple(missing)


def _case(folder: Path, digest: object) -> tuple[Path, bool]:
    """The file with the digest; else the only one that ends in .toml."""
    beside = sorted(p for p in folder.iterdir() if p.is_file() and p.name not in (RESULTS, SUMS))
    for path in beside:
        if path.stat().st_size <= LARGEST and hashlib.sha256(_bytes(path)).hexdigest() == digest:
            return path, False
    tables = [p for p in beside if p.suffix == ".toml"]
    if len(tables) != 1:
        raise RecordError(f"{folder}: no case file in it with the digest that {RESULTS} names")
    return tables[0], True
