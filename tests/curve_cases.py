"""Curves that several tests share, solved once in a process."""

from __future__ import annotations

from functools import cache
from typing import Any

import hoopwright
from hoopwright.case.model import Case
from hoopwright.document.curves import document
from hoopwright.sizing.cell_curves import CellCurves, cell_curves
from hoopwright.starters import starter_text


@cache
def plain_case() -> Case:
    """The plain starter on a coarse mesh."""
    return hoopwright.parse_case(plain_text(), file="plain.toml")


def plain_text() -> str:
    return starter_text("plain") + "\n[mesh]\nelements_through_wall = 2\n"


@cache
def plain_curves() -> CellCurves:
    return cell_curves(plain_case())


def plain_document() -> dict[str, Any]:
    return document(plain_curves())
