"""Read a record folder back: its results, its case file, and the files that fail their checksum."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoopwright.errors import RecordError, one_line
from hoopwright.record.case_inputs import materials_name
from hoopwright.record.file_names import RESULTS, SUMS

MAX_BYTES = 64 * 1024**2
"""Size limit in bytes of a file that is read; a results.json takes about a thousandth of it."""


@dataclass(frozen=True)
class StoredRecord:
    """A record read from disk.

    results: content of results.json. case: path of the case file. changed, missing: files that differ from
    SHA256SUMS or are absent. listed: paths in SHA256SUMS, line by line. case_mismatch: the case file is not
    the one whose digest is in results.json.
    """

    folder: Path
    results: dict[str, Any]
    case: Path
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    listed: tuple[str, ...]
    case_mismatch: bool


def read_record(folder: Path) -> StoredRecord:
    """Read the record in `folder` and verify its checksums.

    Raises RecordError where it is not a record, or its results or case file cannot be read.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise RecordError.at(
            folder, "not a folder", "give the folder of a record, e.g. records/my_case-001"
        )
    if not (folder / RESULTS).exists():
        raise RecordError.at(folder, f"no {RESULTS} in it: not a record, or an incomplete one")
    results = _read_results(folder / RESULTS)
    changed, missing, listed = _check_sums(folder)
    case, case_mismatch = _find_case(folder, results["case"].get("sha256"), materials_name(results))
    return StoredRecord(folder, results, case, changed, missing, listed, case_mismatch)


def _read_results(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(read_bytes(path).decode("utf-8"), parse_constant=_reject_constant)
    except UnicodeDecodeError:
        raise RecordError.at(path, "damaged or changed by hand: not UTF-8 text") from None
    except RecursionError:
        raise RecordError.at(path, "damaged or changed by hand: nested too deeply") from None
    except ValueError as error:
        raise RecordError.at(
            path, f"damaged or changed by hand: not JSON: {one_line(str(error))}"
        ) from None
    parts = ("tool", "case", "record", "versions")
    if not isinstance(found, dict) or not all(isinstance(found.get(p), dict) for p in parts):
        raise RecordError.at(path, "damaged or changed by hand: not the results of a record")
    return found


def _reject_constant(word: str) -> float:
    raise ValueError(f"{word} is not a number in JSON")


def read_bytes(path: Path) -> bytes:
    """Content of a file of a record. Raises RecordError where it is too large or cannot be read."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise RecordError.at(path, f"larger than {MAX_BYTES // 1024**2} MB, so not a file of a record")
        return path.read_bytes()
    except OSError as error:
        raise RecordError.at(path, f"cannot be read: {error.strerror or error}") from None


def _check_sums(folder: Path) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Files that differ from their digest, files that are absent, and all that are listed.

    A malformed line, or one that names a path outside the folder, counts as a change of SHA256SUMS.
    """
    if not (folder / SUMS).exists():
        return (), (SUMS,), ()
    changed, missing, listed = [], [], []
    for line in read_bytes(folder / SUMS).decode("utf-8", "replace").splitlines():
        digest, _, name = line.partition("  ")
        path = folder / name
        listed.append(name)
        if len(digest) != 64 or not name or folder.resolve() not in path.resolve().parents:
            changed.append(SUMS)
            listed.pop()
        elif not path.is_file():
            missing.append(name)
        elif hashlib.sha256(read_bytes(path)).hexdigest() != digest:
            changed.append(name)
    return tuple(dict.fromkeys(changed)), tuple(missing), tuple(listed)


def _find_case(folder: Path, digest: object, materials: tuple[str, ...]) -> tuple[Path, bool]:
    """The file with the digest, else the only .toml but the file of materials; and whether it is the
    latter."""
    candidates = sorted(p for p in folder.iterdir() if p.is_file() and p.name not in (RESULTS, SUMS))
    for path in candidates:
        if path.stat().st_size <= MAX_BYTES and hashlib.sha256(read_bytes(path)).hexdigest() == digest:
            return path, False
    toml_files = [p for p in candidates if p.suffix == ".toml" and p.name not in materials]
    if len(toml_files) != 1:
        raise RecordError.at(folder, f"no case file in it with the digest that {RESULTS} names")
    return toml_files[0], True
