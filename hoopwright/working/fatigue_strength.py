"""Working of fatigue strength: the S-N line, what lowers it, and the amplitude endured."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.case.service_model import Endurance, FatigueInput
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.local_strength import FRETTING, THIN, ZONE, factors_at
from hoopwright.closed_form.fatigue_life import MPA_PER_KSI
from hoopwright.loads.cases import Cycle
from hoopwright.materials import SNCurve
from hoopwright.service.fatigue_strength import AFTER_HEAT, OVER_TESTED, WHILE_HOT, FatigueStrength
from hoopwright.service.study import Spot
from hoopwright.strength import at_its_hottest_in_use
from hoopwright.working.sheet import Origin, Sheet
from hoopwright.working.strength import add_strength as add_yield
from hoopwright.working.strength import add_tensile

MIL = "form of MIL-HDBK-5J"


def add_strength(
    sheet: Sheet, evidence: Evidence, strength: FatigueStrength, body: str, leading: Cycle, spot: Spot
) -> None:
    """Lines for the amplitude endured for the cycles of the leading load, S_N."""
    case, data = evidence.case, strength.data
    metal = at_its_hottest_in_use(case, body)
    key = "[[service.bearing]] or [service] cycles"
    sheet.case("N", float(leading.count or 0.0), "", f"cycles of {leading.name}", key)
    _add_reliability(sheet, case, strength, body)
    _add_factors(sheet, case, strength)
    _add_local(sheet, factors_at(evidence, body, spot))
    add_yield(sheet, metal, "F_y", at_20="F_20", shares=("h_g", "h_t"))
    if isinstance(data, Endurance):
        of = f"[fatigue.{body}]: {data.source}"
        sheet.case("S_1", data.amplitude, "MPa", "amplitude endured", of)
        sheet.case("N_1", data.cycles, "", "cycles it is endured for", of)
        sheet.case("k", data.slope, "", "slope of the S–N line", of)
        sheet.step("S_0", "S_1 * (N_1 / N_r)**(1 / k)", "MPa", "amplitude endured by the tests' mean")
    else:
        add_tensile(sheet, metal)
        _add_curve(sheet, data, strength)
    local = " * k_r" if "k_r" in sheet else ""
    endured = "amplitude endured, fully reversed"
    sheet.step("S_N", f"min(S_0 * k_f, F_y){local}", "MPa", endured, "no more than yield")


def _add_reliability(sheet: Sheet, case: Case, strength: FatigueStrength, body: str) -> None:
    share = case.fatigue.reliability
    origin, source = _own_choice(share == FatigueInput().reliability, "reliability", "")
    sheet.given("z", strength.quantile, "", f"standard normal quantile of {share:g}", origin, source)
    scatter = "scatter of log10 life"
    if isinstance(strength.data, SNCurve):
        borrowed = "; printed for other ratios, borrowed" if strength.scatter_is_borrowed else ""
        sheet.table("s", strength.scatter, "", scatter, strength.source + borrowed)
    else:
        none = "" if strength.scatter else "; not given: that of strength is a factor"
        sheet.case("s", strength.scatter, "", scatter, f"[fatigue.{body}] scatter{none}")
    sheet.step("N_r", "N * 10**(z * s)", "", "cycles that the tests' mean must endure")


def _add_factors(sheet: Sheet, case: Case, strength: FatigueStrength) -> None:
    factors = []
    for k, (name, value) in enumerate(strength.factors.items(), start=1):
        origin, source = _of_factor(case, name)
        sheet.given(f"k_{k}", value, "", f"factor on strength: {name}", origin, source)
        factors.append(f"k_{k}")
    sheet.step("k_f", " * ".join(factors) or "1", "", "factors on strength together")


def _add_local(sheet: Sheet, local: dict[str, float]) -> None:
    """What lowers the strength at this place beside the metal's own factors; no line where nothing does."""
    if not local:
        return
    for name, value in local.items():
        if name == ZONE:
            by = "[[shell.strength]]: its metal by the same S-N data, no more than by its yield, our choice"
            sheet.given("k_z", value, "", "strength of the zone over that of the body", "convention", by)
            continue
        if name == THIN:
            meaning = "stress of an even wall over that on the thin side"
            sheet.solved(
                "k_e", value, "", meaning, "as in the working of shell yields or sleeve yields under loads"
            )
            continue
        fretting = name == FRETTING
        key = "fretting" if fretting else "thread_notch_factor"
        default = fretting and value == FatigueInput().fretting
        origin, source = _own_choice(default, key, " after secondary quotes")
        sheet.given("k_s" if fretting else "k_t", value, "", f"factor on strength: {name}", origin, source)
    product = " * ".join({FRETTING: "k_s", ZONE: "k_z", THIN: "k_e"}.get(name, "k_t") for name in local)
    sheet.step(
        "k_r",
        product,
        "",
        "strength here over that of the body, by fretting, a thread, a zone of strength or the thin side",
    )


def _add_curve(sheet: Sheet, data: SNCurve, strength: FatigueStrength) -> None:
    for symbol, value in (("A_1", data.a1), ("A_2", data.a2), ("A_3", data.a3), ("A_4", data.a4)):
        unit = "ksi" if symbol == "A_4" else ""
        sheet.table(symbol, value, unit, "constant of the curve", strength.source)
    if data.reversed is not None:
        own = data.reversed
        for symbol, value in (("B_1", own.a1), ("B_2", own.a2), ("B_4", own.a4)):
            unit = "ksi" if symbol == "B_4" else ""
            sheet.table(symbol, value, unit, "constant of the curve at R = -1", strength.source)
    ranges = f"{strength.source}; {data.range_basis}"
    sheet.table("N_a", data.min_cycles, "", "least life used of the data", ranges)
    sheet.table("N_b", data.max_cycles, "", "greatest life used of the data", ranges)
    sheet.agreed("K", MPA_PER_KSI, "MPa/ksi", "MPa in one ksi", "definition of the units")
    a, divisor = ("B", "") if data.reversed is not None else ("A", " / 2**A_3")
    sheet.step("N_c", "min(max(N_r, N_a), N_b)", "", "cycles at which the curve is read")
    sheet.step("u", f"10**(({a}_1 - log10(N_c)) / {a}_2)", "ksi", "S_eq above its least, there", MIL)
    sheet.step("e", f"u / ({a}_2 * ({a}_4 + u))", "", "slope of log s over log N there", "tangent")
    curve = f"K * ({a}_4 + u){divisor} * (N_b / max(N_r, N_b))**e"
    if data.fatigue_limit:
        curve = f"max({curve}, K * {a}_4{divisor})"
    sheet.step("S_0", curve, "MPa", "amplitude endured by the tests' mean", "along the tangent beyond N_b")


def _of_factor(case: Case, name: str) -> tuple[Origin, str]:
    """Where a factor on strength comes from: the case, or the tool's own choice."""
    if name in (AFTER_HEAT, WHILE_HOT):
        heat = "heat before use has left" if name == AFTER_HEAT else "the heat of use leaves"
        return "convention", f"share of yield that {heat}, taken for fatigue too; our choice"
    if name == OVER_TESTED:
        return "convention", "tensile strength over that tested, at most 1; our choice"
    if name == "reliability":
        return "convention", "1 - 0.08 z: strength scatters by 8 %, textbooks, from memory, not seen"
    key = name.replace("-", "_")
    given, own = getattr(case.fatigue, key), getattr(FatigueInput(), key)
    if given is None:
        return "convention", f"ratio of the two tensile strengths, our choice; [fatigue] {key} overrides it"
    return _own_choice(given == own, key, "")


def _own_choice(own: bool, key: str, how: str) -> tuple[Origin, str]:
    return (
        ("convention", f"our own{how}; [fatigue] {key} overrides it")
        if own
        else ("case", f"[fatigue] {key}")
    )
