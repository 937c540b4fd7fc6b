"""A load whose direction turns round the axis, as the few load vectors that it is made of.

Seen from the body that carries it, the load turns and the support stands still. At the angle φ it is

    the traction on its seat, turned by φ   +   reactions cos φ   +   reactions sin φ   +   what stands

because a reaction follows from the resultant of the load, which is linear in (cos φ, sin φ). Harmonic 1 of
the seat's traction is as well: it goes with the reactions, so that every part is in equilibrium by itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from hoopwright.loads.fourier_series import FourierSeries
from hoopwright.loads.traction import FourierTraction, traction

RESULTANT_HARMONIC = 1
"""The harmonic of a radial traction that has a resultant across the axis."""

Tractions = tuple[FourierTraction, ...]


@dataclass(frozen=True)
class TurningLoad:
    """The parts of a load that turns.

    turned: traction on the seat at φ = 0 without its harmonic 1. along_x, along_y: that harmonic with the
    reactions, for the load at 0° and at 90°. standing: what does not turn.
    """

    turned: Tractions
    along_x: Tractions
    along_y: Tractions
    standing: Tractions

    @property
    def parts(self) -> tuple[Tractions, Tractions, Tractions, Tractions]:
        return self.turned, self.along_x, self.along_y, self.standing


def turning_load(
    at_0: tuple[Tractions, Tractions], at_90: tuple[Tractions, Tractions], standing: Tractions
) -> TurningLoad:
    """The parts of a load from its tractions on the seat and its reactions with the load at 0° and 90°."""

    def resultant_part(seat: Tractions) -> Tractions:
        return tuple(_with_harmonics(t, lambda n: n == RESULTANT_HARMONIC) for t in seat)

    (seat, reactions), (seat_across, reactions_across) = at_0, at_90
    return TurningLoad(
        tuple(_with_harmonics(t, lambda n: n != RESULTANT_HARMONIC) for t in seat),
        (*resultant_part(seat), *reactions),
        (*resultant_part(seat_across), *reactions_across),
        standing,
    )


def _with_harmonics(t: FourierTraction, wanted: Callable[[int], bool]) -> FourierTraction:
    """The traction with those of its harmonics alone that are wanted."""

    def chosen(series: FourierSeries) -> FourierSeries:
        cosine, sine = (
            tuple(c if wanted(n) else 0.0 for n, c in enumerate(part)) for part in (series.cos, series.sin)
        )
        return FourierSeries(cosine, sine)

    return traction(
        t.face,
        level=t.level,
        start=t.start,
        end=t.end,
        radial=chosen(t.radial),
        hoop=chosen(t.hoop),
        axial=chosen(t.axial),
        factors=(t.factor_start, t.factor_end),
    )
