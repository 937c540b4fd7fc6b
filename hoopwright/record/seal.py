"""Hold the files of a record against their fixed set and their checksums."""

from __future__ import annotations

import hashlib
import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from hoopwright.record.file_names import SUMS
from hoopwright.record.reader import StoredRecord, read_bytes


@dataclass(frozen=True)
class SealFaults:
    """What is wrong with the files of a record, by path.

    changed: other than their checksum says. missing, extra: of the fixed set, or not of it. links: no plain
    files. not_sealed: of the set and there, but not in SHA256SUMS. repeated, foreign: in SHA256SUMS more
    than once, or though not of the set. empty: whether SHA256SUMS lists nothing.
    """

    changed: tuple[str, ...]
    missing: tuple[str, ...]
    extra: tuple[str, ...]
    links: tuple[str, ...]
    not_sealed: tuple[str, ...]
    repeated: tuple[str, ...]
    foreign: tuple[str, ...]
    empty: bool

    @property
    def any(self) -> bool:
        return any(getattr(self, field.name) for field in fields(self))


def seal_faults(stored: StoredRecord, demanded: Sequence[str]) -> SealFaults:
    """The faults of a record. demanded: paths of all its files but SHA256SUMS."""
    there, links = _entries(stored.folder)
    whole, listed = {*demanded, SUMS}, Counter(stored.listed)
    sums = SUMS in there
    return SealFaults(
        changed=stored.changed,
        missing=tuple(sorted(whole - there - links)),
        extra=tuple(sorted((there | links) - whole)),
        links=tuple(sorted(links & whole)),
        not_sealed=tuple(sorted((set(demanded) & there) - set(listed))) if listed else (),
        repeated=tuple(sorted(name for name, count in listed.items() if count > 1)),
        foreign=tuple(sorted(set(listed) - set(demanded))),
        empty=sums and not listed,
    )


def digest(folder: Path, name: str) -> str:
    """SHA-256 of a file of a record, in hexadecimal."""
    return hashlib.sha256(read_bytes(folder / name)).hexdigest()


def _entries(folder: Path) -> tuple[set[str], set[str]]:
    """Files and empty folders in a folder, and what is a link, by path with "/" between."""
    plain, links = set(), set()
    for root, folders, names in os.walk(folder):
        if not folders and not names:
            plain.add(Path(root).relative_to(folder).as_posix() + "/")
        for name in (*folders, *names):
            path = Path(root, name)
            if path.is_symlink():
                links.add(path.relative_to(folder).as_posix())
            elif name in names:
                plain.add(path.relative_to(folder).as_posix())
    return plain, links
