"""Elements of a page by their ids, as the text that they are: what a part of a page is exchanged for."""

from __future__ import annotations

from collections.abc import Iterable
from html.parser import HTMLParser

VOID = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr")
)
"""Elements that have no end."""


class _Finder(HTMLParser):
    """Where the elements with these ids begin and end, and where their start tags end."""

    def __init__(self, text: str, wanted: Iterable[str]) -> None:
        super().__init__(convert_charrefs=False)
        self.found: dict[str, tuple[int, int, int]] = {}
        self._wanted = set(wanted)
        self._open: list[tuple[str, str, int, int, int]] = []
        self._starts = [0]
        for line in text.split("\n"):
            self._starts.append(self._starts[-1] + len(line) + 1)
        self.feed(text)
        self.close()

    def _here(self) -> int:
        line, column = self.getpos()
        return self._starts[line - 1] + column

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        begin = self._here()
        behind = begin + len(self.get_starttag_text() or "")
        self._open = [(n, i, b, e, depth + (n == tag)) for n, i, b, e, depth in self._open]
        name = dict(attrs).get("id")
        if name in self._wanted and name is not None and name not in self.found:
            if tag in VOID:
                self.found[name] = begin, behind, behind
            else:
                self._open.append((tag, name, begin, behind, 1))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Of a figure: it has its end within."""

    def handle_endtag(self, tag: str) -> None:
        left = []
        for name, id_, begin, behind, depth in self._open:
            depth -= name == tag
            if depth:
                left.append((name, id_, begin, behind, depth))
            else:
                end = self._here() + len(f"</{tag}>")
                self.found[id_] = begin, behind, end
        self._open = left


def fragments(page: str, *, main: str = "", beside: Iterable[str] = ()) -> str:
    """The element `main` of a page, and those beside it, which find their own places. Those that the page
    has not are left out. Raises KeyError where it has no `main`."""
    beside = tuple(beside)
    found = _Finder(page, (main, *beside) if main else beside).found
    parts = []
    if main:
        begin, _, end = found[main]
        parts.append(page[begin:end])
    for id_ in beside:
        if id_ in found:
            begin, behind, end = found[id_]
            close = 2 if page[begin:behind].endswith("/>") else 1
            parts.append(f'{page[begin : behind - close]} hx-swap-oob="true"{page[behind - close : end]}')
    return "\n".join(parts)
