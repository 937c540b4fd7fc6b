"""Explanations of rows as one JSON document."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from hoopwright.document.heading import tool_part
from hoopwright.explanations import Block, Explanation
from hoopwright.rows.installed import origin_part


def document(rows: Iterable[Explanation]) -> dict[str, Any]:
    """Some rows in full. Expressions are in the grammar of the working."""
    return {
        **tool_part("explain"),
        "rows": [explanation_part(row) for row in rows],
    }


def explanation_part(row: Explanation) -> dict[str, Any]:
    """One row in full."""
    return {
        "id": row.id,
        "title": row.title,
        **origin_part(row.id),
        "stages": list(row.stages),
        "fails": row.fails,
        "looks": row.looks,
        "unit": row.unit,
        "factor": row.factor or None,
        "formulae": [block_part(block) for block in row.blocks],
        "range": list(row.validity),
        "left_out": list(row.left_out),
        "sources": [asdict(source) for source in row.sources],
        "tests": list(row.tests),
    }


def block_part(block: Block) -> dict[str, Any]:
    """Formulae with their symbols, each with what it stands for."""
    return {
        "title": block.title,
        "by_hand": block.by_hand,
        "formulae": [asdict(formula) for formula in block.formulae],
        "symbols": [{"symbol": one.symbol, "meaning": one.said, "unit": one.unit} for one in block.symbols],
    }
