"""Proof, after-care and removal in sentences."""

from __future__ import annotations

from hoopwright.closed_form.friction import gauge_pressure
from hoopwright.display import Units, margin_text, state_text
from hoopwright.display.gauge import Gauge
from hoopwright.display.stop_line import stop_mark, stop_text
from hoopwright.pressing.advice import gauge_unit
from hoopwright.pressing.proof import ProofLoad
from hoopwright.pressing.removal import Removal
from hoopwright.shop_sheet.plan import SheetPlan

LOOK_AGAIN = (
    "Look at the mark after 1 h, 10 h and 50 h of use, then once a year, and after every fall or blow (our "
    "choice, no source). Where it no longer lines up: out of use."
)
AGAIN = (
    "A second sleeve: read the bore again at every station before anything is cut. What pressing flattened "
    "of its roughness does not come back, and a scored bore is bored again."
)
BONDED = "A retaining compound holds it besides; heat takes most of that away, as its maker says."


def load_text(one: ProofLoad, units: Units) -> str:
    """A proof load as it is applied, never more than computed."""
    if one.kind == "push":
        return stop_text(one.load, units)
    return f"{units.number_below(1e-3 * one.load, 'N*m')} {units.label('N*m')}"


def proof_mark(plan: SheetPlan) -> float | None:
    """The proof push on the gauge, a whole division, MPa; None where none of them proves the joint."""
    push = next((one for one in plan.proof.loads if one.kind == "push"), None)
    ram, gauge = plan.results.case.press.ram_diameter_mm, _gauge(plan)
    if push is None or ram is None or gauge is None:
        return None
    needed, at = (float(gauge_pressure(force=f, ram_diameter=ram)) for f in (push.needed, push.load))
    shown = gauge.below(at)
    return shown if shown > needed else None


def _gauge(plan: SheetPlan) -> Gauge | None:
    if plan.press is None or plan.press.force_travel is None:
        return None
    curve = plan.press.force_travel
    return Gauge.of(gauge_unit(curve, plan.units), curve.case.press.gauge_division_MPa)


def proof_lines(plan: SheetPlan) -> list[str]:
    """What to load the joint with once it is pressed, and what a slip says."""
    done = _done(plan)
    if not plan.proof.loads:
        why = plan.proof.why
        return [*done, f"{why[0].upper()}{why[1:]}."]
    units, first = plan.units, plan.proof.loads[0]
    return [
        f"Proof, on the bench: {_ways(plan)}. The mark must not move.",
        f"Service asks for {_asked(first, units)}. Least joint slips at {_slips(first, units)} "
        f"({margin_text(first.slip_margin)}); tightest, to yield {margin_text(first.yield_margin)}.",
        *(done or [slip_text(plan)]),
    ]


def _done(plan: SheetPlan) -> list[str]:
    """What the proof that the case tells of says; nothing where it tells of none."""
    proof, units = plan.results.case.proof, plan.units
    if proof is None:
        return []
    at = (
        units.text(proof.push, "N")
        if proof.push is not None
        else units.text(1e-3 * (proof.torque or 0.0), "N*m")
    )
    if proof.slipped:
        return [f"It slipped at {at}: what it holds is counted as no more than that. Take it out."]
    return [f"It was proved with {at} and did not slip; nothing is counted as better for that."]


def _ways(plan: SheetPlan) -> str:
    words = {"push": "push it back the way it came with {}", "torque": "twist it with {}"}
    texts = [
        words[one.kind].format(load_text(one, plan.units) + _on_gauge(plan, one))
        for one in plan.proof.loads
    ]
    return ", or ".join(texts)


def _on_gauge(plan: SheetPlan, one: ProofLoad) -> str:
    gauge, mark = _gauge(plan), proof_mark(plan)
    if one.kind != "push" or gauge is None or plan.results.case.press.ram_diameter_mm is None:
        return ""
    return " (too fine for this gauge)" if mark is None else f" ({stop_mark(mark, gauge)})"


def _asked(one: ProofLoad, units: Units) -> str:
    warm = one.needed > 1.005 * one.service
    more = f", {_load(one, one.needed, units)} with what temperature takes" if warm else ""
    return _load(one, one.service, units) + more


def _slips(one: ProofLoad, units: Units) -> str:
    return _load(one, one.slips, units)


def _load(one: ProofLoad, value: float, units: Units) -> str:
    return units.text(value, "N") if one.kind == "push" else units.text(1e-3 * value, "N*m")


def slip_text(plan: SheetPlan) -> str:
    """What a slip at the proof load says about friction and pressure."""
    one = plan.proof.loads[0]
    load, counted_on = load_text(one, plan.units), _slips(one, plan.units)
    return (
        f"If it slips: friction times pressure over the seat, μ·∫p dA, is below {load}, and {counted_on} "
        f"was counted on; it does not hold what is asked with the factor {plan.proof.factor:g}. Take it "
        "out."
    )


def removal_lines(plan: SheetPlan) -> list[str]:
    """How to take the sleeve out again, and what the shell went through for a second one."""
    found, units = plan.removal, plan.units
    if found is None:
        return [f"Not planned: {plan.blocked}."]
    bonded = [BONDED] if plan.results.case.compound is not None else []
    return [_pushed(found, units), *bonded, _heated(found, units), *_went_through(found, units), AGAIN]


def _pushed(found: Removal, units: Units) -> str:
    words = (
        f"To push it out takes up to {units.text(found.force, 'N')} after a rest (high friction, greatest "
        "interference, restart ratio counted), the pusher on its full face, the shell held near the wall."
    )
    if found.strong_enough is None or found.capacity is None:
        return words
    gives = f"The press gives {units.text(found.capacity, 'N')}"
    return f"{words} {gives}: {'enough' if found.strong_enough else 'not enough, free it by heat'}."


def _heated(found: Removal, units: Units) -> str:
    limit = units.temperature(20.0 + found.limit_K)
    if found.free_shell_K is None:
        return f"No heat frees it: even the shell alone would have to be hotter than the {limit} it stands."
    at = units.temperature(20.0 + found.free_shell_K)
    alone = f"The shell alone at {at}, the sleeve kept as cold as the bench, frees it"
    if found.free_together_K is None:
        return (
            f"{alone}: heat the shell fast and cool the sleeve; both as warm do not let go up to {limit}."
        )
    return f"{alone}; both as warm let go at {units.temperature(20.0 + found.free_together_K)}."


def _went_through(found: Removal, units: Units) -> list[str]:
    cells = [
        f"{cell.stage} {margin_text(cell.margin)} ({state_text(cell.state)})"
        for cell in found.pressed
        if cell.margin is not None
    ]
    lines = [f"What the shell has been through: margin to yield {', '.join(cells)}."] if cells else []
    if found.growth is None:
        return [*lines, "It stays elastic as computed: its bore comes back to size."]
    grown = found.growth
    bore, outside, less = (
        units.text(1e3 * size, "um") for size in (grown.bore, grown.outside, grown.sleeve_shrink)
    )
    return [
        *lines,
        f"It has yielded: once the sleeve is out its bore stays {bore} larger and its outside {outside} "
        f"(diameter, perfectly plastic, greatest interference); the sleeve stays {less} smaller.",
    ]
