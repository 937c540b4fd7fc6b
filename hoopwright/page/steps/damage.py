"""Step 3, Damage and bore: from the damage to clean metal, what goes and what is left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hoopwright.checks.damage_removed import bored_lands, on_lands
from hoopwright.page.fields import FieldView, field
from hoopwright.page.figures.damage import EndView, end_view
from hoopwright.page.model import Bench, Mark, Step
from hoopwright.page.quick import quick
from hoopwright.page.section import size_text
from hoopwright.page.steps.common import Wanted, is_given, mark_of, shared, wanted_of
from hoopwright.page.steps.groups import Group, together
from hoopwright.page.steps.sizes import Figure, wall_figure
from hoopwright.sizing.boring_plan import BoringPlan, boring_plan

TABLES = ("", "boring", "compound")
DAMAGE = {
    "boring.damage_depth": "depth of the damage, per side",
    "boring.damage_diameter": "or the greatest diameter it reaches",
}
CUTS = {
    "boring.bore_now": "bore now, before cutting",
    "boring.runout": "runout of the set-up",
    "boring.depth_of_cut": "cut, per side and pass",
    "boring.finish_cut": "last cut, per side",
}
LIMITS = {"shell.least_wall": "least wall you would leave", "shell.runout": "runout, bore to outside"}
COMPOUND = {
    "compound.shear_strength": "shear strength, cured",
    "compound.source": "source of that value",
    "compound.credit": "share of it to count",
    "compound.combination": "with friction",
    "compound.friction_low": "lowest friction with it on the seat",
    "compound.gap_least": "least gap it is stated for",
    "compound.gap_most": "greatest gap",
    "compound.temperature_least": "coldest it is stated for",
    "compound.temperature_most": "hottest",
    "compound.cured_for": "cure given to the joint",
    "compound.full_cure": "time to full strength",
    "compound.cured_at": "temperature of the cure",
    "compound.cure_least": "coldest at which it cures",
}


@dataclass(frozen=True)
class Cut:
    """One boring pass in words. measure: stop after it and measure."""

    number: int
    diameter: str
    depth: str
    measure: bool


def view(bench: Bench) -> Mapping[str, Any]:
    harm, cuts, limits, compound = (
        tuple(field(bench, path, label, step="damage") for path, label in paths.items())
        for paths in (DAMAGE, CUTS, LIMITS, COMPOUND)
    )
    has_compound = isinstance(bench.tables.get("compound"), Mapping)
    shown = (*harm, *cuts, *limits, *(compound if has_compound else compound[:1]))
    plan = None if bench.case is None else boring_plan(bench.case)
    base = dict(shared(bench, "damage", TABLES, shown))
    base["wanted"] = wanted_of((*cuts, *(compound if has_compound else ())))
    if "boring" not in bench.tables:
        text = (
            "The case does not say yet how deep the damage goes, so nobody can tell whether it is cut away."
        )
        base["wanted"] = (Wanted(text, "#f-boring-bore-now", "Give the bore as it is now"),)
    return {
        **base,
        "groups": (*_boring_groups(bench, harm, cuts), Group("What must be left", limits)),
        "compound": (
            together("Its data and conditions", compound) if has_compound else Group("", compound[:1])
        ),
        "has_compound": has_compound,
        "drawing": _figure(bench),
        "figures": _figures(bench, plan),
        "cuts": _cuts(bench, plan),
    }


def mark(bench: Bench) -> Mark:
    needed = [is_given(bench, f"boring.{key}") for key in ("bore_now", "depth_of_cut", "finish_cut")]
    needed.append(any(is_given(bench, f"boring.damage_{form}") for form in ("depth", "diameter")))
    return mark_of(bench, TABLES[1:], sum(needed), len(needed))


def _boring_groups(
    bench: Bench, harm: tuple[FieldView, ...], cuts: tuple[FieldView, ...]
) -> tuple[Group, ...]:
    """All at once while the case has no [boring]; then each, and the damage in one of its two forms."""
    if "boring" not in bench.tables:
        return (together("From the damage to clean metal", (cuts[0], *harm, *cuts[1:])),)
    note = "one of the two; empty the other"
    return Group("From the damage to clean metal", cuts), together("Depth of the damage", harm, note)


def _figure(bench: Bench) -> Markup:
    """Drawn of a case that can be read; before that there is nothing to scale."""
    case = bench.case
    if case is None:
        return Markup()
    found, job = quick(case), case.boring
    return end_view(
        EndView(
            min(land.least_diameter for land in case.shell.outside),
            None if job is None else job.bore_now,
            None if job is None else job.damage_diameter,
            max(land.greatest_diameter for land in case.shell.bore),
            0.5 * case.runout_mm,
            found.bore_limit,
            found.wall,
        ),
        bench.units,
    )


def _figures(bench: Bench, plan: BoringPlan | None) -> tuple[Figure, ...]:
    case = bench.case
    if case is None:
        return ()
    made = [wall_figure(bench, quick(case))]
    if case.boring is not None:
        row = on_lands(case.boring, bored_lands(case, case.boring))
        assert row.capacity is not None
        assert row.demand is not None
        cut, deep = row.capacity.value, row.demand.value
        value, _, other = bench.units.both(cut, "mm").partition(" (")
        clean = row.state == "holds"
        words = "the damage is cut away" if clean else "the damage is not cut away"
        notes = (f"damage and half the set-up's runout {bench.units.text(deep, 'mm')}: {words}",)
        made.insert(
            0, Figure("Metal that goes, per side", value, other.removesuffix(")"), notes, not clean)
        )
    if plan is not None:
        value, _, other = bench.units.both(plan.clean_up, "mm").partition(" (")
        wall = f"leaves a wall of {bench.units.text(plan.clean_up_wall, 'mm')} on the thin side"
        made.append(Figure("Cleans up at Ø", value, other.removesuffix(")"), (wall,)))
    return tuple(made)


def _cuts(bench: Bench, plan: BoringPlan | None) -> tuple[Cut, ...]:
    unit = bench.units.label("mm")
    return tuple(
        Cut(
            number,
            f"Ø {size_text(one.diameter, bench.units)} {unit}",
            f"{size_text(one.cut, bench.units)} {unit}",
            one.measure,
        )
        for number, one in enumerate(() if plan is None else plan.passes, start=1)
    )


STEP = Step("damage", 3, "Damage and bore", "Plan", ("check",), view, mark)
