"""Maps of the joint in use: the stress that its rows judge over the section, and pressure over the seat."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.checks import evidence_of
from hoopwright.maps.by_temperature import AtTemperature, at_temperatures
from hoopwright.maps.moments import Moment, moments_of
from hoopwright.maps.seat import SeatMap, opening_map, slip_map
from hoopwright.maps.section import SectionGrid, section_grids
from hoopwright.one_thread import one_thread
from hoopwright.pipeline import Results


@dataclass(frozen=True)
class Maps:
    """What there is to see of the joint in use.

    moments: nearest its limit first, none where the case does not describe the joint in use. grids: of the
    bodies, on which the stress of every moment lies. opening, slip: None where the case gives no load that
    the seat is judged under.
    """

    results: Results
    moments: tuple[Moment, ...]
    grids: tuple[SectionGrid, ...]
    opening: SeatMap | None
    slip: SeatMap | None
    temperatures: tuple[AtTemperature, ...]


@one_thread()
def maps_of(results: Results) -> Maps:
    """The maps of a checked case; only moments that are new to it are solved."""
    evidence = evidence_of(results.case, results.study)
    moments = moments_of(evidence)
    return Maps(
        results,
        moments,
        section_grids(moments) if moments else (),
        opening_map(evidence),
        slip_map(evidence),
        at_temperatures(evidence),
    )


__all__ = ["AtTemperature", "Maps", "Moment", "SeatMap", "SectionGrid", "maps_of"]
