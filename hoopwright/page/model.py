"""What a step of the page is drawn from: the case as its file has it, and what was computed for it."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Literal
from urllib.parse import urlencode

from hoopwright.display import Units
from hoopwright.errors import Fault
from hoopwright.page.outputs import NO_OUTPUTS, Outputs

if TYPE_CHECKING:
    from hoopwright.case.model import Case

Document = dict[str, Any]
"""A document as a command prints it with --json."""
Command = Literal[
    "check",
    "maps",
    "curves",
    "compare",
    "size",
    "press",
    "plan",
    "sheet",
    "drawing",
    "record",
    "verify",
    "diff",
]
"""What the worker is asked for. press: with what was read at it; plan: the same before anything was
read."""
SENTENCES = "in_other_units"
"""Where a document has itself with its sentences in the units of the other reader, by their system."""
ORDERED: tuple[Command, ...] = ("sheet", "drawing", "record", "verify", "diff")
"""Of these, those that only a button asks for, as they write files or read those that were written."""
Form = Mapping[str, list[str]]
"""Fields of a form, by name."""


def first_value(form: Form, name: str) -> str:
    """What a form gives under a name, "" where it has no such field."""
    return form.get(name, [""])[0]


@dataclass(frozen=True)
class Answer:
    """A computed document, the version of the case that it was computed for, and what it is about where the
    command takes more than a case."""

    document: Document
    version: str
    about: str = ""


@dataclass(frozen=True)
class AtWork:
    """What is being computed. row: title of the row at work, "" before the first; done of `of` rows. about:
    as of its question."""

    command: Command
    row: str = ""
    done: int = 0
    of: int = 0
    about: str = ""


@dataclass(frozen=True)
class Order:
    """Something that a button asked the worker for, and what became of it.

    about: the units of what is made, the record that is verified, the sides that are compared. document:
    None while it is not done, and where it failed: then one line says why. current: what it tells is so of
    the files as they are now.
    """

    command: Command
    about: str
    version: str
    document: Document | None = None
    failed: str = ""
    current: bool = False

    @property
    def waits(self) -> bool:
        """Whether it is still to be done, or being done."""
        return self.document is None and not self.failed


@dataclass(frozen=True)
class BesideText:
    """A press log beside the case. digest: sha256 of its bytes, "" for one that is not there."""

    name: str
    text: str = ""
    digest: str = ""


@dataclass(frozen=True)
class Edit:
    """A value of the case as typed, by its path; "" takes it away."""

    path: str
    typed: str


@dataclass(frozen=True)
class Bench:
    """One case on the page.

    file: its name in the folder. text: as last read from the disk. digest: sha256 of the text. tables: the
    text as plain tables and lists, as typed ({} where it is not TOML). case: as read, None where it has
    faults. units: those that the page shows. answers: the last of every command, possibly of an older
    text. failed: why the last question has no answer, one line each, "" where it has one. rejected: what
    was typed last and not written, by path: the text typed, and the words of its fault. materials: digest
    of the file of materials that it names, "" without one. log: the press log that it names, None where it
    names none. own_log: that which the page keeps of it. asked: what the address says beside the step, e.g.
    which land it is at. orders: what buttons asked for, the last one last. outputs: records, drawings and
    sheets in the folder.
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
    materials: str = ""
    log: BesideText | None = None
    own_log: BesideText | None = None
    asked: Mapping[str, str] = field(default_factory=dict)
    orders: tuple[Order, ...] = ()
    outputs: Outputs = NO_OUTPUTS

    @property
    def seen(self) -> str:
        """What the forms of a page say that it was made from: the text, and the units that a bare number
        has there."""
        return f"{self.digest}-{self.units.system}"

    @property
    def version(self) -> str:
        """A name of all that an answer is computed from: the case, its press log, its file of materials."""
        if self.log is None and not self.materials:
            return self.digest
        log = "" if self.log is None else self.log.digest
        return sha256(f"{self.digest} {log} {self.materials}".encode()).hexdigest()

    @property
    def plan_version(self) -> str:
        """A name of all that the plan of pressing is computed from: the case but for its press log, so
        that a reading does not make old what it is held against, and its file of materials."""
        press = self.tables.get("press")
        if not isinstance(press, Mapping) or "log" not in press:
            tables = dict(self.tables)
        else:
            rest = {key: value for key, value in press.items() if key != "log"}
            tables = {**self.tables, "press": rest}
        if not tables.get("press"):
            tables.pop("press", None)
        known = f"{json.dumps(tables, sort_keys=True, default=str)} {self.materials}"
        return sha256(known.encode()).hexdigest()

    def version_for(self, command: Command) -> str:
        """The version of the case that an answer of a command must be of."""
        return self.plan_version if command == "plan" else self.version

    @property
    def query(self) -> str:
        """What the address says beside the step, to be put behind another of the same step."""
        return f"?{urlencode(self.asked)}" if self.asked else ""

    def answer(self, command: Command) -> Document | None:
        """The last document of a command, whatever text it was computed for, in the words of the reader."""
        found = self.answers.get(command)
        if found is None:
            return None
        own: Document = found.document.get(SENTENCES, {}).get(self.units.system, found.document)
        return own

    def is_current(self, command: Command) -> bool:
        """Whether the last document of a command is that of the case as it stands."""
        found = self.answers.get(command)
        return found is not None and found.version == self.version_for(command)


Mark = Literal["given", "partly", "nothing", "fault"]
Group = Literal["Plan", "At the machine", "After"]


@dataclass(frozen=True)
class Done:
    """What comes of an action of a step.

    edits: values of the case, set together or not at all. beside: a file beside the case to be written
    before them, if its digest is still the one given. rejected: as of a Bench; then nothing is written.
    asked: where the step goes on; None where it is. ask: what the worker is asked to do then, command and
    what it is about.
    """

    edits: tuple[Edit, ...] = ()
    beside: BesideText | None = None
    rejected: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    asked: Mapping[str, str] | None = None
    ask: tuple[tuple[Command, str], ...] = ()


@dataclass(frozen=True)
class Step:
    """One step of the job. Its template is steps/{id}.html.

    needs: commands whose answers it shows; they are asked for when it is opened. view: what the template
    is given. mark: how far it is filled in. actions: what its forms may do beside setting values, by name;
    they are sent to do/{id}/{name}.
    """

    id: str
    number: int
    name: str
    group: Group
    needs: tuple[Command, ...]
    view: Callable[[Bench], Mapping[str, Any]]
    mark: Callable[[Bench], Mark]
    actions: Mapping[str, Callable[[Bench, Form], Done]] = field(default_factory=dict)
