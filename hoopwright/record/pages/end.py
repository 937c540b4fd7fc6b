"""Cautions and limits."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block, bullets, heading, pair


def cautions(d: dict[str, Any]) -> list[Block]:
    return [pair([heading("Cautions"), bullets(d["cautions"], small=True)],
                 [heading("Limits of the method"), bullets(d["limits"], small=True)])]
