"""Read the explanations from the files beside this one."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

from hoopwright.explanations.model import Block, Chapter, Explanation, Formula, Source, Symbol
from hoopwright.explanations.numbers import filled

FILES = ("strength", "fatigue", "sizes", "pressing", "seat", "threads")
LABELS = ("seen", "from memory", "common practice, no source", "our choice")
"""How a source is known: read in the place named; recalled and not opened; of the trade; of the tool."""
_SYMBOL = re.compile(r"(?P<symbol>\S+): (?P<meaning>.+?)(?: \[(?P<unit>[^]]+)\])?")
_NEUTRAL = re.compile(r"; (?P<value>\d+) where ")


@cache
def explanations() -> tuple[Explanation, ...]:
    """The explanation of every row, by the files they stand in."""
    parts = _file("parts")
    tables = {id_: table for name in FILES for id_, table in _file(name).items()}
    whole = ((id_, _with_all_of(table, tables)) for id_, table in tables.items())
    return tuple(_explanation(id_, table, parts) for id_, table in whole)


def explanation_of(text: str) -> Explanation:
    """The explanation of a row that is not the tool's own, from TOML as it stands in the files here: one
    table, by the id of the row. Raises ValueError for anything else."""
    tables = tomllib.loads(text)
    if len(tables) != 1:
        raise ValueError(f"an explanation is one table, not {len(tables)}")
    [(id_, table)] = tables.items()
    try:
        return _explanation(id_, table, _file("parts"))
    except KeyError as missing:
        raise ValueError(f"the explanation of {id_} lacks {missing}") from None


@cache
def mechanics() -> tuple[Chapter, ...]:
    """The mechanics in short, chapter by chapter."""
    parts = _file("parts")
    return tuple(
        Chapter(
            one["title"],
            tuple(one["text"]),
            _part(parts, one["part"]) if "part" in one else _block("", one) if "formula" in one else None,
        )
        for one in _file("mechanics")["chapter"]
    )


def _file(name: str) -> dict[str, Any]:
    return tomllib.loads(filled(resources.files(__package__).joinpath(f"{name}.toml").read_text("utf-8")))


def _with_all_of(table: Mapping[str, Any], tables: Mapping[str, Mapping[str, Any]]) -> Mapping[str, Any]:
    """A table, with what it does not say itself from the one it is like."""
    return table if "like" not in table else {**_with_all_of(tables[table["like"]], tables), **table}


def _explanation(id_: str, table: Mapping[str, Any], parts: Mapping[str, Any]) -> Explanation:
    blocks = [_judged(table), *(_part(parts, name) for name in table.get("parts", ()))]
    if "by_hand" in table:
        blocks.append(_joined(_part(parts, "lame"), _block("", table["by_hand"]), by_hand=True))
    return Explanation(
        id_,
        table["title"],
        tuple(table["stages"]),
        table["fails"],
        table["looks"],
        table["unit"],
        table.get("factor", ""),
        tuple(blocks),
        tuple(table["range"]),
        tuple(table["left_out"]),
        tuple(Source(what, label) for what, label in table["sources"]),
        tuple(table["tests"]),
    )


def _judged(table: Mapping[str, Any]) -> Block:
    """The formulae of a row, with the margin that all rows end in."""
    block, factor = _block("Formula", table), table.get("factor", "")
    margin = Formula("margin", f"limit / {'(n * demand)' if factor else 'demand'} - 1")
    symbols = [
        Symbol("demand", "what is demanded", table["unit"]),
        Symbol("limit", "what it may be", table["unit"]),
        *([Symbol("n", "factor of safety on the demand")] if factor else []),
        Symbol("margin", "margin of safety; zero is the limit"),
    ]
    return Block(block.title, (*block.formulae, margin), (*block.symbols, *symbols))


def _part(parts: Mapping[str, Any], name: str) -> Block:
    """What several rows share, behind what that goes on from."""
    block = _block(parts[name]["title"], parts[name])
    return _joined(_part(parts, parts[name]["after"]), block) if "after" in parts[name] else block


def _joined(first: Block, then: Block, *, by_hand: bool = False) -> Block:
    return Block(
        then.title or first.title, first.formulae + then.formulae, first.symbols + then.symbols, by_hand
    )


def _block(title: str, table: Mapping[str, Any]) -> Block:
    return Block(title, tuple(map(_formula, table["formula"])), tuple(map(_symbol, table["symbols"])))


def _formula(text: str) -> Formula:
    symbol, rest = text.split(" = ", 1)
    expression, _, where = rest.partition(", where ")
    return Formula(symbol, expression, where)


def _symbol(text: str) -> Symbol:
    found = _SYMBOL.fullmatch(text)
    if found is None:
        raise ValueError(f"not a symbol with its meaning: {text!r}")
    neutral = _NEUTRAL.search(found["meaning"])
    value = float(neutral["value"]) if neutral else None
    return Symbol(found["symbol"], found["meaning"], found["unit"] or "", value)
