"""Change a case file line by line: every line but those of the value stays as it is.

What is proposed here is a text that may be right; who asks holds it against the tables that are wanted, as
lines inside a long text may look like tables and keys.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from hoopwright.case.read import CASE
from hoopwright.page.paths import Place, Steps, key_text, path_to

_HEADER = re.compile(r"\s*(?P<off>#?)\s*(?P<open>\[{1,2})(?P<path>[^\[\]]+)\]{1,2}\s*(?:#.*)?")
_KEY = re.compile(
    r"""(?P<indent>\s*)(?P<off>\#?)(?P<key>[A-Za-z0-9_-]+|"(?:[^"\\]|\\.)*")\s*=\s*(?P<rest>.*)""", re.S
)
_TOKEN = re.compile(
    r'''"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|'[^'\n]*'|(?P<comment>\#[^\n]*)''', re.S
)
_SWITCHED_OFF = re.compile(r"#(?:[\[\]{]|[A-Za-z0-9_.-]+\s*=)")
Lines = list[str]


def end_of_line(text: str) -> str:
    """What ends the lines of a text."""
    return "\r\n" if "\r\n" in text else "\n"


def comments(text: str) -> list[str]:
    """What is written for people, in order: of a line that is switched off, what stands behind it."""
    found = []
    for token in _TOKEN.finditer(text):
        comment = token["comment"]
        if comment and _SWITCHED_OFF.match(comment):
            found += comments(comment[1:])
        elif comment:
            found.append(comment.rstrip())
    return found


def replaced(text: str, place: Place, written: str) -> Iterator[str]:
    """The text with another value in the line of a key."""
    for found, at, line in _lines_of(text, place):
        if not line["off"]:
            value, behind = _split(line["rest"])
            if value:
                yield _joined(found, at, line[0][: line.start("rest") - line.start()] + written + behind)


def switched_on(text: str, place: Place, written: str) -> Iterator[str]:
    """The text with a line of that key switched on, with this value, and the header of its table with it
    where that is off too."""
    for found, at, line in _lines_of(text, place):
        if line["off"]:
            on = f"{line['indent']}{line['key']} = {written}{_split(line['rest'])[1]}"
            yield _joined(found, at, on)
            header = next((n for n, one in reversed(_headers(found[:at])) if one["off"]), None)
            if header is not None:
                with_header = [*found]
                with_header[header] = re.sub(r"#\s*", "", found[header], count=1)
                yield _joined(with_header, at, on)


def switched_off(text: str, place: Place) -> Iterator[str]:
    """The text with the line of a key as a comment, as a starter has what may be added."""
    for found, at, line in _lines_of(text, place):
        if not line["off"]:
            yield _joined(found, at, f"{line['indent']}#{line[0].removeprefix(line['indent'])}")


def list_switched_off(text: str, place: Place) -> Iterator[str]:
    """The text with a list in brackets as comments, however many lines it has: what is said of its entries
    stays beside them."""
    for found, at, line in _lines_of(text, place):
        if not line["off"] and line["rest"].startswith("["):
            end = _end_of_brackets(found, at)
            off = (_commented(one) for one in found[at:end])
            yield "".join([*found[:at], *off, *found[end:]])


def _end_of_brackets(found: Lines, at: int) -> int:
    """The line behind a list that begins in a line."""
    depth = 0
    for n in range(at, len(found)):
        bare = _TOKEN.sub("", found[n])
        depth += bare.count("[") - bare.count("]")
        if depth <= 0:
            return n + 1
    return len(found)


def _commented(line: str) -> str:
    said = line.lstrip(" \t")
    return line if said.startswith("#") or not said.strip() else f"{line.removesuffix(said)}#{said}"


def table_switched_off(text: str, place: Place) -> Iterator[str]:
    """The text with a table, and those below it, as comments, headers and all."""
    path, found = path_to(*place.steps), _lines(text)
    off, any_off = [*found], False
    for at, header, end in _bounded(found):
        if header["off"] or not f"{header['path'].strip()}.".startswith(f"{path}."):
            continue
        any_off = True
        for n in range(at, end):
            if found[n].strip() and not found[n].lstrip().startswith("#"):
                off[n] = f"#{found[n].lstrip()}"
    if any_off:
        yield "".join(off)


def put_in_order(text: str, place: Place, written: str) -> Iterator[str]:
    """The text with a new line for the key, behind the last of those that are declared before it."""
    name, end = str(place.steps[-1]), end_of_line(text)
    declared = [key.name for key in place.tables[-1].keys]
    declared += [table.name for table in place.tables[-1].tables]
    before = declared[: declared.index(name)] if name in declared else declared
    found = _lines(text)
    for first, last in _sections(found, place.steps[:-1]):
        at = first
        for n in range(first, last):
            line = _KEY.fullmatch(found[n])
            if line is not None and line["key"].strip('"') in before and not line["off"]:
                at = n + 1
        above = end if at and not found[at - 1].endswith("\n") else ""
        yield "".join([*found[:at], f"{above}{key_text(name)} = {written}{end}", *found[at:]])


def with_table(text: str, place: Place, written: str, tables: Mapping[str, Any]) -> Iterator[str]:
    """The text with a new table for the value: behind its like, in the order of the tables of a case, or at
    the end; with the entries of lists that it stands in, where they are new."""
    table = place.steps[:-1]
    if not table:
        return
    end = end_of_line(text)
    names = [step for step in table if isinstance(step, str)]
    headers = [_header(table[: n + 1]) for n in _new_entries(table, tables) if n + 1 < len(table)]
    block = end.join((*headers, _header(table), f"{key_text(str(place.steps[-1]))} = {written}", ""))
    found = _lines(text)
    for at in (_behind_its_like(found, names), _before_next(found, names[0])):
        if at is not None:
            above = "" if at == 0 or not found[at - 1].strip() else end
            above = above if at == 0 or found[at - 1].endswith("\n") else 2 * end
            below = "" if at == len(found) or not found[at].strip() else end
            yield "".join([*found[:at], above, block, below, *found[at:]])
    tail = end if text and not text.endswith("\n") else ""
    yield f"{text}{tail}{end if text.strip() else ''}{block}"


def _new_entries(table: Steps, tables: Mapping[str, Any]) -> Iterator[int]:
    """Steps at which a new entry of a list begins."""
    at: Any = tables
    for n, step in enumerate(table):
        try:
            at = at[step]
        except (LookupError, TypeError):
            at = {}
            if isinstance(step, int):
                yield n


def _header(table: Steps) -> str:
    path = path_to(*(step for step in table if isinstance(step, str)))
    return f"[[{path}]]" if isinstance(table[-1], int) else f"[{path}]"


def _lines(text: str) -> Lines:
    """The lines of a text with their ends, as TOML knows them."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def _joined(found: Lines, at: int, line: str) -> str:
    return "".join([*found[:at], line, *found[at + 1 :]])


def _split(rest: str) -> tuple[str, str]:
    """A value, and what stands behind it in its line."""
    comment = next((t.start() for t in _TOKEN.finditer(rest) if t["comment"]), len(rest))
    value = rest[:comment].rstrip()
    return value, rest[len(value) :]


def _lines_of(text: str, place: Place) -> Iterator[tuple[Lines, int, re.Match[str]]]:
    """Lines that give a key, switched off or not: all lines, which of them, and what it says."""
    found, name = _lines(text), key_text(str(place.steps[-1]))
    for first, last in _sections(found, place.steps[:-1]):
        for at in range(first, last):
            line = _KEY.fullmatch(found[at])
            if line is not None and line["key"] == name:
                yield found, at, line


def _headers(found: Lines) -> list[tuple[int, re.Match[str]]]:
    return [(at, one) for at, line in enumerate(found) if (one := _HEADER.fullmatch(line.rstrip()))]


def _bounded(found: Lines) -> list[tuple[int, re.Match[str], int]]:
    """Headers with the line that each stands in, and the end of its table."""
    headers = _headers(found)
    ends = [at for at, _ in headers[1:]] + [len(found)]
    return [(at, one, end) for (at, one), end in zip(headers, ends[: len(headers)], strict=True)]


def _sections(found: Lines, table: Steps) -> Iterator[tuple[int, int]]:
    """The first line and the end of what may be a table."""
    path = path_to(*(step for step in table if isinstance(step, str)))
    if not path:
        headers = [at for at, one in _headers(found) if not one["off"]]
        yield 0, headers[0] if headers else len(found)
        return
    wanted = next((step for step in reversed(table) if isinstance(step, int)), None)
    count = 0
    for at, header, end in _bounded(found):
        if header["path"].strip() == path:
            if header["off"] or wanted is None or header["open"] == "[" or count == wanted:
                yield at + 1, end
            count += not header["off"]


def _behind_its_like(found: Lines, names: list[str]) -> int | None:
    """The end of the last table of that path, or below the nearest table above it; None where there is
    none."""
    for length in range(len(names), 0, -1):
        path = path_to(*(names[:length]))
        for at, header, end in reversed(_bounded(found)):
            if not header["off"] and f"{header['path'].strip()}.".startswith(f"{path}."):
                return _above_comments(found, end, at + 1)
    return None


def _before_next(found: Lines, name: str) -> int | None:
    """The line above which a table of that name goes, before the next in order; None for the end."""
    order = [table.name for table in CASE.tables]
    later = set(order[order.index(name) + 1 :])
    for at, header in _headers(found):
        if not header["off"] and header["path"].strip().split(".")[0] in later:
            return _above_comments(found, at, 0)
    return None


def _above_comments(found: Lines, at: int, least: int) -> int:
    """A place above the comments before a line, where the table ends that stands above them. A line that is
    switched off belongs to that table."""
    while at > least and (not found[at - 1].strip() or re.match(r"\s*#(?:\s|-|$)", found[at - 1])):
        at -= 1
    return at
