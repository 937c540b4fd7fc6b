"""The case files of the one folder that the page serves: listed, read, written whole or not at all."""

from __future__ import annotations

import hashlib
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from hoopwright.case.toml_file import MAX_FILE_BYTES
from hoopwright.errors import CaseError, Fault, HoopwrightError
from hoopwright.page.model import BesideText
from hoopwright.pressing.press_log import MAX_BYTES as MAX_LOG_BYTES
from hoopwright.record.atomic_write import write_file

ENDING = ".toml"
LOG_ENDING = ".csv"
MAX_NAME = 120
"""Most characters of the name of a case file; file systems take 255 bytes."""
MAX_LISTED = 500
"""Most files that the first page lists."""


class NoSuchCaseError(HoopwrightError):
    """A name that is that of no case file of the folder."""


class ChangedOnDiskError(HoopwrightError):
    """A file that is no longer what the page was made from."""


@dataclass(frozen=True)
class CaseText:
    """A case file as read. text: bytes that are not UTF-8 are marked in it. digest: sha256 of the bytes."""

    file: str
    text: str
    digest: str


def digest_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


class CaseFiles:
    """The case files of a folder, by their names in it; a name leads nowhere else."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve(strict=True)
        self._writing = threading.Lock()

    def names(self) -> tuple[str, ...]:
        """Names of the case files, in order."""
        found = sorted(name for name in os.listdir(self.folder) if self._is_case(name))
        return tuple(found[:MAX_LISTED])

    def read(self, file: str) -> CaseText:
        """Raises NoSuchCaseError, and CaseError for a file that is no case or cannot be read."""
        content = self._content(file)
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError:
            text = content.decode("utf-8", "surrogateescape")
        return CaseText(file, text, digest_of(content))

    def saved(self, file: str) -> float:
        """When a file was last written, s since 1970; 0 where it is gone."""
        try:
            return self._path(file).stat().st_mtime
        except (OSError, NoSuchCaseError):
            return 0.0

    def write(self, file: str, text: str, *, digest: str) -> None:
        """Write over a file whose digest is still this one. Raises ChangedOnDiskError where it is
        another, and OutputError; either leaves the file as it is."""

        def unchanged() -> None:
            if digest_of(self._content(file)) != digest:
                raise ChangedOnDiskError.at(file, "changed on the disk meanwhile; nothing was written")

        content = self._checked_size(file, text)
        with self._writing, self._named(file):
            unchanged()
            write_file(self._path(file), content, overwrite=True, last_look=unchanged)

    def create(self, file: str, text: str) -> None:
        """Write a new file. Raises OutputError, also where the name is taken, and CaseError for a name that
        no case file may have."""
        if (problem := name_problem(file)) is not None:
            raise CaseError.at(file, problem, f"write e.g. mine{ENDING}")
        with self._writing, self._named(file):
            write_file(self.folder / file, self._checked_size(file, text))

    def beside(self, name: str) -> BesideText:
        """A text that lies in the folder beside the cases, as far as it may be read there: an empty one
        without a digest where it is not there, leads elsewhere or is too large."""
        try:
            path = (self.folder / name).resolve(strict=True)
            if path.is_relative_to(self.folder) and path.is_file() and path.stat().st_size <= MAX_LOG_BYTES:
                content = path.read_bytes()
                return BesideText(name, content.decode("utf-8", "replace"), digest_of(content))
        except (OSError, RuntimeError, ValueError):
            pass
        return BesideText(name)

    def write_beside(self, text: BesideText) -> None:
        """Write a press log whose digest is still the one given, a new one where that is "". Raises
        ChangedOnDiskError, CaseError for a name that no log may have, and OutputError."""
        if (problem := name_problem(text.name, LOG_ENDING)) is not None:
            raise CaseError.at(text.name, problem, f"write e.g. mine{LOG_ENDING}")

        def unchanged() -> None:
            if self.beside(text.name).digest != text.digest:
                raise ChangedOnDiskError.at(text.name, "changed on the disk meanwhile; nothing was written")

        with self._writing, self._named(text.name):
            unchanged()
            path, content = self.folder / text.name, text.text.encode("utf-8")
            write_file(path, content, overwrite=bool(text.digest), last_look=unchanged)

    @contextmanager
    def _named(self, file: str) -> Iterator[None]:
        """Faults that name the file as the page does, not by its place on the disk."""
        try:
            yield
        except HoopwrightError as error:
            renamed = (Fault(file, f.table, f.key, f.problem, f.advice, f.given) for f in error.faults)
            raise type(error)(tuple(renamed)) from None

    def _content(self, file: str) -> bytes:
        path = self._path(file)
        try:
            with open(path, "rb") as opened:
                content = opened.read(MAX_FILE_BYTES + 1)
        except OSError as error:
            advice = "check the permissions"
            raise CaseError.at(file, f"cannot be read: {error.strerror}", advice) from None
        if len(content) > MAX_FILE_BYTES:
            raise CaseError.at(file, f"larger than {MAX_FILE_BYTES // 1024} KB, not a case file")
        return content

    def _path(self, file: str) -> Path:
        """Where a case file lies. Raises NoSuchCaseError for one that is none, or leads elsewhere."""
        if not self._is_case(file):
            raise NoSuchCaseError.at("", "no such case in the folder that the page serves")
        return (self.folder / file).resolve()

    def _is_case(self, file: str) -> bool:
        if name_problem(file) is not None:
            return False
        try:
            path = (self.folder / file).resolve(strict=True)
            inside = path.is_relative_to(self.folder)
            return inside and path.suffix == ENDING and path.is_file()
        except (OSError, RuntimeError, ValueError):  # a link that leads nowhere, or round in a circle
            return False

    @staticmethod
    def _checked_size(file: str, text: str) -> bytes:
        content = text.encode("utf-8", "surrogateescape")
        if len(content) > MAX_FILE_BYTES:
            raise CaseError.at(file, f"would be larger than {MAX_FILE_BYTES // 1024} KB")
        return content


def name_problem(file: str, ending: str = ENDING) -> str | None:
    """Why a text cannot be the name of a case file, or of a log; None where it can."""
    if not file.endswith(ending) or file == ending:
        return f"the name of a {'case file' if ending == ENDING else 'press log'} ends in {ending}"
    if file.startswith(".") or any(c in '/\\:*?"<>|' or not c.isprintable() for c in file):
        return "a name is of letters, digits, spaces, - and _"
    if len(file) > MAX_NAME or len(os.fsencode(file)) > 2 * MAX_NAME:
        return f"a name is of {MAX_NAME} characters at most"
    return None
