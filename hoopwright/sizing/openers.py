"""What would open an empty window: changes tried one at a time, each by a run of the real checks.

They are run on the coarser mesh, whose larger numerical error makes their windows a little narrower.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from fem import MeshError, Resolution, SolveError
from geometry import Sleeve
from geometry.soundness import joint_faults, shell_faults, sleeve_faults
from hoopwright.case.model import Case
from hoopwright.materials import table
from hoopwright.sizing.response import Check
from hoopwright.sizing.window import Window, find_window
from hoopwright.study import CaseStudy

MATERIALS = ("E355 steel", "4130 steel", "7075-T6")
"""Of sleeves that can be had as tube or bar; the ones that differ from the case's are tried."""
THICKER = 0.5
"""mm of sleeve wall added in the trial of a thicker sleeve."""


@dataclass(frozen=True)
class Trial:
    """One change, in words, and the window it gives; window None where it cannot be made."""

    change: str
    window: Window | None


def try_openers(case: Case, checks: Iterable[Check]) -> tuple[Trial, ...]:
    """Every change that applies to the case, tried; those that open the window widest come first."""
    checks = tuple(checks)
    trials = [Trial(text, _window(changed, checks)) for text, changed in _changes(case)]
    return tuple(sorted(trials, key=lambda t: -(t.window.width if t.window else -1.0)))


def _changes(case: Case) -> Iterable[tuple[str, Case]]:
    for key in MATERIALS:
        material = table()[key]
        if material.name != case.sleeve_material.name:
            yield f"sleeve of {key}", replace(case, sleeve_material=material)
    yield (f"sleeve wall {THICKER:g} mm thicker, shell bored {2 * THICKER:g} mm larger", _larger_seat(case))
    longer = _longer(case)
    if longer is not None:
        yield f"sleeve {longer.sleeve.length - case.sleeve.length:.3g} mm longer", longer
    if case.press.capacity is not None:
        yield (
            "assembly by heat and cold, press not needed",
            replace(case, press=replace(case.press, capacity=None)),
        )
    if case.compound is not None and case.compound.credit < 1.0:
        yield (
            "retaining compound credited in full",
            replace(case, compound=replace(case.compound, credit=1.0)),
        )


def _larger_seat(case: Case) -> Case:
    def larger(lands):
        return tuple(
            replace(
                b,
                diameter_start=b.diameter_start + 2.0 * THICKER,
                diameter_end=b.diameter_end + 2.0 * THICKER,
            )
            for b in lands
        )

    return replace(
        case,
        shell=replace(case.shell, bore=larger(case.shell.bore)),
        sleeve=replace(case.sleeve, outside=larger(case.sleeve.outside)),
    )


def _longer(case: Case) -> Case | None:
    """The sleeve's end lands drawn out as far as the bore stays as wide as it is under them."""
    sleeve, bore = case.sleeve, case.shell.bore
    under = [b for b in bore if b.z_end > sleeve.z_start and b.z_start < sleeve.z_end]
    start, end = min(b.z_start for b in under), max(b.z_end for b in under)
    if (sleeve.z_start - start) + (end - sleeve.z_end) < 0.5:
        return None
    outside = list(sleeve.outside)
    outside[0], outside[-1] = replace(outside[0], z_start=start), outside[-1]
    outside[-1] = replace(outside[-1], z_end=end)
    zones = list(sleeve.bore)
    zones[0] = replace(zones[0], z_start=start)
    zones[-1] = replace(zones[-1], z_end=end)
    longer = Sleeve(start, end, tuple(outside), tuple(zones), sleeve.chamfer_left, sleeve.chamfer_right)
    return replace(case, sleeve=longer)


def _window(case: Case, checks: tuple[Check, ...]) -> Window | None:
    if shell_faults(case.shell) or sleeve_faults(case.sleeve) or joint_faults(case.shell, case.sleeve):
        return None
    try:
        study = CaseStudy(case, Resolution(elements_through_wall=case.mesh.elements_through_wall).coarser())
        return find_window(case, study, checks)
    except (MeshError, SolveError, ValueError):  # the last where the loads of the case do not fit it
        return None
