"""The starter case: a commented, complete case file that reads without a fault."""

from __future__ import annotations

from importlib import resources


def starter_text() -> str:
    """Text of the starter case, an invented example."""
    return resources.files("hoopwright.case").joinpath("starter.toml").read_text("utf-8")
