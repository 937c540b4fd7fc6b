"""SVG figures with a title and a description, and with ids that no other figure has.

Two figures may stand on one page: what one of them refers to by "#id" must not be found in the other.
"""

from __future__ import annotations

import re
from html import escape

_START = re.compile(r"<svg\b[^>]*>")
_ID = re.compile(r'\bid="([^"]+)"')
_REFERENCE = re.compile(r'(\bhref="#|url\(#)([^")]+)')
_NOT_IN_AN_ID = re.compile(r"[^A-Za-z0-9_-]")


def labelled(svg: bytes, name: str, *, title: str, description: str) -> bytes:
    """The figure under its name: every id and every reference to one begins with it, and title and
    description are what a screen reader says."""
    prefix = _NOT_IN_AN_ID.sub("-", name)
    text = svg.decode("utf-8")
    text = _ID.sub(rf'id="{prefix}-\1"', text)
    text = _REFERENCE.sub(rf"\1{prefix}-\2", text)
    start = _START.search(text)
    if start is None:
        raise ValueError("no SVG")
    opened = f'{start[0][:-1]} role="img" aria-labelledby="{prefix}-title {prefix}-description">'
    words = (
        f'\n <title id="{prefix}-title">{escape(title)}</title>'
        f'\n <desc id="{prefix}-description">{escape(description)}</desc>'
    )
    return (text[: start.start()] + opened + words + text[start.end() :]).encode("utf-8")
