"""The case of a repair route: its bore and its pressed-in part under the loads of the case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hoopwright.case.metal_pair import with_sleeve_of
from hoopwright.case.model import Case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.geometry import BoreZone, Shell, Sleeve
from hoopwright.geometry.land import Land, cylinder
from hoopwright.sizing.finished import bore_is_cut

SAME = 1e-6
"""Difference of two sizes, mm, that is rounding."""


def route_case(case: Case, route: RouteInput) -> Case:
    """The case of a route: the same loads, with its bore and its pressed-in part."""
    bores = case.shell.bore
    if route.kind == "larger seat":
        assert route.bore is not None
        plus_minus = max(b.plus_minus for b in bores)
        bores = (cylinder(0.0, case.shell.width, route.bore, plus_minus),)
    elif route.bore is not None:
        increase = route.bore - max(b.mean_diameter for b in bores)
        bores = tuple(_enlarged(b, increase) for b in bores)
    bores = case.shell.bore if _is_the_bore(case, bores) else bores
    shell = Shell(case.shell.width, case.shell.outside, bores)
    material = route.part_material or case.sleeve_material
    fatigue = case.fatigue  # the case's own S-N data are those of its own material
    if material != case.sleeve_material:
        fatigue = replace(fatigue, sleeve=None)
    changed = replace(
        with_sleeve_of(case, material),
        shell=shell,
        sleeve=_pressed_part(case, route, shell),
        fatigue=fatigue,
    )
    return _without_readings_of_what_is_cut(case, changed)


def _without_readings_of_what_is_cut(case: Case, changed: Case) -> Case:
    """The case of a route without the readings of surfaces that it does not leave as they are. Those of a
    bore that it leaves stay whatever sleeve goes in: it is as far out of round, and as much in doubt."""
    if changed.shell.bore is not case.shell.bore:
        outside = tuple(m for m in case.shell_measured if m.surface == "outside")
        changed = replace(changed, shell_measured=outside)
    if changed.sleeve.outside is not case.sleeve.outside:
        changed = replace(changed, sleeve_measured=())
    return changed


def _alike(ours: Sequence[Land], theirs: Sequence[Land]) -> bool:
    """Whether lands are alike in place and size."""

    def sizes(lands: Sequence[Land]) -> list[float]:
        return [x for b in lands for x in (b.z_start, b.z_end, b.diameter_start, b.diameter_end)]

    pairs = zip(sizes(ours), sizes(theirs), strict=False)
    return len(ours) == len(theirs) and all(abs(a - b) < SAME for a, b in pairs)


def _pressed_part(case: Case, route: RouteInput, shell: Shell) -> Sleeve:
    """The pressed-in part: the sleeve of the case enlarged with the bore, or a plain part of its length."""
    sleeve = case.sleeve
    zones = sleeve.bore
    if route.part_bore is not None:
        zones = (BoreZone(sleeve.z_start, sleeve.z_end, route.part_bore),)
    plus_minus = max(b.plus_minus for b in sleeve.outside)
    if route.interference is not None:
        start, end = sleeve.neck
        met = [b for b in shell.bore if min(b.z_end, end) - max(b.z_start, start) > 1e-6]
        outside = tuple(
            cylinder(
                start if b is met[0] else b.z_start,
                end if b is met[-1] else b.z_end,
                b.mean_diameter + route.interference,
                plus_minus,
            )
            for b in met
        )
    else:
        increase = max(b.mean_diameter for b in shell.bore) - max(b.mean_diameter for b in case.shell.bore)
        outside = (
            sleeve.outside if increase == 0.0 else tuple(_enlarged(b, increase) for b in sleeve.outside)
        )
    outside = sleeve.outside if _alike(outside, sleeve.outside) else outside
    return replace(sleeve, outside=outside, bore=zones)


def _enlarged(land: Land, increase: float) -> Land:
    return replace(
        land, diameter_start=land.diameter_start + increase, diameter_end=land.diameter_end + increase
    )


def _is_the_bore(case: Case, bores: Sequence[Land]) -> bool:
    """Whether the bore of a route is that of the case, and not one that is yet to be cut."""
    same = [abs(by) <= known_to for known_to, by in _smaller_by(case, bores)]
    return len(bores) == len(case.shell.bore) and all(same)


def smaller_than_bored(case: Case, bores: Sequence[Land]) -> bool:
    """Whether a route has a bore smaller than a land that is cut: no cut makes it so."""
    return any(
        bore_is_cut(case, {index}) and by > known_to
        for index, (known_to, by) in enumerate(_smaller_by(case, bores))
    )


def _smaller_by(case: Case, bores: Sequence[Land]) -> list[tuple[float, float]]:
    """How well each land of the bore of the case is known, and how much smaller the bore of a route is
    there, mm on diameter. A size that is a plan is exact; that of a land which is cut has its ±. The bore
    of a route has the same lands, or is one cylinder."""
    ours = case.shell.bore
    theirs = bores if len(bores) == len(ours) else [bores[0]] * len(ours)
    found = []
    for index, (a, b) in enumerate(zip(ours, theirs, strict=True)):
        by = a.diameter_start - b.diameter_start, a.diameter_end - b.diameter_end
        known_to = max(a.plus_minus, SAME) if bore_is_cut(case, {index}) else SAME
        found.append((known_to, max(by, key=abs)))
    return found


def is_the_joint(case: Case, variant: Case) -> bool:
    """Whether a route is the joint as the case has it, of which readings of the press and a proof are."""
    return (
        variant.sleeve_material == case.sleeve_material
        and variant.sleeve.bore == case.sleeve.bore
        and _alike(variant.shell.bore, case.shell.bore)
        and _alike(variant.sleeve.outside, case.sleeve.outside)
    )
