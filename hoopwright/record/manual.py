"""The manual as a PDF: the mechanics in short, one repair worked by the tool as it is made, every row."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from hoopwright.cautions import CAUTIONS, LIMITS
from hoopwright.display.written import as_written, holding_test
from hoopwright.document.explain import block_part, explanation_part
from hoopwright.explanations import Block as Formulae
from hoopwright.explanations import Explanation, mechanics
from hoopwright.record.formula import typeset, typeset_symbol
from hoopwright.record.pages.blocks import Block, bullets, facts, heading, text
from hoopwright.record.pages.cautions import cautions
from hoopwright.record.pages.worked import worked_repair
from hoopwright.record.pdf import plain_pdf
from hoopwright.rows.installed import every_explanation
from hoopwright.version import VERSION

TITLE = "Ways in which a pressed sleeve fails, and how each is judged"
READING = (
    "Every margin of a check can be followed line by line with hoopwright check CASE --working ROW. Here "
    "stands what its lines mean. Demand is what is asked of the joint, limit what it may be, n the factor "
    "of safety on the demand; a margin of zero is the limit. Where a meaning has an ellipsis, the working "
    "names the metal, the thread or the place.",
    "A label tells how a source is known: seen, read in the place named; from memory, recalled and not "
    "opened; common practice, no source; our choice, of this tool.",
)
ALWAYS = ("demand", "limit", "n", "margin")
"""Symbols that all rows have, explained once."""


def manual() -> bytes:
    """The PDF; the same version gives the same bytes."""
    blocks = [*_mechanics(), *worked_repair(), *_rows(), {"kind": "new_page"}]
    blocks += cautions({"cautions": CAUTIONS, "limits": LIMITS})
    return plain_pdf(
        {
            "paper": "a4",
            "kind": "hoopwright manual",
            "title": TITLE,
            "invented": "",
            "foot": f"hoopwright {VERSION} · an aid to judgement, not an approval",
            "keywords": [],
            "blocks": blocks,
            "appendix": [],
        }
    )


def _mechanics() -> Iterable[Block]:
    yield {"kind": "chapter", "text": "The mechanics in two pages"}
    for one in mechanics():
        yield heading(one.title)
        yield from (text(paragraph) for paragraph in one.paragraphs)
        if one.block:
            yield from _formulae(one.block)


def _rows() -> Iterable[Block]:
    yield {"kind": "chapter", "text": "The ways to fail, one by one"}
    yield from map(text, READING)
    shown = {one.block.title: "on the first pages" for one in mechanics() if one.block}
    for row in every_explanation():
        yield from _row(row, shown)


def _row(row: Explanation, shown: dict[str, str]) -> Iterable[Block]:
    """The pages of a row. shown: where formulae that rows share were shown, by their title; more is
    added."""
    d = explanation_part(row)
    yield {"kind": "chapter", "text": d["title"][0].upper() + d["title"][1:]}
    factor = f", factor n: [factors] {d['factor']}" if d["factor"] else ", no factor"
    yield facts(
        (
            ("judged", ", ".join(d["stages"])),
            ("demand and limit", f"in {as_written(d['unit'])}{factor}"),
            ("name for machines", d["id"]),
            ("not part of hoopwright", d.get("distribution", "")),
        )
    )
    for title, words in (("What fails", d["fails"]), ("How it looks in the shop", d["looks"])):
        yield heading(title)
        yield text(words)
    for k, block in enumerate(row.blocks):
        yield heading(block.title)
        if k and block.title in shown:
            yield text(
                f"Beyond what is shown {shown[block.title]}:"
                if block.by_hand
                else f"As {shown[block.title]}."
            )
        if not k or block.by_hand or block.title not in shown:
            yield from _formulae(_without_mechanics(block) if block.by_hand else block)
        if k:
            shown.setdefault(block.title, f"for {row.title}")
    for title, items in (
        ("Range", d["range"]),
        ("Left out", d["left_out"]),
        ("Sources", [f"{one['what']} ({one['label']})" for one in d["sources"]]),
    ):
        yield heading(title)
        yield bullets(items)
    yield heading("Tests that hold it")
    yield bullets(map(holding_test, d["tests"]), small=True)


def _without_mechanics(block: Formulae) -> Formulae:
    """A block without what the mechanics have shown under its title."""
    first = next(one.block for one in mechanics() if one.block and one.block.title == block.title)
    own = tuple(one for one in block.formulae if one not in first.formulae)
    symbols = tuple(one for one in block.symbols if one not in first.symbols)
    return Formulae(block.title, own, symbols, by_hand=True)


def _formulae(block: Formulae) -> Iterable[Block]:
    d = block_part(block)
    yield {
        "kind": "formulae",
        "rows": [
            [
                f"{typeset_symbol(one['symbol'])} = {typeset(one['expression'])}",
                f"where {one['where']}" if one["where"] else "",
            ]
            for one in d["formulae"]
        ],
    }
    own = [one for one in d["symbols"] if one["symbol"] not in ALWAYS]
    yield {"kind": "symbols", "rows": [[typeset_symbol(one["symbol"]), _with_unit(one)] for one in own]}


def _with_unit(one: dict[str, Any]) -> str:
    return f"{one['meaning']}, {as_written(one['unit'])}" if one["unit"] else one["meaning"]
