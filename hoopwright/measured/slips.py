"""What a number written down may have been meant to be: by one slip of the pen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import combinations


def likeliest_slip(text: str, off: Callable[[float], float], *, within: float) -> tuple[str, str]:
    """The number that a slip may have turned into `text`, and the slip, in words; "" for both where no
    single slip explains it.

    off: distance of a number from where it belongs. within: distance up to which it belongs there. The
    commoner slip comes first, then the number nearest to its place.

    >>> likeliest_slip("36.673", lambda v: abs(v - 36.637), within=0.003)
    ('36.637', 'two digits swapped')
    >>> likeliest_slip("1.5015", lambda v: abs(v - 1.5004), within=0.0003)
    ('1.5005', 'one digit')
    """
    for slip, numbers in (
        ("two digits swapped", _neighbours_swapped(text)),
        ("the decimal point moved", _point_moved(text)),
        ("two digits swapped", _any_swapped(text)),
        ("one digit", _one_digit(text)),
    ):
        near = [n for n in numbers if n != text and off(float(n)) <= within]
        if near:
            return min(near, key=lambda n: off(float(n))), slip
    return "", ""


def _neighbours_swapped(text: str) -> Iterator[str]:
    places = [k for k, c in enumerate(text) if c.isdigit()]
    yield from (_swapped(text, a, b) for a, b in zip(places, places[1:], strict=False))


def _any_swapped(text: str) -> Iterator[str]:
    places = [k for k, c in enumerate(text) if c.isdigit()]
    yield from (_swapped(text, a, b) for a, b in combinations(places, 2))


def _swapped(text: str, a: int, b: int) -> str:
    return text[:a] + text[b] + text[a + 1 : b] + text[a] + text[b + 1 :]


def _point_moved(text: str) -> Iterator[str]:
    for places in (-3, -2, -1, 1, 2, 3):
        yield f"{Decimal(text).scaleb(places):f}"


def _one_digit(text: str) -> Iterator[str]:
    for k, c in enumerate(text):
        if c.isdigit():
            yield from (text[:k] + other + text[k + 1 :] for other in "0123456789")
