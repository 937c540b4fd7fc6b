"""Lines of what a metal stands: the strength of its stock, and what heat leaves of it."""

from __future__ import annotations

from hoopwright.materials import table
from hoopwright.strength import Allowable
from hoopwright.working.sheet import Origin, Sheet


def add_strength(
    sheet: Sheet,
    metal: Allowable,
    symbol: str = "σ_y",
    *,
    at_20: str = "σ_20",
    shares: tuple[str, str] = ("k_g", "k_t"),
) -> None:
    """Lines for the yield strength; where heat counts from that at 20 °C, what is left for good and while
    hot."""
    stock, material = metal.at_bench, metal.material
    origin: Origin = "table" if material in table().values() else "case"
    told = [f"yield strength of {material.name}", material.condition, metal.zone, stock.words]
    words = ", ".join(part for part in told if part)
    source = f"{stock.source}; {stock.basis}" if stock.source else "as stated"
    heated = [
        (name, share)
        for name, share in zip(shares, (metal.left, metal.hot), strict=True)
        if share.value != 1.0
    ]
    if not heated:
        sheet.given(symbol, stock.value, "MPa", words, origin, source)
        return
    sheet.given(at_20, stock.value, "MPa", f"{words}, at 20 °C", origin, source)
    for name, share in heated:
        meaning = f"share of it {share.cause}"
        sheet.given(name, share.value, "", meaning, origin, f"{share.source}; {share.basis}")
    product = " * ".join([at_20, *(name for name, _ in heated)])
    sheet.step(symbol, product, "MPa", f"yield strength of {material.name} that is left there and then")


def add_tensile(sheet: Sheet, metal: Allowable) -> None:
    """Lines for the tensile strength F_u of a metal that has one: of its stock, or by the ratio of
    yields."""
    stock, row = metal.at_bench, metal.material
    origin: Origin = "table" if row in table().values() else "case"
    source = row.source_of("ultimate_strength")
    of_row = f"{source.source}; {source.basis}" if source else "as stated"
    if stock.tensile is not None:
        meaning = ", ".join(part for part in (f"tensile strength of {row.name}", stock.words) if part)
        of_stock = of_row if stock.tensile == row.ultimate_strength else f"{stock.source}; {stock.basis}"
        sheet.given("F_u", stock.tensile, "MPa", meaning, origin, of_stock)
        return
    assert row.ultimate_strength is not None
    share = min(stock.value / row.yield_strength, 1.0)
    said = f"yield of {stock.words} over that of the row; none tensile given of it, our choice"
    sheet.given("F_ur", row.ultimate_strength, "MPa", f"tensile strength of {row.name}", origin, of_row)
    sheet.given("k_u", share, "", said, "convention", "ratio of the yields, at most 1")
    sheet.step("F_u", "F_ur * k_u", "MPa", "tensile strength of the stock")
