"""The outer body: a tube with an outside profile and a bore, both made of lands."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.geometry.land import Land


@dataclass(frozen=True)
class Shell:
    """The shell after boring.

    width: length along z, mm; the shell reaches from z = 0 to z = width.
    outside, bore: lands that cover 0 to width without gap or overlap, in order of z.
    """

    width: float
    outside: tuple[Land, ...]
    bore: tuple[Land, ...]
