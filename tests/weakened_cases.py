"""Cases in which the input that carries the capacity of a row is worsened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hoopwright.case.model import Case
from hoopwright.checks import Margin
from hoopwright.geometry import BoreZone
from hoopwright.geometry.land import Land
from hoopwright.geometry.thread_limits import limits_of
from hoopwright.materials import Material

WORSE = 1.10


def weakened(case: Case, row: Margin, least: float) -> Case | None:
    """The case with the input that carries the capacity of a row worsened so that it is beyond its limit;
    None where the row has no such input, or holds whatever it is. least: mean interference on the bench,
    mm, at the lower end of its interval."""
    if row.margin is None or not 0.0 <= row.margin < 50.0:
        return None
    weaken = WEAKENINGS.get(row.id)
    return None if weaken is None else weaken(case, row, (1.0 + row.margin) * WORSE, least)


def _yield(case: Case, row: Margin, by: float, _: float) -> Case:
    return _with_yield(case, row.where.body, by)


def _with_yield(case: Case, body: str, by: float) -> Case:
    if body == "cup":
        assert case.cups is not None
        return replace(case, cups=replace(case.cups, material=_weaker(case.cups.material, by)))
    name = f"{body}_material"
    return replace(case, **{name: _weaker(getattr(case, name), by)})


def _weaker(material: Material | None, by: float) -> Material | None:
    return material and replace(material, yield_strength=material.yield_strength / by)


PULLED = 1.15
"""A sleeve that is pulled holds up to 13 % less than friction times the force at rest, for it grows
thinner; with little friction it is pulled by little, and has that back."""


def _friction(case: Case, _row: Margin, by: float, _least: float) -> Case:
    """Friction, and what a compound adds to it."""
    by *= PULLED
    slippery = replace(case, fit=replace(case.fit, friction_low=case.fit.friction_low / by))
    film = case.compound
    if film is None:
        return slippery
    low = None if film.friction_low is None else film.friction_low / by
    weak = replace(film, shear_strength=film.shear_strength / by, friction_low=low)
    return replace(slippery, compound=weak)


def _press(case: Case, _row: Margin, by: float, _: float) -> Case | None:
    capacity = case.press.capacity
    return capacity and replace(case, press=replace(case.press, capacity=capacity / by))


def _buckling(case: Case, _row: Margin, by: float, _: float) -> Case:
    """The pressure that buckles a sleeve rests on its size and modulus, which load it too: the factor."""
    return replace(case, factors=replace(case.factors, buckling=case.factors.buckling * by))


def _gap(case: Case, row: Margin, by: float, _: float) -> Case:
    """More of a gap wanted to handle it."""
    assert row.demand is not None
    heat = replace(case.press.heat, clearance_mm=1e-3 * row.demand.value * by)
    return replace(case, press=replace(case.press, heat=heat))


def _wall(case: Case, _row: Margin, by: float, _: float) -> Case | None:
    return case.min_wall_mm and replace(case, min_wall_mm=case.min_wall_mm * by)


def _closure(case: Case, _row: Margin, by: float, _: float) -> Case | None:
    limit = case.max_bore_closure_mm
    return limit and replace(case, max_bore_closure_mm=limit / by)


def _damage(case: Case, _row: Margin, by: float, _: float) -> Case | None:
    boring = case.boring
    if boring is None:
        return None
    reach = boring.damage_diameter + boring.runout - boring.bore_now
    return replace(
        case, boring=replace(boring, damage_diameter=boring.damage_diameter + (by - 1.0) * reach)
    )


def _cup_class(case: Case, _row: Margin, by: float, _: float) -> Case:
    """A fuller cup: the play of every thread divided."""

    def fuller(zone: BoreZone) -> BoreZone:
        thread = zone.thread
        if thread is None:
            return zone
        limits = limits_of(thread)
        cut = thread.cut_pitch_diameter or limits.internal_pitch_min
        full = replace(limits, external_pitch_max=cut - limits.min_clearance(cut) / by)
        return replace(zone, thread=replace(thread, limits=full))

    return replace(case, sleeve=replace(case.sleeve, bore=tuple(fuller(z) for z in case.sleeve.bore)))


def _interference(case: Case, _row: Margin, by: float, least: float) -> Case:
    """A smaller sleeve: the least interference divided."""

    def smaller(land: Land) -> Land:
        off = (1.0 - 1.0 / by) * least
        return replace(land, diameter_start=land.diameter_start - off, diameter_end=land.diameter_end - off)

    return replace(case, sleeve=replace(case.sleeve, outside=tuple(map(smaller, case.sleeve.outside))))


def _endurance(case: Case, _row: Margin, by: float, _: float) -> Case:
    """Every amplitude that S-N data give, by the factor of the surface."""
    return replace(case, fatigue=replace(case.fatigue, surface=case.fatigue.surface / by))


WEAKENINGS: dict[str, Callable[[Case, Margin, float, float], Case | None]] = {
    "shell_yields": _yield,
    "sleeve_yields": _yield,
    "ends_crush": _yield,
    "stop_yields": _yield,
    "sleeve_thread_strips": _yield,
    "cup_thread_strips": _yield,
    "sleeve_buckles": _buckling,
    "press_force": _press,
    "drops_in": _gap,
    "wall_left": _wall,
    "damage_removed": _damage,
    "bore_closure": _closure,
    "thread_fits": _cup_class,
    "stays_tight": _interference,
    "joint_opens": _interference,
    "pushed_out": _friction,
    "turned": _friction,
    "slips_combined": _friction,
    "joint_slips": _friction,
    "shell_fatigue_sines": _endurance,
    "shell_fatigue_walker": _endurance,
    "sleeve_fatigue_sines": _endurance,
    "sleeve_fatigue_walker": _endurance,
}
"""What carries the capacity of each row, worsened."""
