"""Cautions and limits of the method, in two columns."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block, bullets, heading, two_columns


def cautions(d: dict[str, Any]) -> list[Block]:
    return [
        two_columns(
            [heading("Cautions"), bullets(d["cautions"], small=True)],
            [heading("Limits of the method"), bullets(d["limits"], small=True)],
        )
    ]
