"""One step of the order of work."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Step:
    """One thing to do. id: stable name for machines."""

    id: str
    text: str
