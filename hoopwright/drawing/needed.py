"""What a drawing needs that is not always installed."""

from __future__ import annotations

from importlib.util import find_spec

from hoopwright.errors import CaseError

NEEDED = ("ezdxf",)
"""Packages of the extra [drawing]."""


def require_packages() -> None:
    """Raise CaseError where one of them is not there."""
    if missing := [name for name in NEEDED if find_spec(name) is None]:
        problem = f"a drawing needs packages that are not installed ({', '.join(missing)})"
        raise CaseError.at("", problem, 'run: pip install "hoopwright[drawing]"')
