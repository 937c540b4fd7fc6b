"""One case on the page: its file as it is now, read, with what was computed for it."""

from __future__ import annotations

import os
import threading
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from hoopwright.case.faults import Faults
from hoopwright.case.model import Case
from hoopwright.case.own_materials import KEY as MATERIALS
from hoopwright.case.own_materials import leads_outside, posix
from hoopwright.case.read import parse_case
from hoopwright.case.reader_units import system_of
from hoopwright.case.toml_file import read_bytes, toml_tables
from hoopwright.display import Units
from hoopwright.errors import CaseError, Fault
from hoopwright.page.case_files import ENDING, LOG_ENDING, CaseFiles, CaseText, digest_of
from hoopwright.page.jobs import MADE, sides_of
from hoopwright.page.model import Bench, BesideText, Command, Order
from hoopwright.page.outputs import OutputFolder
from hoopwright.page.questions import Question, log_fault
from hoopwright.page.solver import COMMANDS
from hoopwright.page.work import Work

MAX_READ = 32
"""Texts that are kept as read, so that a page that asks twice a second does not read them each time."""


@dataclass(frozen=True)
class ReadText:
    """A text of a case: as plain tables, {} where it is not TOML; as read, None where it has faults.
    materials: digest of the file of materials that it was read with, "" without one."""

    tables: Mapping[str, Any]
    case: Case | None
    faults: tuple[Fault, ...]
    materials: str = ""


class Benches:
    """Makes the bench of every case of a folder."""

    def __init__(self, files: CaseFiles, work: Work) -> None:
        self.files, self.work = files, work
        self.outputs = OutputFolder(files.folder)
        self._read: OrderedDict[tuple[str, str], ReadText] = OrderedDict()
        self._reading = threading.Lock()

    def bench(self, file: str, units: str = "", asked: Mapping[str, str] | None = None) -> Bench:
        """The case in a file as it is now. units: metric or inch, those of the case where neither. asked:
        what the address says beside the step. Raises CaseError where there is no such file."""
        found = self.files.read(file)
        read = self._as_read(found)
        known = self.work.found(file)
        shown = units if units in ("metric", "inch") else system_of(read.tables.get("units"))
        bench = Bench(
            file,
            found.text.encode("utf-8", "surrogateescape").decode("utf-8", "replace"),
            found.digest,
            read.tables,
            read.case,
            read.faults,
            Units(shown),
            known.answers,
            known.at_work,
            known.failed,
            log=self._log(read),
            materials=read.materials,
            own_log=self.files.beside(own_log_name(file)),
            asked=dict(asked or {}),
            outputs=self.outputs.found(),
        )
        orders = (self._seen_now(order, bench.version) for order in known.orders.values())
        return replace(bench, orders=tuple(orders))

    def _log(self, read: ReadText) -> BesideText | None:
        """The press log that a case names, as it lies beside it."""
        name = read.case.press.log if read.case is not None else ""
        return self.files.beside(name) if name else None

    def _seen_now(self, order: Order, version: str) -> Order:
        """An order with whether what it tells is so of the files as they are now."""
        found = order.document
        if found is None or order.version not in ("", version):
            return order
        there = all(self.outputs.is_there(name) for name in found.get("files", ()))
        unchanged = all(
            self.outputs.stamp(name) == stamp for name, stamp in found.get("stamps", {}).items()
        )
        return replace(order, current=there and unchanged)

    def order(self, bench: Bench, asked: Sequence[tuple[Command, str]]) -> None:
        """Have this done that a button asked for. What was made of the case as it stands, and is still
        there, is not made twice; what was verified is verified again."""
        done = {(one.command, one.about) for one in bench.orders if one.current}
        for command, about in asked:
            if command == "verify" or (command, about) not in done:
                of_case = command in MADE or (command == "diff" and not all(sides_of(about)[1:]))
                version = bench.version if of_case else ""
                question = Question(command, bench.file, bench.text, version, about)
                self.work.order(question, current=(bench.version, bench.plan_version))

    def ask(self, bench: Bench, commands: Sequence[Command]) -> None:
        """Ask for what these commands answer, where the case is sound and has what they are about."""
        wanted = [one for one in commands if one in COMMANDS and (one != "compare" or has_routes(bench))]
        if "plan" not in wanted and has_readings(bench):
            wanted.insert(0, "plan")  # before the check, whose verdict waits for it
        if bench.case is None or not wanted:
            return
        questions = [Question(one, bench.file, bench.text, bench.version_for(one)) for one in wanted]
        self.work.ask(questions, current=(bench.version, bench.plan_version))

    def read(self, file: str, text: str) -> ReadText:
        """A text as a case of this folder."""
        faults = Faults(file)
        tables = toml_tables(text.encode("utf-8", "surrogatepass"), faults)
        if faults.found:
            return ReadText({}, None, tuple(faults.found))
        materials = self._materials(tables)
        try:
            case = replace(parse_case(text, file=str(self.files.folder / file)), file=file)
        except CaseError as error:
            named = tuple(replace(fault, file=self._name(fault.file)) for fault in error.faults)
            return ReadText(tables, None, named, materials)
        fault = log_fault(case, self.files.folder)
        if fault is not None:
            return ReadText(tables, None, (fault,), materials)
        return ReadText(tables, case, (), materials)

    def _name(self, file: str) -> str:
        """A file of the folder, named in faults as the page names it: without its place on the disk."""
        return file.removeprefix(f"{self.files.folder}{os.sep}")

    def _materials(self, tables: Mapping[str, Any]) -> str:
        """Digest of the file of materials that a case names, as it is read with the case now,
        through a link too: no answer outlives what it was computed from."""
        name = tables.get(MATERIALS.name)
        if not isinstance(name, str) or not name or leads_outside(name):
            return ""
        content = read_bytes(self.files.folder / posix(name), Faults(name))
        return digest_of(content) if content else ""

    def _as_read(self, found: CaseText) -> ReadText:
        key = (found.file, found.digest)
        with self._reading:
            known = self._read.get(key)
            if known is None or known.materials != self._materials(known.tables):
                known = self._read[key] = self.read(found.file, found.text)
                if len(self._read) > MAX_READ:
                    self._read.popitem(last=False)
            return known


def own_log_name(file: str) -> str:
    """Name of the press log that the page keeps of a case that names none yet: a log of less than three
    readings is none to be named."""
    return f"{file.removesuffix(ENDING)} press{LOG_ENDING}"


def has_routes(bench: Bench) -> bool:
    """Whether there is something to compare."""
    return bench.case is not None and bool(bench.case.routes)


def has_readings(bench: Bench) -> bool:
    """Whether readings of the press lie beside a case, named by it or not: a verdict waits for the plan
    that they are held against, since one above the stop line may still have no answer."""
    log = bench.log or bench.own_log
    pressed = bench.case is not None and not bench.case.press.slips_in
    return pressed and log is not None and bool(log.digest)


def with_rejected(bench: Bench, rejected: Mapping[str, tuple[str, str]]) -> Bench:
    """The bench with what was typed last and not written."""
    return replace(bench, rejected=rejected)
