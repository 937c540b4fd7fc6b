"""Whether the sleeve stays tight: the interference that heat and the pull of the cups take off, against the
least there is.

The least there is, is that of the sizes, at 20 °C: what a bench that is warmer takes off is lost as well.
The contact force is linear in the interference while the whole seat touches, so the loss is the drop of
that force divided by the slope; both are taken, without friction, at interferences large enough for full
contact of the seats that may touch, reliefs left out. The pull of a single cup on the shell, which only
friction holds, is handed over evenly along them: friction that holds it does so no farther from the cup.
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, Stage, When, row_of
from hoopwright.closed_form.thermal import lost_interference
from hoopwright.discretisation import Discretisation
from hoopwright.display import Units
from hoopwright.estimate import INTEGRAL, Estimate, from_meshes
from hoopwright.fem.errors import SolveError
from hoopwright.study import CaseStudy

ENOUGH = 3.0
"""Interference at which the loss is measured, as a multiple of it and of the interference there is."""

BISECTIONS = 50
MAX_REACHES = 8
ROUNDING = 1e-6
"""Loss, mm, below which it is that of rounding, and none."""


def stays_tight(evidence: Evidence) -> Margin:
    """The greatest loss of interference in every stage against the least interference at 20 °C."""
    stages: tuple[Stage, ...] = ("pressed", "cups", "in use", "oven")
    return row_of(cell for s in stages if (cell := _cell(evidence, s)) is not None)


def _cell(evidence: Evidence, stage: Stage) -> Margin | None:
    moments = _moments(evidence, stage)
    if not moments:
        return None
    study = evidence.study
    worst = max(sorted(moments), key=lambda moment: _loss_on(study, -1, *moment))
    meshes = range(len(study.meshes))
    lost = from_meshes(*(_loss_on(study, mesh, *worst) for mesh in meshes), kind=INTEGRAL)
    when = When(worst[0], "", worst[1])
    if lost.value < ROUNDING:
        lost = Estimate(0.0)
    return _margin(evidence, stage, lost, when, _how(evidence, worst))


def _moments(evidence: Evidence, stage: Stage) -> set[tuple[float, float]]:
    """Temperature, K above 20 °C, and pull of the cups, N, of every state of a stage."""
    if stage == "pressed":
        return {(evidence.bench, 0.0)}
    fits = evidence.everywhere(stage, evidence.least).fits
    return {(fit.state.temperature_rise, fit.state.tension) for fit in fits}


def _margin(evidence: Evidence, stage: Stage, lost: Estimate, when: When, how: str) -> Margin:
    least = evidence.study.nominal_interference + evidence.least
    return Margin(
        id="stays_tight",
        title="stays tight",
        demand=1e3 * lost,
        capacity=Estimate(1e3 * least),
        unit="um",
        factor=1.0,
        where=Location("interface"),
        basis="greatest loss of mean interference on diameter, frictionless, against the least mean "
        f"interference at 20 °C (68 °F), smoothing deducted; {how}",
        note=_note(evidence, stage, lost.value, least, when),
        stage=stage,
        when=when,
    )


def interference_lost(study: CaseStudy, temperature_rise: float, tension: float = 0.0) -> Estimate:
    """Mean diametral interference lost from 20 °C to a temperature, K above it, and a pull of the cups, N,
    mm; negative where it gains."""
    meshes = range(len(study.meshes))
    return from_meshes(
        *(_loss_on(study, mesh, temperature_rise, tension) for mesh in meshes), kind=INTEGRAL
    )


def _loss_on(study: CaseStudy, mesh: int, temperature_rise: float, tension: float) -> float:
    """The loss on one mesh, 0 for the finest, -1 for the coarsest, mm."""
    key = "interference lost", mesh, temperature_rise, tension
    return study.cached(key, lambda: _lost(study, study.meshes[mesh], temperature_rise, tension))


def _lost(study: CaseStudy, mesh: Discretisation, temperature_rise: float, tension: float) -> float:
    if not temperature_rise and not tension:
        return 0.0
    fits = study.interference.fits
    touching = mesh.pairs_of([seat in fits for seat in study.interference.seats])
    reach = ENOUGH * max(study.nominal_interference + study.interference_half_width, 1e-3)
    for _ in range(MAX_REACHES):
        tight, tighter, changed = (
            mesh.frictionless_force(shift, rise, pull, touching)
            for shift, rise, pull in (
                (reach, 0.0, 0.0),
                (2.0 * reach, 0.0, 0.0),
                (reach, temperature_rise, tension),
            )
        )
        if tighter <= tight:  # nothing ever touches
            return 0.0
        loss = (tight - changed) * reach / (tighter - tight)
        if ENOUGH * abs(loss) <= 1.0001 * reach:
            return loss
        reach = 2.0 * ENOUGH * abs(loss)
    raise SolveError("the interference lost to heat and cups does not settle")


def _how(evidence: Evidence, moment: tuple[float, float]) -> str:
    """The moment in words, and what linear expansion alone would take."""
    rise, tension = moment
    if not rise and not tension:
        return "nothing is lost at 20 °C (68 °F)"
    temperatures = evidence.case.temperatures
    minutes = ""
    if temperatures is not None and rise == temperatures.oven and temperatures.oven_time is not None:
        minutes = f" for {temperatures.oven_time / 60.0:g} min"
    spread = ", handed over evenly along the seat" if evidence.case.draws_sleeve else ""
    pull = f" and a pull of the cups of {Units().both(tension, 'N')}{spread}" if tension else ""
    back = "; the fit returns on cooling as far as both parts stay elastic and keep their temper"
    expanded = Units().both(1e3 * _by_expansion(evidence, rise), "um")
    return f"at {_degrees(rise)}{minutes}{pull}; linear expansion alone takes {expanded}" + (
        back if rise == evidence.oven else ""
    )


def _by_expansion(evidence: Evidence, rise: float) -> float:
    """Interference lost by d (α_shell − α_sleeve) ΔT, mm."""
    case, seats = evidence.case, [s.seat for s in evidence.study.interference.fits]
    length = sum(s.length for s in seats)
    middles = ((case.shell.bore[s.bore_land], 0.5 * (s.z_start + s.z_end), s.length) for s in seats)
    diameter = sum(float(land.diameter_at(z)) * share for land, z, share in middles) / length
    return float(
        lost_interference(
            diameter=diameter,
            sleeve_alpha=case.sleeve_material.mean_expansion(rise),
            shell_alpha=case.shell_material.mean_expansion(rise),
            temperature_change=rise,
        )
    )


def _rise_that_takes(evidence: Evidence, share: float, rise: float) -> float:
    """Temperature at which expansion has taken a share of what it takes up to another, K above 20 °C."""
    low, high, whole = 0.0, rise, _by_expansion(evidence, rise)
    if whole <= 0.0:
        return share * rise
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        taken = _by_expansion(evidence, middle) / whole
        low, high = (middle, high) if taken < share else (low, middle)
    return high


def _note(evidence: Evidence, stage: Stage, lost: float, least: float, when: When) -> str:
    if least <= 0.0:
        return "the sizes allow a sleeve that is loose from the start: turn it larger, or measure better"
    if lost <= least or when.temperature_rise is None:
        return ""
    if stage != "oven":
        return f"it comes loose at {_degrees(when.temperature_rise)}"
    opens = _rise_that_takes(evidence, least / lost, when.temperature_rise)
    return (
        f"loose above about {_degrees(opens)} and free to shift until it cools: bake before pressing, "
        "or keep the sleeve from moving, and check its place afterwards"
    )


def _degrees(rise: float) -> str:
    return Units().both(20.0 + rise, "degC")
