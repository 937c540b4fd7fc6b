"""Lines of what a metal stands: the strength of its stock, and what heat leaves of it."""

from __future__ import annotations

from hoopwright.materials import table
from hoopwright.strength import Allowable
from hoopwright.working.sheet import Origin, Sheet


def add_strength(sheet: Sheet, metal: Allowable) -> None:
    """Lines for σ_y; where heat counts from σ_20, what is left for good and while hot."""
    stock, material = metal.at_bench, metal.material
    origin: Origin = "table" if material in table().values() else "case"
    told = [f"yield strength of {material.name}", material.condition, metal.zone, stock.words]
    words = ", ".join(part for part in told if part)
    source = f"{stock.source}; {stock.basis}" if stock.source else "as stated"
    heated = [
        (symbol, share) for symbol, share in (("k_g", metal.left), ("k_t", metal.hot)) if share.value != 1.0
    ]
    if not heated:
        sheet.given("σ_y", stock.value, "MPa", words, origin, source)
        return
    sheet.given("σ_20", stock.value, "MPa", f"{words}, at 20 °C", origin, source)
    for symbol, share in heated:
        meaning = f"share of it {share.cause}"
        sheet.given(symbol, share.value, "", meaning, origin, f"{share.source}; {share.basis}")
    product = " * ".join(["σ_20", *(symbol for symbol, _ in heated)])
    sheet.step("σ_y", product, "MPa", f"yield strength of {material.name} that is left there and then")
