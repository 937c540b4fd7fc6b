"""What was made of cases and lies in the folder beside them: records, drawings, shop sheets. What they say
of themselves is read, and believed no further than that; only names that lead nowhere else are opened."""

from __future__ import annotations

import hashlib
import json
import os
import re
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any, Literal

from hoopwright.record.file_names import PAGES, RESULTS, SUMS

MAX_LISTED = 200
"""Most records, and most sheets and drawings, that are listed: the newest."""
MAX_RESULTS = 16 * 1024**2
"""Largest results.json that is read for the list, bytes; one takes some hundred kilobytes."""
MAX_SERVED = 64 * 1024**2
"""Largest file that is opened, bytes."""
MAX_FILES = 2000
"""Most files of a record; one has some tens. What has more is none, as not all of it would be looked at."""
HOW_TO_OPEN = os.O_RDONLY | sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY"))
"""Through no link, and without waiting for who writes into a pipe that lies there."""
LONGEST = 300
"""Longest text that is taken over from a record, characters."""
SHEET = re.compile(r"(?P<stem>.+)-sheet-\d{3,}\.pdf")
DRAWING = re.compile(r"(?P<stem>.+)_drawing\.(?:pdf|dxf)")
_HASH = re.compile(rb"case SHA-256(?:\s+9\s+\$CUSTOMPROPERTY\s+1)?\s+([0-9a-f]{64})")
"""In the metadata of a sheet and of a DXF."""
_SEARCHED = 4 * 1024**2


@dataclass(frozen=True)
class RecordOutput:
    """A record as it lies there. fault: why it cannot be read, "" where it can; the rest is then empty.

    made: when, s since 1970. case_file, sha256, title: of the case in it. verdict, state: as it says. log,
    materials: sha256 of the press log and of the file of materials, "" without. sealed: its results are as
    its checksums say; of the other files only verifying says more. files: paths in it, as it lists them.
    """

    name: str
    made: float
    fault: str = ""
    case_file: str = ""
    sha256: str = ""
    title: str = ""
    state: str = ""
    verdict: str = ""
    version: str = ""
    shown_in: str = ""
    log: str = ""
    materials: str = ""
    is_comparison: bool = False
    sealed: bool = False
    files: tuple[str, ...] = ()


@dataclass(frozen=True)
class PaperOutput:
    """A sheet or a drawing. files: names, the PDF first. sha256: of the text of its case, "" where it does
    not say."""

    kind: Literal["sheet", "drawing"]
    stem: str
    files: tuple[str, ...]
    made: float
    sha256: str = ""


@dataclass(frozen=True)
class Outputs:
    """All of them, the newest first."""

    records: tuple[RecordOutput, ...] = ()
    papers: tuple[PaperOutput, ...] = ()

    def record(self, name: str) -> RecordOutput | None:
        return next((one for one in self.records if one.name == name), None)


NO_OUTPUTS = Outputs()


@dataclass
class OutputFolder:
    """A folder with what was made in it. What was read is kept for as long as its file is the same."""

    folder: Path
    _read: dict[tuple[Any, ...], Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.folder = self.folder.resolve()

    def found(self) -> Outputs:
        """Records, drawings and sheets, as they are now."""
        folders, papers = [], dict[tuple[str, str], list[tuple[str, os.stat_result]]]()
        for entry in self._entries():
            if entry.is_dir(follow_symlinks=False):
                results = _plain_file(Path(entry.path, RESULTS))
                if results is not None:
                    folders.append((results.st_mtime, entry.name, results))
                continue
            for kind, pattern in (("sheet", SHEET), ("drawing", DRAWING)):
                match, found = pattern.fullmatch(entry.name), _plain_file(Path(entry.path))
                if match and found is not None:
                    key = (kind, entry.name if kind == "sheet" else match["stem"])
                    papers.setdefault(key, []).append((entry.name, found))
        records = [self._record(name, seen) for _, name, seen in sorted(folders, reverse=True)[:MAX_LISTED]]
        listed = sorted(
            (self._paper(kind, files) for (kind, _), files in papers.items()), key=_newest_first
        )
        return Outputs(tuple(records), tuple(listed[:MAX_LISTED]))

    def is_there(self, name: str) -> bool:
        """Whether something that was made is still there."""
        return _is_name(name) and os.path.lexists(self.folder / name)

    def stamp(self, record: str) -> str:
        """A name of the state of all files of a record: another once one is written again, taken away or
        put there; "" for what is no record."""
        where = self._record_folder(record)
        if where is None:
            return ""
        seen = []
        for count, path in enumerate(_files_in(where)):
            found = _seen(path)
            if found is None or count >= MAX_FILES:
                return ""
            key = (found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_mode, found.st_ino)
            seen.append((path.relative_to(where).as_posix(), *key))
        return hashlib.sha256(repr(sorted(seen)).encode()).hexdigest()

    def leads_outside(self, record: str) -> bool:
        """Whether something in a record leads out of it."""
        where = self._record_folder(record)
        return where is not None and any(not _inside(path, where) for path in _files_in(where))

    def file_of(self, record: str, name: str) -> bytes | None:
        """The content of a file of a record, if it is one of those it lists, lies in it and is no link."""
        where = self._record_folder(record)
        seen = None if where is None else _plain_file(where / RESULTS)
        if where is None or seen is None or not _is_path(name):
            return None
        if name not in (RESULTS, PAGES, SUMS, *self._record(record, seen).files):
            return None
        return _content(where / name, where)

    def paper(self, name: str) -> bytes | None:
        """The content of a sheet or a drawing."""
        is_paper = bool(SHEET.fullmatch(name) or DRAWING.fullmatch(name))
        return _content(self.folder / name, self.folder) if is_paper and _is_name(name) else None

    def _entries(self) -> Iterator[os.DirEntry[str]]:
        try:
            with os.scandir(self.folder) as entries:
                yield from (one for one in entries if _is_name(one.name))
        except OSError:
            return

    def _record_folder(self, name: str) -> Path | None:
        where = self.folder / name
        is_one = _is_name(name) and _plain_file(where / RESULTS) is not None
        return where if is_one and not where.is_symlink() else None

    def _record(self, name: str, seen: os.stat_result) -> RecordOutput:
        where = self.folder / name
        sums = _plain_file(where / SUMS)
        key = (name, *(one and (one.st_mtime_ns, one.st_size, one.st_ino) for one in (seen, sums)))
        if key not in self._read:
            self._keep(key, _record_output(where, seen))
        return self._read[key]

    def _paper(self, kind: str, found: list[tuple[str, os.stat_result]]) -> PaperOutput:
        found = sorted(found, key=lambda one: not one[0].endswith(".pdf"))
        names, made = tuple(name for name, _ in found), max(seen.st_mtime for _, seen in found)
        told_by = found[-1]  # the DXF of a drawing, the PDF of a sheet
        key = (told_by[0], told_by[1].st_mtime_ns, told_by[1].st_size, told_by[1].st_ino)
        if key not in self._read:
            self._keep(key, _hash_in(self.folder / told_by[0], self.folder))
        match = (SHEET if kind == "sheet" else DRAWING).fullmatch(names[0])
        assert match is not None
        return PaperOutput(
            "sheet" if kind == "sheet" else "drawing", match["stem"], names, made, self._read[key]
        )

    def _keep(self, key: tuple[Any, ...], read: Any) -> None:
        if len(self._read) > 4 * MAX_LISTED:
            self._read.clear()
        self._read[key] = read


def _newest_first(one: PaperOutput) -> tuple[float, str]:
    return -one.made, one.files[0]


def _is_name(name: str) -> bool:
    """Whether a name is that of an entry of the folder that is not hidden, and can be shown."""
    return bool(name) and not name.startswith(".") and name.isprintable() and not set(name) & {"/", "\\"}


def _is_path(name: str) -> bool:
    parts = PurePosixPath(name).parts
    return bool(parts) and "/".join(parts) == name and all(map(_is_name, parts))


def _inside(path: Path, folder: Path) -> bool:
    try:
        return path.resolve(strict=True).is_relative_to(folder)
    except (OSError, RuntimeError, ValueError):
        return False


def _seen(path: Path) -> os.stat_result | None:
    """What lies at a path, a link as it is; None where nothing does any longer."""
    try:
        return os.lstat(path)
    except (OSError, ValueError):
        return None


def _plain_file(path: Path) -> os.stat_result | None:
    found = _seen(path)
    return found if found is not None and stat.S_ISREG(found.st_mode) else None


def _files_in(folder: Path) -> Iterator[Path]:
    """Whatever lies in a record, links as they are."""
    for root, folders, names in os.walk(folder):
        yield from (Path(root, name) for name in (*folders, *names))


def _content(path: Path, folder: Path, max_bytes: int = MAX_SERVED) -> bytes | None:
    """A plain file in a folder, no link and not too large; None for any other. What was opened is what was
    looked at, also where another was put in its place, or in that of a folder above it, meanwhile."""
    if not _inside(path, folder):
        return None
    try:
        descriptor = os.open(path, HOW_TO_OPEN)
        with open(descriptor, "rb") as opened:
            found, seen = os.fstat(descriptor), _plain_file(path.resolve(strict=True))
            if seen is None or not os.path.samestat(found, seen) or not _inside(path, folder):
                return None
            content = opened.read(max_bytes + 1) if found.st_size <= max_bytes else None
    except (OSError, ValueError):
        return None
    return content if content is not None and len(content) <= max_bytes else None


def _hash_in(path: Path, folder: Path) -> str:
    """The sha256 of the case that a sheet or a DXF names; "" where it names none."""
    content = _content(path, folder, _SEARCHED)
    found = set() if content is None else set(_HASH.findall(content))
    return found.pop().decode() if len(found) == 1 else ""


def _record_output(where: Path, seen: os.stat_result) -> RecordOutput:
    name, content = where.name, _content(where / RESULTS, where, MAX_RESULTS)
    if content is None:
        return RecordOutput(name, seen.st_mtime, f"{RESULTS} cannot be read")
    sums = _content(where / SUMS, where, MAX_RESULTS) or b""
    line = f"{hashlib.sha256(content).hexdigest()}  {RESULTS}".encode()
    try:
        found = json.loads(content)
        return _of_results(name, seen.st_mtime, found, sealed=line in sums.splitlines())
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return RecordOutput(name, seen.st_mtime, f"{RESULTS} is damaged, or not that of a record")


def _of_results(name: str, made: float, found: Mapping[str, Any], *, sealed: bool) -> RecordOutput:
    """What a list shows of a record. Raises KeyError and the like for what is none."""
    case, record = found["case"], found["record"]
    files = found.get("files") or ()
    return RecordOutput(
        name,
        made,
        case_file=_text(case.get("file")),
        sha256=_text(case.get("sha256")),
        title=_text(case.get("title")),
        state=_text(found.get("state")),
        verdict=_text(found.get("verdict"), 4 * LONGEST),
        version=_text(found["tool"].get("version")),
        shown_in=_text(record.get("shown_in")),
        log=_text((found.get("press_readings") or {}).get("sha256")),
        materials=_text((case.get("materials") or {}).get("sha256")),
        is_comparison=record.get("kind") == "comparison",
        sealed=sealed,
        files=tuple(str(one) for one in files if isinstance(one, str))[:MAX_FILES],
    )


def _text(value: Any, longest: int = LONGEST) -> str:
    return value[:longest] if isinstance(value, str) else ""
