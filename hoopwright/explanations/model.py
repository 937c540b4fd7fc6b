"""The explanation of a row as frozen data."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Formula:
    """symbol = expression, in the grammar of the working. where: the condition under which it is this one,
    "" for always."""

    symbol: str
    expression: str
    where: str = ""


@dataclass(frozen=True)
class Symbol:
    """A symbol with what it stands for, and its unit, "" for a pure number.

    meaning: as in the working of a row, where … stands for what differs from case to case, and, behind a
    semicolon, a word to the reader. neutral: its value where a case has none of it, None where the formula
    then does not apply.
    """

    symbol: str
    meaning: str
    unit: str = ""
    neutral: float | None = None

    @property
    def said(self) -> str:
        """The meaning for a reader."""
        return self.meaning.replace(", …", "").removeprefix("… ")


@dataclass(frozen=True)
class Block:
    """Formulae with the symbols in them. by_hand: they stand beside the finite elements and judge
    nothing."""

    title: str
    formulae: tuple[Formula, ...]
    symbols: tuple[Symbol, ...]
    by_hand: bool = False


@dataclass(frozen=True)
class Source:
    """Where something comes from, and how it is known: a label of LABELS."""

    what: str
    label: str


@dataclass(frozen=True)
class Explanation:
    """What a row is about.

    id, title: of the row. stages: in which it is judged. fails, looks: what gives way, and how it looks in
    the shop. unit: of demand and limit. factor: key of [factors], "" where there is none. blocks: the
    formulae of the row first. validity: where the formula holds. tests: file, or file::function, in tests/.
    """

    id: str
    title: str
    stages: tuple[str, ...]
    fails: str
    looks: str
    unit: str
    factor: str
    blocks: tuple[Block, ...]
    validity: tuple[str, ...]
    left_out: tuple[str, ...]
    sources: tuple[Source, ...]
    tests: tuple[str, ...]


@dataclass(frozen=True)
class Chapter:
    """A chapter of the mechanics: paragraphs, then formulae where there are any."""

    title: str
    paragraphs: tuple[str, ...]
    block: Block | None
