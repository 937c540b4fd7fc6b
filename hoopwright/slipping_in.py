"""The gap round a sleeve that slips in by heat or cold, at the tightest place of its way.

    gap = D (α_shell T_shell − α_sleeve T_sleeve) − (d − D + form + uncertainty)        (diametral)

On its way in every land of the sleeve passes every land of the shell that lies before its seat, so that
the widest stretch of the one meets the narrowest of the other. Nothing is smoothed. Form is how far bore
and sleeve together reach towards each other beyond their mean radii, at the worst angle: the sleeve goes in
at any.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from hoopwright.case.model import Case
from hoopwright.closed_form.thermal import assembly_clearance, shell_temperature_for_clearance
from hoopwright.entry import entry_side
from hoopwright.form import seat_form
from hoopwright.geometry.joint import Seat, joint
from hoopwright.geometry.land import Land
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.interference import effective_interference, measured, seat_errors
from hoopwright.materials import Material

EXPANSION_STEPS = 8
"""Times a temperature is found again with the expansion up to it; the change falls tenfold each time."""
DEFAULT_CLEARANCE_SHARE = 1e-3
"""Default diametral clearance for slipping in, as a share of the bore. DIN 7190-1 gives this figure (from
memory, not seen)."""


@dataclass(frozen=True)
class Passage:
    """A stretch of the sleeve that passes one of the shell, where it is tightest.

    bore_land, sleeve_land: indices. z: of the bore, mm. bore, turned: diameters there, mm, at 20 °C. form:
    of both, diametral, mm. plus_minus: half-width of the 95 % interval of their difference, form included,
    mm.
    """

    bore_land: int
    sleeve_land: int
    z: float
    bore: float
    turned: float
    form: float
    plus_minus: float

    @property
    def interference(self) -> float:
        """Likely diametral interference where it is greatest, form included, mm at 20 °C."""
        return self.turned - self.bore + self.form


@dataclass(frozen=True)
class SlippingIn:
    """All passages of a case.

    shell, sleeve: their metals. half_width: of the 95 % interval of the interference of the seats, mm,
    by which all passages shift together; those less certain than that by more.
    """

    passages: tuple[Passage, ...]
    shell: Material
    sleeve: Material
    half_width: float

    def gap(self, passage: Passage, shell_rise: float, sleeve_rise: float, shift: float) -> float:
        """Diametral gap of a passage, mm; negative where it sticks. Rises: K above 20 °C; shift: of the
        interference, mm."""
        return float(
            assembly_clearance(
                **self._at_20(passage, shift, shell_rise, sleeve_rise),
                shell_temperature_change=shell_rise,
                sleeve_temperature_change=sleeve_rise,
            )
        )

    def tightest(self, shell_rise: float, sleeve_rise: float, shift: float) -> tuple[float, Passage]:
        """The least gap, mm, and where it is."""
        gaps = [(self.gap(one, shell_rise, sleeve_rise, shift), k) for k, one in enumerate(self.passages)]
        gap, k = min(gaps)
        return gap, self.passages[k]

    def shell_rise_for(self, clearance: float, sleeve_rise: float, shift: float) -> float:
        """The temperature of the shell at which the least gap is a clearance, mm, K above 20 °C."""
        return max(self._rise_for(one, clearance, sleeve_rise, shift) for one in self.passages)

    def _rise_for(self, passage: Passage, clearance: float, sleeve_rise: float, shift: float) -> float:
        """The same for one passage; the expansion to that temperature is found by iteration."""
        rise = 0.0
        for _ in range(EXPANSION_STEPS if self.shell.expansions else 1):
            at_20 = self._at_20(passage, shift, rise, sleeve_rise)
            rise = float(
                shell_temperature_for_clearance(
                    **at_20, clearance=clearance, sleeve_temperature_change=sleeve_rise
                )
            )
        return rise

    def _at_20(
        self, passage: Passage, shift: float, shell_rise: float, sleeve_rise: float
    ) -> dict[str, float]:
        """A passage at 20 °C, as the closed forms of heat take it."""
        return {
            "interference": passage.interference + shift + max(passage.plus_minus - self.half_width, 0.0),
            "diameter": passage.bore - passage.form,
            "sleeve_alpha": self.sleeve.mean_expansion(sleeve_rise),
            "shell_alpha": self.shell.mean_expansion(shell_rise),
        }


def slipping_in(case: Case) -> SlippingIn:
    """The passages of the sleeve on its way in. Raises CaseError where it is blocked."""
    half_width = effective_interference(case, joint(case.shell, case.sleeve)).errors.half_width()
    from_left = entry_side(case) == "left"
    found = tuple(
        _passage(case, sleeve_land, bore_land, turned_at, bore_at)
        for sleeve_land, turned in enumerate(case.sleeve.blank.outside)
        for bore_land, bore in enumerate(case.shell.bore)
        for turned_at, bore_at in _tightest(turned, bore, *_without_chamfers(case, turned), from_left)
    )
    return SlippingIn(found, case.shell_material, case.sleeve_material, half_width)


def handling_gap(case: Case) -> float:
    """Diametral gap wanted to slip the sleeve in, mm."""
    wanted = case.press.heat.clearance_mm
    bore = max(land.mean_diameter for land in case.shell.bore)
    return DEFAULT_CLEARANCE_SHARE * bore if wanted is None else wanted


def _without_chamfers(case: Case, turned: Land) -> tuple[float, float]:
    """z of both ends of a land of the sleeve, mm, without what lies under a chamfer."""
    sleeve = case.sleeve.blank
    return (
        max(turned.z_start, sleeve.z_start + sleeve.chamfer_left),
        min(turned.z_end, sleeve.z_end - sleeve.chamfer_right),
    )


def _tightest(
    turned: Land, bore: Land, start: float, end: float, from_left: bool
) -> Iterator[tuple[float, float]]:
    """Where a land of the sleeve, from start to end, is tightest in one of the bore that it passes: z on
    the sleeve when it is home and z on the bore, mm; nothing where it never gets there.

    A place of the sleeve passes all of the bore that lies before the one it comes to rest at. Diameters are
    linear in z, so the greatest difference is at a corner of what is passed.
    """
    overlap = end - bore.z_start if from_left else bore.z_end - start
    if end - start < END_TOLERANCE or overlap < END_TOLERANCE:  # ends that only meet pass nothing
        return
    home = max(start, bore.z_start), min(end, bore.z_end)
    corners = [(a, b) for a in (start, end) for b in (bore.z_start, bore.z_end)]
    corners += [(z, z) for z in home if home[0] <= home[1]]
    passed = [(a, b) for a, b in corners if (b <= a if from_left else b >= a)]
    yield max(passed, key=lambda at: float(turned.diameter_at(at[0]) - bore.diameter_at(at[1])))


def _passage(case: Case, sleeve_land: int, bore_land: int, turned_at: float, bore_at: float) -> Passage:
    form = 2.0 * sum(abs(amplitude) for amplitude in seat_form(case, bore_land, sleeve_land).values())
    sizes = seat_errors(case, Seat(bore_at, bore_at, 0.0, 0.0, bore_land, sleeve_land)).half_width()
    lands = (("shell", "bore", bore_land), ("sleeve", "outside", sleeve_land))
    read = [found for land in lands if (found := measured(case, *land)) is not None]
    return Passage(
        bore_land,
        sleeve_land,
        bore_at,
        float(case.shell.bore[bore_land].diameter_at(bore_at)),
        float(case.sleeve.blank.outside[sleeve_land].diameter_at(turned_at)),
        form,
        hypot(sizes, *(0.5 * land.ovality_plus_minus for land in read)),
    )
