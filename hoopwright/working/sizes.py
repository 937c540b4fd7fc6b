"""Working of the rows that follow from sizes alone: wall left, damage cut away, slips in."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.wall_left import form_of, thinner_at_start, thinnest_stretch
from hoopwright.geometry.land import land_at
from hoopwright.slipping_in import DEFAULT_CLEARANCE_SHARE, slipping_in
from hoopwright.working.closing import closed, given_expansion, size_source
from hoopwright.working.sheet import Sheet, Working


def wall_left(evidence: Evidence, row: Margin) -> Working:
    case, stretch, sheet = evidence.case, thinnest_stretch(evidence), Sheet()
    start = thinner_at_start(stretch)
    middle, shell = 0.5 * (stretch.z_start + stretch.z_end), case.shell
    for symbol, surface, lands, radius in (
        ("r_o", "outside", shell.outside, stretch.outer_start if start else stretch.outer_end),
        ("r_b", "bore", shell.bore, stretch.inner_start if start else stretch.inner_end),
    ):
        land = land_at(lands, middle)
        index = 0 if land is None else lands.index(land)
        source = size_source(case, "shell", surface, index)
        sheet.case(symbol, radius, "mm", f"radius of the {surface}", source)
        size = symbol.replace("r_", "U_")
        uncertainty = 0.0 if land is None else land.plus_minus
        sheet.case(size, uncertainty, "mm", f"uncertainty of its diameter, {surface}", source)
    sheet.case("t_i", case.runout_mm, "mm", "runout of bore to outside, full reading", "[shell] runout")
    meaning = "bore outwards and outside inwards of their mean radii"
    sheet.case("g", form_of(case, stretch), "mm", meaning, "[shell.out_of_round] or readings")
    sheet.step("u", "0.5 * sqrt(U_o**2 + U_b**2)", "mm", "uncertainty of the wall")
    sheet.step("t", "r_o - r_b - 0.5 * t_i - u - g", "mm", "least wall")
    if case.min_wall_mm is not None:
        sheet.case("t_min", case.min_wall_mm, "mm", "least wall wanted", "[shell] least_wall")
    closed(sheet, row, "t_min", "t")
    return Working(tuple(sheet.lines))


def damage_removed(evidence: Evidence, row: Margin) -> Working:
    boring, sheet = evidence.case.boring, Sheet()
    assert boring is not None
    assert row.where.r is not None
    sheet.case("d_now", boring.bore_now, "mm", "bore before cutting", "[boring] bore_now")
    sheet.case(
        "d_dam",
        boring.damage_diameter,
        "mm",
        "diameter the damage reaches",
        "[boring] damage_depth",
    )
    sheet.case("t_i", boring.runout, "mm", "runout of the set-up, full reading", "[boring] runout")
    sheet.case("d_b", 2.0 * row.where.r, "mm", "least size of the bore", "[shell] bore_diameter less its ±")
    sheet.step("a_dam", "0.5 * (d_dam + t_i - d_now)", "mm", "depth that clears the damage all round")
    sheet.step("a_cut", "0.5 * (d_b - d_now)", "mm", "depth cut")
    closed(sheet, row, "a_dam", "a_cut")
    return Working(tuple(sheet.lines))


def drops_in(evidence: Evidence, row: Margin) -> Working:
    case, press, sheet = evidence.case, evidence.case.press, Sheet()
    ways = slipping_in(case)
    _, at = ways.tightest(press.shell_hot_K, press.sleeve_cold_K, evidence.greatest)
    bore, outside = (
        size_source(case, part, surface, index)
        for part, surface, index in (("shell", "bore", at.bore_land), ("sleeve", "outside", at.sleeve_land))
    )
    sheet.case("d_b", at.bore, "mm", "bore where it is tightest on the way", bore)
    sheet.case("d_s", at.turned, "mm", "sleeve's outside there", outside)
    sheet.case("f", at.form, "mm", "form of both, on diameter", "[shell.out_of_round] or readings")
    extra = evidence.greatest + max(at.plus_minus - ways.half_width, 0.0)
    sheet.case("U", extra, "mm", "uncertainty of both sizes (95 %)", f"{bore}; {outside}")
    given_expansion(sheet, "α_h", case.shell_material, press.shell_hot_K)
    given_expansion(sheet, "α_s", case.sleeve_material, press.sleeve_cold_K)
    sheet.case("ΔT_h", press.shell_hot_K, "K", "shell above 20 °C", "[press.heat] shell_most")
    sheet.case("ΔT_s", press.sleeve_cold_K, "K", "sleeve above 20 °C", "[press.heat] sleeve_cold")
    sheet.step("i", "d_s - d_b + f + U", "mm", "greatest interference on the way, nothing smoothed")
    sheet.step("gap", "(d_b - f) * (α_h * ΔT_h - α_s * ΔT_s) - i", "mm", "least gap on the way")
    _given_handling_gap(evidence, sheet)
    closed(sheet, row, "1000 * c", "1000 * gap")
    return Working(tuple(sheet.lines))


def _given_handling_gap(evidence: Evidence, sheet: Sheet) -> None:
    case = evidence.case
    wanted = case.press.heat.clearance_mm
    if wanted is not None:
        sheet.case("c", wanted, "mm", "gap wanted to handle it", "[press.heat] clearance")
        return
    bore = max(land.mean_diameter for land in case.shell.bore)
    sheet.case("d_max", bore, "mm", "greatest bore", "[shell] bore_diameter")
    sheet.agreed("k", DEFAULT_CLEARANCE_SHARE, "", "usual share", "DIN 7190-1, from memory, not seen")
    sheet.step("c", "k * d_max", "mm", "gap wanted to handle it")
