"""Working of the rows of the seat: pushed out, turns, slips; stays tight; opens; slips locally."""

from __future__ import annotations

from hoopwright.case.holding_model import CompoundInput
from hoopwright.case.model import Case
from hoopwright.checks.compound import holding_friction, land_credits, uncredited_shear_max
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import grip
from hoopwright.checks.holding import worst_load
from hoopwright.checks.joint_slips import nearest_to_slip, shear_and_pressure_at
from hoopwright.checks.margin import Margin
from hoopwright.checks.sleeve_loads import SleeveLoad
from hoopwright.working.closing import closed
from hoopwright.working.cup_loads import add_cup
from hoopwright.working.lame import add_interference, add_lame
from hoopwright.working.sheet import ByHand, Sheet, Working

ENDS_AND_FRICTION = (
    "Lamé takes mean sizes, no friction and no ends; by finite elements the ends press harder, and cups "
    "and temperature act on the real parts"
)


def pushed_out(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    force, _ = _add_load(evidence, row, sheet)
    held = _add_grip(evidence, row, sheet, "N", "by_seat", "area")
    closed(sheet, row, force, held)
    return Working(tuple(sheet.lines), _grip_by_hand(evidence, row, "μ * p * 2 * π * b * L", "N"))


def turned(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    _, torque = _add_load(evidence, row, sheet)
    held = _add_grip(evidence, row, sheet, "N*mm", "torque_by_seat", "area_arm")
    closed(sheet, row, f"0.001 * {torque}", f"0.001 * {held}")
    return Working(
        tuple(sheet.lines), _grip_by_hand(evidence, row, "0.001 * μ * p * 2 * π * b**2 * L", "N*m")
    )


def slips_combined(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    force, torque = _add_load(evidence, row, sheet)
    held = _add_grip(evidence, row, sheet, "N", "by_seat", "area")
    radius = grip(evidence, _rise(evidence, row)).radius
    sheet.case("r", radius, "mm", "radius of the seats, mean", "[shell] bore_diameter or readings")
    sheet.step("R", f"sqrt({force}**2 + ({torque} / r)**2)", "N", "force and torque together on the seat")
    closed(sheet, row, "R", held)
    return Working(tuple(sheet.lines), _grip_by_hand(evidence, row, "μ * p * 2 * π * b * L", "N"))


def _add_load(evidence: Evidence, row: Margin, sheet: Sheet) -> tuple[str, str]:
    """Lines for the load that governs; the symbols of its force, N, and torque, N·mm, "0" for none."""
    if row.demand is None:
        return "0", "0"
    load = worst_load(evidence, row)
    if load.cup is not None:
        return add_cup(sheet, evidence.case, load.cup, load.torque)
    return _add_force(evidence, sheet, load), _add_torque(evidence, sheet, load)


def _add_force(evidence: Evidence, sheet: Sheet, load: SleeveLoad) -> str:
    stated = _stated(evidence, load, "axial_force")
    if stated:
        sheet.case("F_d", stated, "N", "axial force it must hold", "[demand] axial_force")
    rest = load.axial - stated
    if not load.load_case and not rest:
        return "F_d" if stated else "0"
    source = "[service], statics" if load.load_case else "[cups] torques and friction"
    sheet.case("F_l", rest, "N", f"axial force on the sleeve, {load.what}", source)
    if not stated:
        return "F_l"
    sheet.step("F_a", "F_l + F_d", "N", "both together")
    return "F_a"


def _add_torque(evidence: Evidence, sheet: Sheet, load: SleeveLoad) -> str:
    stated, cups = _stated(evidence, load, "torque"), evidence.case.cups
    if stated:
        sheet.case("T_d", stated, "N*mm", "torque it must hold", "[demand] torque")
    if not load.load_case and abs(load.torque) == stated:
        return "T_d" if stated else "0"
    drag = 0.0 if cups is None else cups.drag_torque
    sheet.case("T_r", drag, "N*mm", "drag of the bearings", "[cups] drag_torque")
    if not load.load_case:
        if not stated:
            return "T_r"
        sheet.step("T_a", "T_r + T_d", "N*mm", "both together")
        return "T_a"
    turning = abs(load.torque) - drag - stated
    sheet.case("T_l", turning, "N*mm", f"torque on the sleeve, {load.what}", "[service], statics")
    sheet.step("T_a", "T_l + T_r + T_d" if stated else "T_l + T_r", "N*mm", "all together")
    return "T_a"


def _stated(evidence: Evidence, load: SleeveLoad, key: str) -> float:
    """The part of a load that [demand] states."""
    demand = evidence.case.demand
    return abs(float(getattr(demand, key))) if demand is not None and "[demand]" in load.what else 0.0


def _rise(evidence: Evidence, row: Margin) -> float:
    """Temperature of a row, K above 20 °C: that of the bench where nothing is judged."""
    return evidence.bench if row.when.temperature_rise is None else row.when.temperature_rise


def _add_grip(evidence: Evidence, row: Margin, sheet: Sheet, unit: str, by_seat: str, size: str) -> str:
    """Lines for what the seat holds, along the axis or round it; the symbol of the last."""
    rise = _rise(evidence, row)
    held = grip(evidence, rise)
    compound = evidence.case.compound
    sheet.case("μ", held.friction, "", "least friction", _friction_key(evidence.case))
    seats = getattr(held, by_seat)
    at = f"least interference, {20.0 + rise:g} °C"
    what = "∫ p dA" if by_seat == "by_seat" else "∫ p r dA"
    names = [f"N_{k}" for k in range(1, len(seats) + 1)]
    for k, (name, carried) in enumerate(zip(names, seats, strict=True), start=1):
        sheet.solved(name, carried / held.friction, unit, f"{what} over seat {k}", at)
    sheet.step("N", " + ".join(names), unit, f"{what} over all seats")
    sheet.step("H", "μ * N", unit, "what friction holds", "Coulomb friction")
    last = (
        "H" if compound is None else _add_film(evidence, sheet, compound, names, unit, getattr(held, size))
    )
    if held.left == 1.0:
        return last
    sheet.case("s", held.left, "", "left of it by a slip at the proof load", "[proof]")
    sheet.step("H_s", f"s * {last}", unit, "what is left")
    return "H_s"


def _friction_key(case: Case) -> str:
    """Where the least friction of the seat comes from."""
    own = case.fit.friction_low
    return "[fit] friction_low" if holding_friction(case) == own else "[compound] friction_low"


def _add_film(
    evidence: Evidence,
    sheet: Sheet,
    compound: CompoundInput,
    names: list[str],
    unit: str,
    sizes: list[float],
) -> str:
    """Lines for what a retaining compound adds; the symbol of the last."""
    limit = uncredited_shear_max(compound)
    film, instead = [], []
    for k, (credit, size) in enumerate(zip(land_credits(evidence), sizes, strict=True), start=1):
        area = "mm^2" if unit == "N" else "mm^3"
        sheet.case(f"A_{k}", float(size), area, f"seat {k}", "[shell] and [sleeve] lands")
        if credit.shear:
            key = "[compound] shear_strength times credit"
            sheet.case(f"τ_{k}", credit.shear, "MPa", f"credited on seat {k}", key)
            film.append(f"τ_{k} * A_{k}")
            instead.append(film[-1])
        elif limit < float("inf"):
            key = "[compound] shear_strength times credit"
            sheet.case(f"τ_{k}", limit, "MPa", f"most that uncredited seat {k} may carry", key)
            instead.append(f"min(μ * {names[k - 1]}, τ_{k} * A_{k})")
        else:
            instead.append(f"μ * {names[k - 1]}")
    if compound.combination == "added":
        sheet.step("H_c", " + ".join(["H", *film]), unit, "friction and compound added")
    elif compound.combination == "instead":
        sheet.step("H_c", " + ".join(instead), unit, "compound instead of friction where credited")
    else:
        sheet.step("H_c", f"max(H, {' + '.join(instead)})", unit, "the greater of both")
    return "H_c"


def _grip_by_hand(evidence: Evidence, row: Margin, expression: str, unit: str) -> ByHand:
    sheet = Sheet()
    held = grip(evidence, _rise(evidence, row))
    sheet.case("μ", held.friction, "", "least friction", _friction_key(evidence.case))
    length = sum(s.length for s in evidence.study.joint.seats)
    sheet.case("L", length, "mm", "length of the seats", "[sleeve] and [shell] lands")
    add_lame(sheet, evidence, evidence.least, _rise(evidence, row))
    sheet.step("hand", expression, unit, "what friction would hold")
    return ByHand(tuple(sheet.lines), "limit", ENDS_AND_FRICTION)


def stays_tight(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    assert row.demand is not None
    pull = f", cups pulling {row.when.preload:.0f} N" if row.when.preload else ""
    sheet.solved(
        "Λ",
        1e-3 * row.demand.value,
        "mm",
        "interference that heat and cups take off, mean on diameter",
        f"{row.stage}, {20.0 + (row.when.temperature_rise or 0.0):g} °C{pull}, no friction",
    )
    add_interference(sheet, evidence, evidence.least)
    closed(sheet, row, "1000 * Λ", "1000 * δ")
    hand = Sheet()
    add_lame(hand, evidence, evidence.least, row.when.temperature_rise or 0.0)
    hand.step("hand", "2000 * b * (α_h - α_s) * ΔT", "um", "linear expansion of both rings")
    reason = "the rings hold each other along the axis too, and the pull of cups is not in linear expansion"
    return Working(tuple(sheet.lines), ByHand(tuple(hand.lines), "demand", reason))


def joint_opens(evidence: Evidence, row: Margin) -> Working:
    sheet = Sheet()
    if row.demand is not None and row.capacity is not None:
        where = f"z = {row.where.z or 0.0:.1f} mm"
        where += "" if row.where.theta is None else f", {row.where.theta:.0f}°"
        before, left = row.capacity.value, row.capacity.value - row.demand.value
        state = f"least interference, {row.stage}, {row.when.friction}, {where}"
        sheet.solved("p_0", before, "MPa", "contact pressure of the fit there", state)
        load = f", {row.when.load_case}, {row.when.joint} joint" if row.when.load_case else ""
        sheet.solved("p_1", left, "MPa", "contact pressure left", state + load)
        sheet.step("p_t", "p_0 - p_1", "MPa", "pressure taken off")
    closed(sheet, row, "p_t", "p_0")
    hand = Sheet()
    add_lame(hand, evidence, evidence.least, row.when.temperature_rise or 0.0)
    hand.step("hand", "p", "MPa", "contact pressure of the mean sizes")
    return Working(tuple(sheet.lines), ByHand(tuple(hand.lines), "p_0", ENDS_AND_FRICTION))


def joint_slips(evidence: Evidence, row: Margin) -> Working:
    service, sheet = evidence.study.service, Sheet()
    if service is None or row.demand is None:
        return Working(())
    found, spot, capacity = nearest_to_slip(evidence, service)
    shear, pressure = shear_and_pressure_at(*found.finest, spot)
    where = f"{row.when.load_case}, z = {spot.z:.1f} mm, {spot.theta:.0f}°, stuck joint, loosest fit"
    sheet.solved("τ", shear, "MPa", "shear on the seat of a stuck joint", where)
    sheet.solved("p", pressure, "MPa", "contact pressure left there", where)
    sheet.case("μ", capacity.mu, "", "least friction", _friction_key(evidence.case))
    sheet.step("τ_f", "μ * max(p, 0)", "MPa", "shear that friction holds", "Coulomb friction")
    film = float(capacity.film)
    held = "τ_f"
    if film > 0.0:
        key = "[compound] shear_strength times credit"
        sheet.case("τ_c", film, "MPa", "credited to the compound", key)
        held = {"added": "τ_f + τ_c", "greater": "max(τ_f, τ_c)"}.get(capacity.how, "τ_c")
    elif capacity.uncredited_max < float("inf"):
        key = "[compound] shear_strength times credit"
        sheet.case("τ_m", capacity.uncredited_max, "MPa", "most an uncredited land may carry", key)
        held = "min(τ_f, τ_m)"
    if capacity.left < 1.0:
        sheet.case("s", capacity.left, "", "left of it by a slip at the proof load", "[proof]")
        held = f"s * ({held})"
    sheet.step("τ_h", held, "MPa", "shear that is held")
    closed(sheet, row, "τ", "τ_h")
    return Working(tuple(sheet.lines))
