"""Friction implied by a published table of press forces.

The table gives the force that presses a pin home as P = A a F/2 in short tons, with A the area of contact
in in², a the allowance in in and F a force factor that falls with diameter. Lamé gives the pressure p that
the allowance makes; what remains of the force is friction, μ = P/(p A), independent of a and A.
"""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.closed_form.compound_cylinder import contact_pressure

SOURCE = "ANSI B4.1 force and shrink fits, force factors as given on a reference page"
LABEL = "seen"
ASSUMED = (
    "the hub is twice the pin (seen on a second page); a pin of machine steel in a hub of cast iron (from "
    "memory; E 100 GPa, ν 0.25, from memory)"
)
FORCE_FACTORS = {
    1.0: 500.0,
    2.0: 240.0,
    3.0: 155.0,
    4.0: 115.0,
    5.0: 91.0,
    6.0: 75.0,
    8.0: 55.0,
    10.0: 43.5,
}
"""F by diameter of the pin, in."""
STEEL, CAST_IRON = (205e3, 0.29), (100e3, 0.25)
"""E in MPa and ν."""

FRICTION_LOW, FRICTION_HIGH = 0.07, 0.11
"""Pressing steel on steel, oiled to dry; from memory, after DIN 7190-1, which was not seen. None was found
for cast iron."""
WIDENED_BY = 0.1
"""Share by which a friction may lie outside that range and still agree."""

MM_PER_INCH, N_PER_SHORT_TON = 25.4, 8896.443230521


@dataclass(frozen=True)
class ImpliedFriction:
    """One row of the table. diameter: of the pin, mm. cast_iron: friction implied with a hub of cast iron;
    steel: if the hub were steel."""

    diameter: float
    force_factor: float
    cast_iron: float
    steel: float

    @property
    def agrees(self) -> bool:
        """Whether the friction of a cast-iron hub lies in the range of what is published."""
        low, high = FRICTION_LOW * (1.0 - WIDENED_BY), FRICTION_HIGH * (1.0 + WIDENED_BY)
        return low <= self.cast_iron <= high


def implied_friction() -> tuple[ImpliedFriction, ...]:
    """The friction that every row of the table implies."""
    return tuple(
        ImpliedFriction(
            inches * MM_PER_INCH,
            factor,
            _friction(inches, factor, CAST_IRON),
            _friction(inches, factor, STEEL),
        )
        for inches, factor in FORCE_FACTORS.items()
    )


def _friction(inches: float, factor: float, hub: tuple[float, float]) -> float:
    """Force on a unit of area over Lamé's pressure, both at a diametral allowance of 1 mm."""
    diameter = inches * MM_PER_INCH
    per_area = factor / 2.0 / MM_PER_INCH * N_PER_SHORT_TON / MM_PER_INCH**2
    pressure = contact_pressure(
        radial_interference=0.5,
        sleeve_bore_radius=0.0,
        interface_radius=diameter / 2.0,
        shell_outer_radius=diameter,
        sleeve=STEEL,
        shell=hub,
    )
    return float(per_area / pressure)


def spread(frictions: tuple[float, ...]) -> float:
    """Greatest distance from their mean, as a share of it."""
    mean = sum(frictions) / len(frictions)
    return max(abs(f / mean - 1.0) for f in frictions)
