"""Build the balanced load cases of a case and the load cycles made of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from hoopwright.case.service_model import BearingInput, CrankInput, CupInput, ServiceInput
from hoopwright.geometry.joint import stands_proud
from hoopwright.geometry.land import End, at_end
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve
from hoopwright.loads.bearing import BearingLoad
from hoopwright.loads.cases import (
    PEDAL_TESTS,
    CrankShell,
    Cycle,
    LoadCase,
    bearing_case,
    level_pedal,
    pedal_test,
    side_impact,
    standing_start,
)
from hoopwright.loads.pedal import Chain
from hoopwright.loads.seat_load import LoadBand, Shoulder
from hoopwright.loads.spindle import Cup, Cups
from hoopwright.loads.support import ClampedBand, TubeSupport
from hoopwright.loads.traction import MAX_HARMONIC, breaks

TEST_LEVER = 75.0
"""Lever arm that replaces the chain in the pedalling test, mm; from memory, not seen in the standard."""


@dataclass(frozen=True)
class ServiceLoads:
    """Service loads of a case.

    cases: every load case. cycles: the loads that repeat, each unloaded between its load cases.
    edges: z, mm, where loads on the bore and the clamped band begin and end; the mesh has a line at each.
    """

    cases: tuple[LoadCase, ...]
    cycles: tuple[Cycle, ...]
    edges: tuple[float, ...]


@lru_cache(maxsize=16)
def service_loads(
    service: ServiceInput | None, shell: Shell, sleeve: Sleeve, *, harmonics: int = MAX_HARMONIC
) -> ServiceLoads:
    """Service loads of a case, empty where it has no [service]. harmonics: highest n carried.

    Raises ValueError where a load does not fit the shell and sleeve.
    """
    if service is None:
        return ServiceLoads((), (), ())
    support = service.support if isinstance(service.support, ClampedBand) else TubeSupport(service.support)
    _check_support(support, shell)
    cases: list[LoadCase] = []
    cycles: list[Cycle] = []
    if service.crank is not None:
        crank = _crank(service.crank, shell, sleeve, support)
        test, others = _crank_loads(service, service.crank, crank, harmonics)
        cases += (list(test.cases) if test else []) + others
        cycles += [replace(test, count=service.cycles or test.count)] if test else []
    for given in service.bearings:
        found = _bearing(given, shell, sleeve, support, harmonics)
        cases.append(found)
        cycles.append(Cycle(found.name, (found,), given.cycles or service.cycles or 0, "user"))
    _check_names(cases)
    return ServiceLoads(tuple(cases), tuple(cycles), _edges(cases))


def type_without_source(service: ServiceInput | None) -> str:
    """The type of bicycle whose pedalling test has no published source, or ""."""
    bicycle = None if service is None else service.pedalling_test
    return "" if bicycle is None or PEDAL_TESTS[bicycle].has_source else bicycle


def _crank_loads(
    service: ServiceInput, given: CrankInput, crank: CrankShell, harmonics: int
) -> tuple[Cycle | None, list[LoadCase]]:
    """The pedalling test as a cycle, or None, and the single load cases."""
    cycle: Cycle | None = None
    others: list[LoadCase] = []
    chain_z = crank.middle + (given.chain_line or 0.0)
    if service.pedalling_test is not None:
        cycle = pedal_test(
            service.pedalling_test, crank, chain_z=chain_z, lever=TEST_LEVER, harmonics=harmonics
        )
    if service.standing_start is not None:
        # reading the case has already required these lengths where a standing start is given
        others += standing_start(
            service.standing_start,
            crank,
            Chain(given.chainring_radius or 0.0, chain_z),
            crank_length=given.crank_length or 0.0,
            offset=given.pedal_offset or 0.0,
            harmonics=harmonics,
        )
    if service.level_pedal_test:
        others.append(
            level_pedal(
                crank,
                Chain(given.chainring_radius or 0.0, chain_z),
                crank_length=given.crank_length or 0.0,
                offset=given.pedal_offset or 0.0,
                harmonics=harmonics,
            )
        )
    impact = service.side_impact
    if impact is not None:
        others.append(
            side_impact(
                impact.force,
                crank,
                radius=impact.radius,
                angle=impact.angle,
                side=impact.side,
                harmonics=harmonics,
            )
        )
    return cycle, others


def _crank(
    given: CrankInput, shell: Shell, sleeve: Sleeve, support: TubeSupport | ClampedBand
) -> CrankShell:
    cups = Cups(
        left=_cup(given.left, "left", shell, sleeve),
        right=_cup(given.right, "right", shell, sleeve),
        axial=given.axial_to,
    )
    return CrankShell(shell, cups, support, given.centre_line)


def _cup(given: CupInput, side: End, shell: Shell, sleeve: Sleeve) -> Cup:
    band = _band(given.start, given.end, given.mounting, sleeve, f"{side}_cup")
    return Cup(given.bearing, band, _shoulder(given.flange_diameter, side, shell, sleeve))


def _band(start: float, end: float, mounting: str, sleeve: Sleeve, what: str) -> LoadBand:
    """Band of the sleeve's bore from start to end. Raises ValueError unless it has one diameter."""
    zones = [z for z in sleeve.bore if z.z_start < end and z.z_end > start]
    if start < sleeve.z_start - 1e-6 or end > sleeve.z_end + 1e-6 or not zones:
        raise ValueError(
            f"{what}: from {start:g} to {end:g} mm is not inside the sleeve, which reaches "
            f"from {sleeve.z_start:g} to {sleeve.z_end:g} mm"
        )
    if len({round(z.diameter, 6) for z in zones}) > 1:
        raise ValueError(
            f"{what}: the bore changes diameter between {start:g} and {end:g} mm; "
            "end the band where the diameter changes"
        )
    return LoadBand(start, end, 0.5 * zones[0].diameter, mounting)  # type: ignore[arg-type]


def _shoulder(flange: float | None, side: End, shell: Shell, sleeve: Sleeve) -> Shoulder | None:
    """Face under the flange of a cup: the sleeve's where it stands proud, or where the flange is no larger
    than the bore, else the shell's."""
    if flange is None:
        return None
    z = 0.0 if side == "left" else shell.width
    bore, outside = (float(at_end(lands, side).diameter_at(z)) for lands in (shell.bore, shell.outside))
    if flange > bore and side not in stands_proud(shell, sleeve):
        return Shoulder(f"shell.{side}", z, 0.5 * bore, 0.5 * min(flange, outside))
    at = sleeve.z_start if side == "left" else sleeve.z_end
    inner = at_end(sleeve.bore, side).diameter
    if flange <= inner:
        raise ValueError(
            f"{side}_cup: a flange of {flange:g} mm does not reach beyond the sleeve's bore of {inner:g} mm"
        )
    turned = float(at_end(sleeve.whole_outside, side).diameter_at(at))
    return Shoulder(f"sleeve.{side}", at, 0.5 * inner, 0.5 * min(flange, turned))


def _bearing(
    given: BearingInput, shell: Shell, sleeve: Sleeve, support: TubeSupport | ClampedBand, harmonics: int
) -> LoadCase:
    if given.radial == 0.0 and given.axial == 0.0:
        raise ValueError(f"bearing {given.name!r}: no load; give radial or axial")
    if given.rotates and given.radial == 0.0:
        raise ValueError(
            f"bearing {given.name!r}: no radial load to rotate; give radial or leave rotates out"
        )
    load = BearingLoad(given.radial, given.angle, given.axial, given.z)
    return bearing_case(
        given.name,
        load,
        _band(given.start, given.end, given.mounting, sleeve, f"bearing {given.name!r}"),
        shell,
        support,
        rotates=given.rotates,
        harmonics=harmonics,
    )


def _check_support(support: TubeSupport | ClampedBand, shell: Shell) -> None:
    if isinstance(support, ClampedBand) and (support.z_start < -1e-6 or support.z_end > shell.width + 1e-6):
        raise ValueError(
            f"clamped: from {support.z_start:g} to {support.z_end:g} mm is not on the shell, which "
            f"is {shell.width:g} mm wide"
        )


def _check_names(cases: list[LoadCase]) -> None:
    names = [case.name for case in cases]
    repeated = next((name for name in names if names.count(name) > 1), None)
    if repeated is not None:
        raise ValueError(f"two loads are named {repeated!r}; give each bearing a name of its own")


def _edges(cases: list[LoadCase]) -> tuple[float, ...]:
    """Ends in z of the loads on the bore and of the clamped band.

    The tubes' footprints spread their load smoothly and need no edge.
    """
    loads = [t for case in cases for t in case.tractions if not t.on_end_face]
    found = {z for places in breaks(loads).values() for z in places}
    found |= {z for case in cases if case.clamped for z in (case.clamped.z_start, case.clamped.z_end)}
    return tuple(sorted(found))
