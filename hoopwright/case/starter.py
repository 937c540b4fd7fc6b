"""A case file to start from: commented, complete, and sound as it is."""

from __future__ import annotations

from importlib import resources


def starter_text() -> str:
    """The text of the starter case, an invented example that reads without a fault."""
    return resources.files("hoopwright.case").joinpath("starter.toml").read_text("utf-8")
