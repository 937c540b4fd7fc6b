"""Stripping of the sleeve's and the cup's thread: greatest preload against their shear areas.

Shear areas follow ASME B1.1 Appendix B / FED-STD-H28 at the limits of size that leave the least metal.
Shear strength is yield/√3, so that the thread can be tightened again: its turns share the load unevenly
until they yield.
"""

from __future__ import annotations

from math import sqrt

from hoopwright.case.holding_model import CupTightening, Side
from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, row_of
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE, cup_thread
from hoopwright.closed_form.thread import external_shear_area, internal_shear_area, stripping_force
from hoopwright.estimate import Estimate
from hoopwright.geometry import Thread
from hoopwright.geometry.land import at_end
from hoopwright.geometry.thread_limits import limits_of
from hoopwright.strength import Allowable, allowable, as_in_the_table

SHEAR = "shear strength yield/√3 (von Mises)"


def sleeve_thread_strips(evidence: Evidence) -> Margin:
    return _strips(evidence, "sleeve")


def cup_thread_strips(evidence: Evidence) -> Margin:
    return _strips(evidence, "cup")


def shear_area(thread: Thread, engagement: float, *, internal: bool) -> float:
    """Least shear area of the internal or the external thread, mm². engagement: mm."""
    limits = limits_of(thread)
    if internal:
        return float(
            internal_shear_area(
                engagement=engagement,
                pitch=thread.pitch,
                external_major_min=limits.external_major_min,
                internal_pitch_max=limits.internal_pitch_max,
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


def thread_metal(case: Case, body: str, stage: Stage, rise: float | None) -> Allowable | None:
    """What the metal of a thread stands in a stage at a temperature, K above 20 °C; None where the cup's is
    not given. Cups do not go through the oven."""
    if body == "sleeve":
        return allowable(case, "sleeve", stage, z=None, direction="any", rise=rise)
    cup = case.cups.material if case.cups else None
    return None if cup is None else as_in_the_table(cup)


def _strips(evidence: Evidence, body: str) -> Margin:
    case = evidence.case
    threaded = _threaded(case)

    def cell(stage: Stage, rise: float) -> Margin:
        force, metal = evidence.tensions[rise], thread_metal(case, body, stage, rise)
        weakest = weakest_thread(case, body, metal)
        zone = at_end(case.sleeve.bore, "left" if weakest is None else weakest[1])
        return Margin(
            id=f"{body}_thread_strips",
            title=f"{body} thread strips",
            demand=Estimate(force) if force else None,
            capacity=Estimate(weakest[0]) if weakest else None,
            unit="N",
            factor=case.factors.yielding,
            where=Location(body, 0.5 * zone.diameter, 0.5 * (zone.z_start + zone.z_end)),
            basis=_basis(body, weakest, metal),
            note=_missing_input(evidence, body) if weakest is None else "",
            doubt=metal.doubt if metal else "",
            applies=bool(threaded) and case.cups is not None,
            stage=stage,
            when=When(rise, "", force),
        )

    hardest = max(evidence.rises, key=lambda rise: evidence.tensions[rise])
    cells = [cell("cups", evidence.bench)]
    return row_of([*cells, cell("in use", hardest)] if evidence.range_of_use else cells)


def _threaded(case: Case) -> list[tuple[Side, Thread, CupTightening | None]]:
    """The threads of the sleeve that a cup may be screwed into, with their cups."""
    return [
        (side, thread, getattr(case.cups, side) if case.cups else None)
        for side in (("left", "right") if case.cups is None else tuple(s for s, _ in case.cups.sides))
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]


def weakest_thread(case: Case, body: str, metal: Allowable | None) -> tuple[float, Side, Thread] | None:
    """The thread that strips first, with the force, N; None where the case lacks the input for any."""
    threaded = _threaded(case)
    strengths = [
        (_strength(thread, cup, metal, internal=body == "sleeve"), side, thread)
        for side, thread, cup in threaded
        if metal and cup and cup.engaged_length is not None
    ]
    complete = bool(strengths) and len(strengths) == len(threaded)
    return min(strengths, key=lambda s: s[0]) if complete else None


def _strength(thread: Thread, cup: CupTightening, metal: Allowable, *, internal: bool) -> float:
    area = shear_area(thread, cup.engaged_length or 0.0, internal=internal)
    return float(stripping_force(shear_area=area, shear_strength=metal.value / sqrt(3.0)))


def _missing_input(evidence: Evidence, body: str) -> str:
    cups = evidence.case.cups
    if body == "cup" and cups is not None and cups.material is None:
        return "give [cups] material to have this judged"
    return "give engaged_length of every cup to have this judged"


def _basis(body: str, weakest: tuple[float, Side, Thread] | None, metal: Allowable | None) -> str:
    text = (
        f"greatest preload, {PRELOAD_SOURCE}, against the shear area of "
        f"the {body}'s engaged thread (ASME B1.1 Appendix B and FED-STD-H28 geometry, from memory; "
        f"least metal) times {SHEAR}"
    )
    if weakest and metal:
        text += f"; {metal.text}; {weakest[1]} thread; {limits_of(weakest[2]).source}"
    return text
