"""Taking a failed sleeve out, and what the shell has been through for a second one."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block, bullets, heading, keep_together


def removal(d: dict[str, Any]) -> list[Block]:
    part = d["sheet"]["removal"]
    if part is None:
        return []
    return [keep_together(heading("Taking it out again"), bullets(part["text"], small=True))]
