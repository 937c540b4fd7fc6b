"""Stripping of the sleeve's and the cup's thread: greatest preload, and what loads in use pull besides,
against their shear areas.

A load that pushes a bearing outwards pulls its cup's thread as the preload does. All of it is added: how
much of it only takes load off the flange depends on what gives where, and none of that is known.

Shear areas follow ASME B1.1 Appendix B / FED-STD-H28 at the limits of size that leave the least metal.
Shear strength is yield/√3, so that the thread can be tightened again: its turns share the load unevenly
until they yield.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, sqrt

from hoopwright.case.holding_model import CupTightening, Side
from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, row_of, worst_of
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE, cup_thread
from hoopwright.closed_form.thread import external_shear_area, internal_shear_area, stripping_force
from hoopwright.estimate import Estimate
from hoopwright.geometry import BoreZone, Thread
from hoopwright.geometry.land import at_end
from hoopwright.geometry.thread_limits import limits_of
from hoopwright.loads.cases import LoadCase
from hoopwright.loads.traction import resultant
from hoopwright.strength import Allowable, allowable, allowable_of_cup

SHEAR = "shear strength yield/√3 (von Mises)"
LEAST_FORCE = 1e-6
"""N, below which a force of a load case is rounding."""


def sleeve_thread_strips(evidence: Evidence) -> Margin:
    return _strips(evidence, "sleeve")


def cup_thread_strips(evidence: Evidence) -> Margin:
    return _strips(evidence, "cup")


def shear_area(thread: Thread, engagement: float, *, internal: bool) -> float:
    """Least shear area of the internal or the external thread, mm². engagement: mm."""
    limits = limits_of(thread)
    if internal:
        pitch_max = greatest_pitch_diameter(thread)
        return float(
            internal_shear_area(
                engagement=engagement,
                pitch=thread.pitch,
                external_major_min=limits.external_major_min,
                internal_pitch_max=pitch_max,
            )
        )
    return float(
        external_shear_area(
            engagement=engagement,
            pitch=thread.pitch,
            internal_minor_max=limits.internal_minor_max,
            external_pitch_min=limits.external_pitch_min,
        )
    )


def greatest_pitch_diameter(thread: Thread) -> float:
    """Pitch diameter of the sleeve's thread that leaves its turns the least metal, mm: its greatest limit,
    or what was measured where it is cut beyond that."""
    return max(limits_of(thread).internal_pitch_max, thread.cut_pitch_diameter or 0.0)


def thread_metal(case: Case, body: str, stage: Stage, rise: float | None) -> Allowable | None:
    """What the metal of a thread stands in a stage at a temperature, K above 20 °C, None for the bench's;
    None where the cup's is not given."""
    if body == "sleeve":
        return allowable(case, "sleeve", stage, z=None, direction="any", rise=rise)
    cup, at = case.cups.material if case.cups else None, case.press.temperature_rise_K
    return None if cup is None else allowable_of_cup(case, cup, stage, at if rise is None else rise)


@dataclass(frozen=True)
class PulledThread:
    """A thread and what pulls it, N. strength: force that strips it; preload: greatest pull of the cups;
    by_load: what a load case puts on it besides, outwards, and its name."""

    side: Side
    thread: Thread
    strength: float
    preload: float
    by_load: float = 0.0
    load_case: str = ""

    @property
    def force(self) -> float:
        """N."""
        return self.preload + self.by_load


def _strips(evidence: Evidence, body: str) -> Margin:
    rises = tuple(dict.fromkeys(evidence.rises)) if evidence.is_in_use else ()
    cells = [_cell(evidence, body, "cups", evidence.bench)]
    in_use = [_cell(evidence, body, "in use", rise) for rise in rises]
    return row_of([*cells, worst_of(in_use)] if in_use else cells)


def _cell(evidence: Evidence, body: str, stage: Stage, rise: float) -> Margin:
    case, metal = evidence.case, thread_metal(evidence.case, body, stage, rise)
    weakest, preload = weakest_thread(evidence, body, stage, rise), evidence.tensions[rise]
    zone = at_end(case.sleeve.bore, "left" if weakest is None else weakest.side)
    return Margin(
        id=f"{body}_thread_strips",
        title=f"{body} thread strips",
        demand=Estimate(weakest.force if weakest else preload) if preload else None,
        capacity=Estimate(weakest.strength) if weakest else None,
        unit="N",
        factor=case.factors.yielding,
        where=Location(body, 0.5 * zone.diameter, 0.5 * (zone.z_start + zone.z_end)),
        basis=_basis(body, weakest, metal),
        note=_missing_input(evidence, body) if weakest is None else "",
        doubt=metal.doubt if metal else "",
        applies=bool(_threaded(case)) and case.cups is not None,
        stage=stage,
        when=When(rise, "", preload, load_case=weakest.load_case if weakest else ""),
    )


def _threaded(case: Case) -> list[tuple[Side, Thread, CupTightening | None]]:
    """The threads of the sleeve that a cup may be screwed into, with their cups."""
    return [
        (side, thread, getattr(case.cups, side) if case.cups else None)
        for side in (("left", "right") if case.cups is None else tuple(s for s, _ in case.cups.sides))
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]


def weakest_thread(evidence: Evidence, body: str, stage: Stage, rise: float) -> PulledThread | None:
    """The thread nearest to stripping in a stage at a temperature, K above 20 °C; None where the case lacks
    the input for any."""
    case, preload = evidence.case, evidence.tensions[rise]
    metal, threaded = thread_metal(case, body, stage, rise), _threaded(case)
    found = []
    for side, thread, cup in threaded:
        if metal is None or cup is None or cup.engaged_length is None:
            return None
        strength = _strength(thread, cup, metal, internal=body == "sleeve")
        by_load, name = _greatest_by_load(evidence, side) if stage == "in use" else (0.0, "")
        found.append(PulledThread(side, thread, strength, preload, by_load, name))
    return min(found, key=lambda one: one.strength / one.force if one.force else inf, default=None)


def _greatest_by_load(evidence: Evidence, side: Side) -> tuple[float, str]:
    """The greatest force along the axis, N, with which a load case pulls a thread outwards as its cup does,
    and the name of that load case; 0 and "" where none does. A flange takes what presses it on."""
    service = evidence.study.service
    zone, outwards = at_end(evidence.case.sleeve.bore, side), -1.0 if side == "left" else 1.0
    forces = [
        (outwards * _along_the_axis(one, zone), one.name) for one in (service.cases if service else ())
    ]
    greatest = max(forces, default=(0.0, ""))
    return greatest if greatest[0] > LEAST_FORCE else (0.0, "")


def _along_the_axis(load_case: LoadCase, zone: BoreZone) -> float:
    """Force of a load case along +z on a zone of the sleeve's bore, N."""
    on_it = (
        t
        for t in load_case.tractions
        if t.face == "sleeve.bore" and t.start < zone.z_end and t.end > zone.z_start
    )
    return float(resultant(on_it)[0][2])


def _strength(thread: Thread, cup: CupTightening, metal: Allowable, *, internal: bool) -> float:
    area = shear_area(thread, cup.engaged_length or 0.0, internal=internal)
    return float(stripping_force(shear_area=area, shear_strength=metal.value / sqrt(3.0)))


def _missing_input(evidence: Evidence, body: str) -> str:
    cups = evidence.case.cups
    if body == "cup" and cups is not None and cups.material is None:
        return "give [cups] material to have this judged"
    return "give engaged_length of every cup to have this judged"


def _basis(body: str, weakest: PulledThread | None, metal: Allowable | None) -> str:
    load = f" and what '{weakest.load_case}' pulls" if weakest and weakest.load_case else ""
    text = (
        f"greatest preload, {PRELOAD_SOURCE}{load}, against the shear area of "
        f"the {body}'s engaged thread (ASME B1.1 Appendix B and FED-STD-H28 geometry, from memory; "
        f"least metal) times {SHEAR}"
    )
    if weakest and metal:
        text += f"; {metal.text}; {weakest.side} thread; {limits_of(weakest.thread).source}"
    return text
