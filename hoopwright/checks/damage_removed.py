"""Whether boring cuts the damage away: the depth cut on every land against the depth of the damage."""

from __future__ import annotations

from dataclasses import replace

from hoopwright.case.model import Case
from hoopwright.case.sizing_model import Boring
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, row_of, worst_of
from hoopwright.estimate import Estimate
from hoopwright.geometry.land import End, Land
from hoopwright.geometry.stop import shoulder_at

NOT_BORED = "the shoulder that the sleeve rests on is not bored: look for damage there yourself"


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
    bored = bored_lands(case, case.boring)
    row = on_lands(case.boring, bored)
    return row if len(bored) == len(case.shell.bore) else replace(row, note=NOT_BORED)


def bored_lands(case: Case, boring: Boring) -> tuple[Land, ...]:
    """The lands of the bore that are cut: all but a shoulder that the sleeve rests on and that is narrower
    than the bore was before cutting."""
    ends: tuple[End, ...] = ("left", "right")
    shoulders = [shoulder_at(case.shell, case.sleeve, end) for end in ends]
    return tuple(
        land
        for land in case.shell.bore
        if land not in shoulders or land.greatest_diameter >= boring.bore_now
    )


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
