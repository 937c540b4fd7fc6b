"""Size of the paper, and its name to the typesetter."""

from __future__ import annotations

from hoopwright.case.model import Case

PAPER = {"metric": "A4", "inch": "letter"}
"""Customary with the units of the reader."""
TYPESETTER_NAME = {"A4": "a4", "letter": "us-letter"}


def paper_of(case: Case, system: str) -> str:
    """What the case asks for, or what is customary with the units."""
    return case.paper or PAPER[system]
