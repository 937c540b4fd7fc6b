"""Single changes that would make an empty window non-empty, each tried with the full checks.

They run on the coarser mesh, whose larger numerical error makes the windows slightly narrower.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from hoopwright.case.metal_pair import with_sleeve_of
from hoopwright.case.model import Case
from hoopwright.case.press_model import FREEZER_K, Press
from hoopwright.discretisation import usual_resolution
from hoopwright.display import Units
from hoopwright.fem import MeshError, SolveError
from hoopwright.geometry.validation import Stretch, joint_faults, shell_faults, sleeve_faults
from hoopwright.materials import table
from hoopwright.pressing.heat import heat_limit
from hoopwright.sizing.margin_curves import Check
from hoopwright.sizing.window import Window, find_window
from hoopwright.study import CaseStudy

MATERIALS = ("E355 steel", "4130 steel", "7075-T6")
"""Sleeve materials sold as tube or bar; those that differ from the material of the case are tried."""
EXTRA_WALL = 0.5
"""Sleeve wall, mm, added where a thicker sleeve is tried."""


@dataclass(frozen=True)
class Remedy:
    """One change, in words, and the window it gives; None where it cannot be made."""

    change: str
    window: Window | None


def try_remedies(case: Case, checks: Iterable[Check]) -> tuple[Remedy, ...]:
    """Try every change that applies to the case; sorted by the width of the window, widest first."""
    checks = tuple(checks)
    remedies = [Remedy(text, _window(changed, checks)) for text, changed in _changes(case)]
    return tuple(sorted(remedies, key=lambda remedy: -(remedy.window.width if remedy.window else -1.0)))


def _changes(case: Case) -> Iterable[tuple[str, Case]]:
    units = Units(case.units)
    for name in MATERIALS:
        material = table()[name]
        if material.name != case.sleeve_material.name:
            yield f"sleeve of {name}", with_sleeve_of(case, material)
    yield (
        f"sleeve wall {units.text(EXTRA_WALL, 'mm')} thicker, shell bored "
        f"{units.text(2 * EXTRA_WALL, 'mm')} larger",
        _larger_seat(case),
    )
    longer = with_longer_sleeve(case)
    if longer is not None:
        yield f"sleeve {units.along(longer.sleeve.length - case.sleeve.length)} longer", longer
    if case.press.capacity is not None and not case.press.slips_in:
        yield "assembly by heat and cold, press not needed", replace(case, press=_slipped_in(case))
    if case.compound is not None and case.compound.credit < 1.0:
        yield (
            "retaining compound credited in full",
            replace(case, compound=replace(case.compound, credit=1.0)),
        )


def _slipped_in(case: Case) -> Press:
    """The shell as hot as it may be, the sleeve from the freezer."""
    heat = case.press.heat
    cold = FREEZER_K if heat.sleeve_cold_K is None else heat.sleeve_cold_K
    bench, (hot, _) = case.press.temperature_rise_K, heat_limit(case)
    return Press(
        method="heat",
        temperature_rise_K=bench,
        enters_from=case.press.enters_from,
        heat=replace(heat, shell_max_K=max(hot, bench), sleeve_cold_K=min(cold, bench)),
    )


def _larger_seat(case: Case) -> Case:
    def larger(lands):
        return tuple(
            replace(
                b,
                diameter_start=b.diameter_start + 2.0 * EXTRA_WALL,
                diameter_end=b.diameter_end + 2.0 * EXTRA_WALL,
            )
            for b in lands
        )

    return replace(
        case,
        shell=replace(case.shell, bore=larger(case.shell.bore)),
        sleeve=replace(case.sleeve, outside=larger(case.sleeve.outside)),
    )


def with_longer_sleeve(case: Case) -> Case | None:
    """The case with its sleeve lengthened to the ends of the bore lands it sits in, if it is short of them;
    None where that gains less than 0.5 mm."""
    sleeve, bore = case.sleeve, case.shell.bore
    lands = [b for b in bore if b.z_end > sleeve.z_start and b.z_start < sleeve.z_end]
    start = min(sleeve.z_start, *(b.z_start for b in lands))
    end = max(sleeve.z_end, *(b.z_end for b in lands))
    if (sleeve.z_start - start) + (end - sleeve.z_end) < 0.5:
        return None
    longer = replace(
        sleeve,
        z_start=start,
        z_end=end,
        outside=_stretched(sleeve.outside, *replace(sleeve, z_start=start, z_end=end).neck),
        bore=_stretched(sleeve.bore, start, end),
    )
    return replace(case, sleeve=longer)


def _stretched(bands: tuple[Stretch, ...], start: float, end: float) -> tuple[Stretch, ...]:
    """The first of the bands begun at start and the last ended at end; they may be one and the same."""
    stretched = list(bands)
    stretched[0] = replace(stretched[0], z_start=start)
    stretched[-1] = replace(stretched[-1], z_end=end)
    return tuple(stretched)


def _window(case: Case, checks: tuple[Check, ...]) -> Window | None:
    if shell_faults(case.shell) or sleeve_faults(case.sleeve) or joint_faults(case.shell, case.sleeve):
        return None
    try:
        study = CaseStudy(case, usual_resolution(case).coarser())
        return find_window(case, study, checks)
    except (MeshError, SolveError, ValueError):  # the last where the loads of the case do not fit it
        return None
