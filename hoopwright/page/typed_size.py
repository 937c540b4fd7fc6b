"""A reading as it is typed: the whole size, or what the dial shows off the ring its gauge is set in."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from hoopwright.case.quantity import QuantityError, parse
from hoopwright.page.model import Bench

DIALS = {"um": "µm", "thou": "thou", "tenth": "tenths"}
"""Units of a dial, as a case writes them and as a person does."""
IN_MM = {unit: Decimal(size) for unit, size in (("mm", "1"), ("um", "0.001"), ("in", "25.4"))} | {
    "thou": Decimal("0.0254"),
    "tenth": Decimal("0.00254"),
    "tenths": Decimal("0.00254"),
}
METRIC = ("mm", "um")
FINEST = {"mm": Decimal("0.000001"), "in": Decimal("0.00000001")}
"""To which a size is carried over into the other system."""
NEAR_THE_RING = 0.05
"""Share of the ring up to which a bare number on a dial is taken for a whole size. Own choice."""
FAR = 0.25
"""Share of the size expected of a land beyond which a bare number is a slip. Own choice."""
_NUMBER = re.compile(r"(?P<number>[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))\s*(?P<unit>[A-Za-zµ]*)")


class TypedError(ValueError):
    """What was typed is no reading; its text says why, and what to type."""


@dataclass(frozen=True)
class Way:
    """How a gauge is read. dial: unit of its dial, "" for whole sizes. ring: what it is set in, as typed.
    fault: what is wrong with the ring. unit: of a whole size without one."""

    unit: str = "mm"
    dial: str = ""
    ring: str = ""
    fault: str = ""

    @property
    def off_a_ring(self) -> bool:
        return bool(self.dial and self.ring and not self.fault)

    @property
    def shown_unit(self) -> str:
        """The unit that a number without one has."""
        return DIALS[self.dial] if self.off_a_ring else self.unit


@dataclass(frozen=True)
class Size:
    """A diameter as it goes into the case."""

    number: str
    unit: str

    @property
    def mm(self) -> float:
        return parse(f"{self.number} {self.unit}", "length")


def way_of(bench: Bench, gauge: str) -> Way:
    """How a gauge is read, by what the address says of it."""
    unit = "in" if bench.units.system == "inch" else "mm"
    dial, ring = bench.asked.get(f"dial {gauge}", ""), bench.asked.get(f"ring {gauge}", "").strip()
    if dial not in DIALS:
        return Way(unit)
    if not ring:
        return Way(unit, dial, fault="the size of the ring is wanted, as it is marked")
    try:
        number, own = _whole(ring, unit, signed=False)
        return Way(unit, dial, f"{number} {own}")
    except TypedError as error:
        return Way(unit, dial, ring, str(error))


def size_of(typed: str, way: Way, *, expected: float | None = None) -> Size:
    """The size that is meant. expected: what the land is thought to have, mm. Raises TypedError."""
    text = typed.strip().replace("−", "-")
    if not text:
        raise TypedError("nothing typed; read it and type what the gauge shows")
    found = _NUMBER.fullmatch(text)
    if way.fault:
        raise TypedError(f"the ring of this gauge: {way.fault}")
    if way.off_a_ring and found is not None and _is_off_ring(found["number"], found["unit"], way):
        size = _off_ring(Decimal(found["number"]), found["unit"] or way.dial, way)
        bare = False
    else:
        size = Size(*_whole(text, way.unit, signed=True))
        bare = found is not None and not found["unit"]
    if bare and expected is not None and abs(size.mm - expected) > FAR * expected:
        advice = "of which unit? Write it with the number, or say under the gauge how it is read"
        raise TypedError(f"{size.number} {size.unit} is far from the size this land has; {advice}")
    return size


def _is_off_ring(number: str, unit: str, way: Way) -> bool:
    """Whether a number is what the dial shows. Raises TypedError where nobody can tell."""
    ring, own = way.ring.split()
    if unit:
        return unit in IN_MM and abs(Decimal(number)) * IN_MM[unit] < Decimal(ring) * IN_MM[own] / 2
    if abs(Decimal(number) - Decimal(ring)) <= Decimal(NEAR_THE_RING) * Decimal(ring):
        shown = DIALS[way.dial]
        advice = f"write {number} {own} for the whole size, or {number} {shown} for what the dial shows"
        raise TypedError(f"{number} may be the whole size or the dial; {advice}")
    return True


def _off_ring(number: Decimal, unit: str, way: Way) -> Size:
    ring, own = way.ring.split()
    whole = Decimal(ring) + carried(number, unit, own)
    if whole <= 0:
        raise TypedError("below nothing; check the number and the ring")
    size = Size(f"{whole:f}", own)
    try:
        parse(f"{size.number} {size.unit}", "length")
    except QuantityError as error:
        raise TypedError(f"{error.problem}; check the number and the ring") from None
    return size


def carried(number: Decimal, unit: str, into: str) -> Decimal:
    """A length in another unit: exact within one system, else to a fraction of what any gauge shows."""
    value = number * IN_MM[unit] / IN_MM[into]
    if (unit in METRIC) == (into in METRIC):
        return value
    finest = FINEST["mm"] / IN_MM[into] if into in METRIC else FINEST["in"] * IN_MM["in"] / IN_MM[into]
    return value.quantize(finest, ROUND_HALF_EVEN).normalize()


def in_unit(size: Size, unit: str) -> str:
    """The number of a size in the unit that the readings beside it are written in."""
    if size.unit == unit:
        return size.number
    if size.unit in IN_MM and unit in IN_MM:
        return f"{carried(Decimal(size.number), size.unit, unit):f}"
    return f"{size.mm / parse(f'1 {unit}', 'length'):.10g}"


def off_the_ring(mm: float, way: Way) -> str:
    """A size as the dial shows it, with its sign; "" where the gauge is read in whole sizes."""
    if not way.off_a_ring:
        return ""
    ring = parse(way.ring, "length")
    value = round((mm - ring) / float(IN_MM[way.dial]), 2)
    return f"{value:+g}" if value else "0"


def _whole(text: str, unit: str, *, signed: bool) -> tuple[str, str]:
    """Number and unit of a whole size. Raises TypedError."""
    found = _NUMBER.fullmatch(text)
    if signed and found is not None and found["number"][0] in "+-":
        raise TypedError(
            "a sign: is it what a dial shows? Say under the gauge which ring it is set in, or type the "
            "whole size"
        )
    number, own = (found["number"], found["unit"] or unit) if found else ("", "")
    own = {"µm": "um"}.get(own, own)
    try:
        mm = parse(f"{number} {own}" if found else _with_unit(text, unit), "length")
    except QuantityError as error:
        parts = (error.problem, error.hint, f"write {error.suggestion}" if error.suggestion else "")
        raise TypedError("; ".join(part for part in parts if part)) from None
    if not mm > 0.0:
        raise TypedError("a diameter is above zero")
    if found and own in IN_MM:
        return number.lstrip("+"), own
    return (f"{mm / 25.4:.10g}", "in") if unit == "in" else (f"{mm:.10g}", "mm")


def _with_unit(text: str, unit: str) -> str:
    """A text that ends in a digit is a number without a unit."""
    return f"{text} {unit}" if text[-1:].isdigit() else text
