"""What a step of the page is drawn from: the case as its file has it, and what was computed for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from hoopwright.display import Units
from hoopwright.errors import Fault

if TYPE_CHECKING:
    from hoopwright.case.model import Case

Document = dict[str, Any]
"""A document as a command prints it with --json."""
Command = Literal["check", "curves", "compare"]
"""What the worker is asked for."""


@dataclass(frozen=True)
class Answer:
    """A computed document, and the digest of the text of the case that it was computed for."""

    document: Document
    digest: str


@dataclass(frozen=True)
class AtWork:
    """What is being computed. row: title of the row at work, "" before the first; done of `of` rows."""

    command: Command
    row: str = ""
    done: int = 0
    of: int = 0


@dataclass(frozen=True)
class Bench:
    """One case on the page.

    file: its name in the folder. text: as last read from the disk. digest: sha256 of the text. tables: the
    text as plain tables and lists, as typed ({} where it is not TOML). case: as read, None where it has
    faults. units: those that the page shows. answers: the last of every command, possibly of an older
    text. failed: why the last question has no answer, one line each, "" where it has one. rejected: what
    was typed last and not written, by path: the text typed, and the words of its fault.
    """

    file: str
    text: str
    digest: str
    tables: Mapping[str, Any]
    case: Case | None
    faults: tuple[Fault, ...]
    units: Units
    answers: Mapping[Command, Answer] = field(default_factory=dict)
    at_work: AtWork | None = None
    failed: str = ""
    rejected: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    def answer(self, command: Command) -> Document | None:
        """The last document of a command, whatever text it was computed for."""
        found = self.answers.get(command)
        return None if found is None else found.document

    def is_current(self, command: Command) -> bool:
        """Whether the last document of a command is that of the text as it stands."""
        found = self.answers.get(command)
        return found is not None and found.digest == self.digest


Mark = Literal["given", "partly", "nothing", "fault"]
Group = Literal["Plan", "At the machine", "After"]


@dataclass(frozen=True)
class Step:
    """One step of the job. Its template is steps/{id}.html.

    needs: commands whose answers it shows; they are asked for when it is opened. view: what the template
    is given. mark: how far it is filled in.
    """

    id: str
    number: int
    name: str
    group: Group
    needs: tuple[Command, ...]
    view: Callable[[Bench], Mapping[str, Any]]
    mark: Callable[[Bench], Mark]
