"""Whether boring cuts the damage away: the depth cut on every land against the depth of the damage."""

from __future__ import annotations

from hoopwright.case.sizing_model import Boring
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, row_of, worst_of
from hoopwright.estimate import Estimate
from hoopwright.geometry.land import Land


def damage_removed(evidence: Evidence) -> Margin:
    """The land of the bore with the least metal cut away beyond the damage."""
    case = evidence.case
    if case.boring is None:
        return Margin(
            "damage_removed",
            "damage cut away",
            None,
            None,
            "mm",
            1.0,
            Location("shell"),
            "depth cut against depth of damage",
            applies=False,
        )
    return on_lands(case.boring, case.shell.bore)


def on_lands(boring: Boring, lands: tuple[Land, ...]) -> Margin:
    """The row of the lands of a bore."""
    return row_of([worst_of([_on_land(boring, land) for land in lands])])


def _on_land(boring: Boring, land: Land) -> Margin:
    """One land, at its least diameter. A bore off centre must be larger by the runout to clean up all."""
    bore = land.least_diameter - land.plus_minus
    at_start = land.diameter_start <= land.diameter_end
    damage = 0.5 * (boring.damage_diameter + boring.runout - boring.bore_now)
    return Margin(
        id="damage_removed",
        title="damage cut away",
        demand=Estimate(damage),
        capacity=Estimate(0.5 * (bore - boring.bore_now)),
        unit="mm",
        factor=1.0,
        where=Location("shell", 0.5 * bore, land.z_start if at_start else land.z_end),
        basis="depth cut from [boring] bore_now to the least size of the bore, against the depth of the "
        "damage and half the runout of the set-up",
    )
